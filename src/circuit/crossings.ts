import type { Branch } from './branch.js';
import type { Fault } from './fault.js';
import type { CircuitNode, Part } from './model.js';
import { landedOn, type WireEnd, wireEndsByOwner } from './wire-ends.js';

/**
 * Every pair of wires that may have been exchanged: both end at the same part (or the same connector side), on
 * different terminals, and come from different places. Exchanging them is one slip of the hand, one fault.
 */
export function listCrossings(
  nodes: readonly CircuitNode[],
  branches: readonly Branch[],
  parts: ReadonlyMap<string, Part>,
): Fault[] {
  const faults = new Map<string, Fault>();
  for (const ends of wireEndsByOwner(nodes, branches).values()) {
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
