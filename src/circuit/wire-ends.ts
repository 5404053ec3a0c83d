import type { Branch } from './branch.js';
import type { CircuitNode } from './model.js';

/** One end of a wire: where it is fastened, and where the wire comes from. */
export interface WireEnd {
  readonly wire: Branch;
  readonly node: number;
  readonly far: number;
}

/** Wire ends by the part, or connector side, that they are fastened to; those at splices belong to none. */
export function wireEndsByOwner(
  nodes: readonly CircuitNode[],
  branches: readonly Branch[],
): ReadonlyMap<string, readonly WireEnd[]> {
  const ends = new Map<string, WireEnd[]>();
  for (const wire of branches) {
    if (wire.role !== 'wire') continue;
    for (const [node, far] of [
      [wire.from, wire.to],
      [wire.to, wire.from],
    ] as const) {
      const owner = ownerOf(nodes[node]?.name ?? '');
      if (owner === undefined) continue;
      ends.set(owner, [...(ends.get(owner) ?? []), { wire, node, far }]);
    }
  }
  return ends;
}

/** The ends of the wire when this one is fastened to another node. */
export function landedOn({ wire, node }: WireEnd, landed: number): { from: number; to: number } {
  return wire.from === node ? { from: landed, to: wire.to } : { from: wire.from, to: landed };
}

/** The first half of `PART.TERMINAL`. */
export function ownerOf(node: string): string | undefined {
  const dot = node.indexOf('.');
  return dot === -1 ? undefined : node.slice(0, dot);
}
