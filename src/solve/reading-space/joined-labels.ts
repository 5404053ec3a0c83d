/** The branches of a network that conduct; the common reference is the position `nodeCount`. */
export interface Conducting {
  readonly nodeCount: number;
  readonly from: Int32Array;
  readonly to: Int32Array;
  readonly conducting: Int32Array;
}

/**
 * Labels each node with a node of its island, with some branches gone and some pairs joined (two positions
 * after one another for each pair).
 */
export function joinNodes(
  { nodeCount, from, to, conducting }: Conducting,
  gone: readonly number[],
  joined: readonly number[],
  labels: Int32Array,
): void {
  for (let node = 0; node <= nodeCount; node += 1) labels[node] = node;
  for (let at = 0; at < conducting.length; at += 1) {
    const branch = conducting[at]!;
    if (!gone.includes(branch)) join(labels, from[branch]!, to[branch]!);
  }
  for (let at = 0; at < joined.length; at += 2) join(labels, joined[at]!, joined[at + 1]!);
  for (let node = 0; node <= nodeCount; node += 1) labels[node] = rootOf(labels, node);
}

function join(labels: Int32Array, a: number, b: number): void {
  const one = rootOf(labels, a);
  const other = rootOf(labels, b);
  if (one < other) labels[other] = one;
  else if (other < one) labels[one] = other;
}

function rootOf(labels: Int32Array, node: number): number {
  let at = node;
  while (labels[at] !== at) {
    const parent = labels[at]!;
    labels[at] = labels[parent]!;
    at = labels[at]!;
  }
  return at;
}
