import { ground, type Structure } from './structure.js';

/**
 * 1 for each present branch (present[b] not 0) that is a bridge: without it its two ends are not joined. Ground is a
 * node like any other here. A bridge carries no current, whatever the sources.
 *
 * Depth first from ground, then from each node not yet met (Tarjan 1974): low(i) = earliest vertex that the part of
 * the tree below i reaches by one branch outside the tree; the tree branch into i is a bridge where low(i) = i's own turn.
 */
export function findBridges(structure: Structure, present: Uint8Array): Uint8Array {
  const { nodeCount, branchCount } = structure;
  const bridges = new Uint8Array(branchCount);
  const search: Search = {
    structure,
    present,
    bridges,
    turn: new Int32Array(nodeCount + 1),
    low: new Int32Array(nodeCount + 1),
    next: structure.incidentStart.slice(0, nodeCount + 1),
    via: new Int32Array(nodeCount + 1),
  };
  let turn = explore(search, nodeCount, 0);
  for (let i = 0; i < nodeCount; i += 1) if (search.turn[i] === 0) turn = explore(search, i, turn);
  return bridges;
}

/** By vertex; nodeCount stands for ground. Turns count from 1, 0 being not yet met. */
interface Search {
  readonly structure: Structure;
  readonly present: Uint8Array;
  readonly bridges: Uint8Array;
  readonly turn: Int32Array;
  readonly low: Int32Array;
  /** Where to go on in the vertex's list of branches. */
  readonly next: Int32Array;
  /** Branch by which the vertex was met, -1 at the root. */
  readonly via: Int32Array;
}

/** Walks one island and gives the last turn used. The way back up runs over `via`, so depth costs no stack. */
function explore(search: Search, root: number, turnsUsed: number): number {
  const { structure, present, bridges, turn, low, next, via } = search;
  const { from, to, incident, incidentStart, nodeCount } = structure;
  let used = turnsUsed + 1;
  turn[root] = used;
  low[root] = used;
  via[root] = -1;
  let at = root;
  for (;;) {
    if (next[at]! < incidentStart[at + 1]!) {
      const b = incident[next[at]!++]!;
      if (present[b] === 0 || b === via[at]) continue;
      const other = otherEnd(from[b]!, to[b]!, at, nodeCount);
      if (turn[other] !== 0) {
        if (turn[other]! < low[at]!) low[at] = turn[other]!;
        continue;
      }
      used += 1;
      turn[other] = used;
      low[other] = used;
      via[other] = b;
      at = other;
      continue;
    }
    const b = via[at]!;
    if (b === -1) return used;
    const above = otherEnd(from[b]!, to[b]!, at, nodeCount);
    if (low[at] === turn[at]) bridges[b] = 1;
    else if (low[at]! < low[above]!) low[above] = low[at]!;
    at = above;
  }
}

function otherEnd(from: number, to: number, at: number, groundVertex: number): number {
  const f = from === ground ? groundVertex : from;
  const t = to === ground ? groundVertex : to;
  return f === at ? t : f;
}
