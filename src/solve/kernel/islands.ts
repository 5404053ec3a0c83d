import { ground } from './structure.js';

/** Which nodes branches join: all of a `Structure` that islands depend on. */
export interface Joins {
  readonly nodeCount: number;
  readonly branchCount: number;
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/**
 * Numbers the islands: nodes joined by branches with present[b] not 0. Ground's island is 0, whether or not any node
 * is in it; the others count from 1 in the order of their first node. Gives the count, island 0 included.
 *
 * `into` (by node) serves as a forest while it is built: the parent of a node is an earlier node of its island, itself
 * at the first node, or ground.
 */
export function labelIslands(joins: Joins, present: Uint8Array, into: Int32Array): number {
  const { from, to, branchCount, nodeCount } = joins;
  for (let i = 0; i < nodeCount; i += 1) into[i] = i;
  for (let b = 0; b < branchCount; b += 1) {
    if (present[b] === 0) continue;
    const f = rootOf(into, from[b]!);
    const t = rootOf(into, to[b]!);
    if (f < t) into[t] = f;
    else if (t < f) into[f] = t;
  }
  let count = 1;
  for (let i = 0; i < nodeCount; i += 1) {
    const parent = into[i]!;
    if (parent === i) into[i] = count++;
    else if (parent === ground) into[i] = 0;
    else into[i] = into[parent]!;
  }
  return count;
}

/**
 * The node that stands for all that are joined to a node, in a forest of parents by node; a root is its own parent.
 * `ground` is a root too. Halves the way up for the next call.
 */
export function rootOf(parents: Int32Array, node: number): number {
  let at = node;
  while (at !== ground) {
    const parent = parents[at]!;
    if (parent === at || parent === ground) return parent;
    const beyond = parents[parent]!;
    parents[at] = beyond;
    at = beyond;
  }
  return ground;
}
