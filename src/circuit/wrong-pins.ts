import type { Branch } from './branch.js';
import type { Fault } from './fault.js';
import type { CircuitNode, Part } from './model.js';
import { landedOn, ownerOf, type WireEnd, wireEndsByOwner } from './wire-ends.js';

/** With fewer terminals than this nobody counts them off, and a wire on the other one is an exchange. */
const leastTerminals = 3;

/**
 * Every wire that may have landed one terminal too far, leaving its own empty: at a part (or connector side) where
 * wires land on three or more terminals, on the next one before or behind. `at` is the terminal it landed on.
 */
export function listWrongPins(
  nodes: readonly CircuitNode[],
  branches: readonly Branch[],
  parts: ReadonlyMap<string, Part>,
): Fault[] {
  const faults = new Map<string, Fault>();
  for (const [owner, ends] of wireEndsByOwner(nodes, branches)) {
    if (parts.get(owner)?.kind === 'supply') continue;
    if (new Set(ends.map(({ node }) => node)).size < leastTerminals) continue;
    const terminals = terminalsOf(nodes, owner, new Set(ends.map(({ node }) => node)));
    for (const end of ends) {
      // With another wire left on it the terminal is not empty.
      if (ends.some((other) => other !== end && other.node === end.node)) continue;
      const place = terminals.findIndex(({ index }) => index === end.node);
      for (const next of [terminals[place - 1], terminals[place + 1]]) {
        if (next === undefined || next.index === end.far) continue;
        const key = `${end.wire.part} ${next.name}`;
        if (!faults.has(key)) faults.set(key, wrongPin(end, next));
      }
    }
  }
  return [...faults.values()];
}

/**
 * Left out are hazardous ones, which are never touched, and those that nobody reaches and no wire ends on: they are
 * inside the part.
 */
function terminalsOf(
  nodes: readonly CircuitNode[],
  owner: string,
  wired: ReadonlySet<number>,
): CircuitNode[] {
  const own = nodes.filter(
    ({ name, index, hazard, reachable }) =>
      ownerOf(name) === owner && hazard === undefined && (reachable || wired.has(index)),
  );
  return inTerminalOrder(own);
}

/** Terminals of one part as they are counted off: by number where all have numbers, else in the order the file names them. */
export function inTerminalOrder(own: readonly CircuitNode[]): CircuitNode[] {
  const number = ({ name }: CircuitNode) => name.slice(name.indexOf('.') + 1);
  if (!own.every((each) => /^\d+$/.test(number(each)))) return [...own];
  return [...own].sort((a, b) => Number(number(a)) - Number(number(b)));
}

function wrongPin(end: WireEnd, { index, name }: CircuitNode): Fault {
  const { part } = end.wire;
  const moved = { kind: 'moved', branch: end.wire.index, ...landedOn(end, index) } as const;
  return { part, mode: 'wrong-pin', at: name, changes: [moved] };
}
