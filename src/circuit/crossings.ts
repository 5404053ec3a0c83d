import type { Branch } from './branch.js';
import type { Fault } from './fault.js';
import type { CircuitNode, Part } from './model.js';

interface WireEnd {
  readonly wire: Branch;
  readonly node: number;
  readonly far: number;
}

/**
 * Every pair of wires that may have been exchanged: both end at the same part (or the same connector side), on
 * different terminals, and come from different places. Exchanging them is one slip of the hand, one fault.
 */
export function listCrossings(
  nodes: readonly CircuitNode[],
  branches: readonly Branch[],
  parts: ReadonlyMap<string, Part>,
): Fault[] {
  const endsByPart = new Map<string, WireEnd[]>();
  for (const wire of branches) {
    if (wire.role !== 'wire') continue;
    for (const [node, far] of [
      [wire.from, wire.to],
      [wire.to, wire.from],
    ] as const) {
      const owner = ownerOf(nodes[node]?.name ?? '');
      if (owner === undefined) continue;
      const ends = endsByPart.get(owner) ?? [];
      ends.push({ wire, node, far });
      endsByPart.set(owner, ends);
    }
  }
  const faults = new Map<string, Fault>();
  for (const ends of endsByPart.values()) {
    for (const [index, first] of ends.entries()) {
      for (const second of ends.slice(index + 1)) {
        const key = `${first.wire.index} ${second.wire.index}`;
        if (isExchange(first, second) && !faults.has(key) && parts.has(first.wire.part)) {
          faults.set(key, crossed(first, second));
        }
      }
    }
  }
  return [...faults.values()];
}

function isExchange(first: WireEnd, second: WireEnd): boolean {
  return (
    first.wire !== second.wire &&
    first.node !== second.node &&
    first.far !== second.far &&
    first.far !== second.node &&
    second.far !== first.node
  );
}

function crossed(first: WireEnd, second: WireEnd): Fault {
  return {
    part: first.wire.part,
    mode: 'crossed',
    with: second.wire.part,
    changes: [
      { kind: 'moved', branch: first.wire.index, ...landedOn(first, second.node) },
      { kind: 'moved', branch: second.wire.index, ...landedOn(second, first.node) },
    ],
  };
}

function landedOn(end: WireEnd, node: number): { from: number; to: number } {
  return end.wire.from === end.node ? { from: node, to: end.wire.to } : { from: end.wire.from, to: node };
}

/** The first half of `PART.TERMINAL`. */
function ownerOf(node: string): string | undefined {
  const dot = node.indexOf('.');
  return dot === -1 ? undefined : node.slice(0, dot);
}
