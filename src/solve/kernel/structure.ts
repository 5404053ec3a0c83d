import { eliminationOrder, type Graph } from './order.js';
import { fillPattern, type Pattern, pairCount, pairTargets } from './pattern.js';

/** The end of a branch that lies on the reference, at 0 V. It is not one of the nodes 0 to n - 1. */
export const ground = -1;

/**
 * All that a circuit's numeric factors have in common, whatever its switch state or fault. Made once, never changed.
 *
 * Position k is the k-th node to be eliminated. A *slot* is a place for one admittance: slot k < n holds that from
 * position k to the reference, the slots columnStart[k] up to columnStart[k + 1] (all >= n) those from position k
 * to the later positions it is joined to, by a branch or by fill.
 */
export interface Structure extends Pattern {
  readonly nodeCount: number;
  readonly branchCount: number;
  /** Ends of branch b: nodes, or `ground`. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** Node at a position, and position of a node. */
  readonly order: Int32Array;
  readonly position: Int32Array;
  /** Slot of branch b; -1 for a branch with both ends on one node (or on ground), which carries nothing outside itself. */
  readonly slot: Int32Array;
  /** 1 where branch b runs from its earlier position to the later, or to ground; -1 where the other way. */
  readonly sign: Int8Array;
  /** Branches at node i: incident[incidentStart[i]] up to incident[incidentStart[i + 1]]. */
  readonly incidentStart: Int32Array;
  readonly incident: Int32Array;
  /**
   * Slots to which the products of column k go, from targetStart[k] on (see `pairTargets`). Where they are too many
   * to keep, `targets` is undefined, every start is 0, and each column's are found anew when it is eliminated.
   */
  readonly targets: Int32Array | undefined;
  readonly targetStart: Int32Array;
}

/** Above this many products per factorisation their places are worked out anew each time, so that memory stays linear. */
const keptTargets = 4_000_000;

/**
 * Plans the elimination for nodes 0 to nodeCount - 1 and the branches from[b] -> to[b], with every branch that any
 * state or fault can bring in. A few branches may be moved without looking for a new order: any order is right, and
 * that of the network before is nearly as sparse. Throws when an end is not a node.
 */
export function planStructure(
  nodeCount: number,
  from: Int32Array,
  to: Int32Array,
  known?: Int32Array,
): Structure {
  checkEnds(nodeCount, from, to);
  const { incidentStart, incident } = listIncident(nodeCount, from, to);
  const graph = simpleGraph(nodeCount, from, to, incidentStart, incident);
  const order = known ?? eliminationOrder(graph);
  const position = new Int32Array(nodeCount);
  for (let k = 0; k < nodeCount; k += 1) position[order[k]!] = k;
  const pattern = fillPattern(graph, order, position);
  return {
    nodeCount,
    branchCount: from.length,
    from: from.slice(),
    to: to.slice(),
    order,
    position,
    ...pattern,
    ...placeBranches(from, to, position, pattern),
    incidentStart,
    incident,
    ...placeTargets(pattern),
  };
}

function checkEnds(nodeCount: number, from: Int32Array, to: Int32Array): void {
  if (from.length !== to.length) throw new Error(`${from.length} branches begin and ${to.length} end`);
  for (const ends of [from, to]) {
    for (const end of ends) {
      if (end < ground || end >= nodeCount)
        throw new Error(`a branch ends on ${end}, outside the ${nodeCount} nodes`);
    }
  }
}

/** Branches by the node they touch, in branch order; those with both ends on one node are left out. */
function listIncident(
  nodeCount: number,
  from: Int32Array,
  to: Int32Array,
): { incidentStart: Int32Array; incident: Int32Array } {
  const incidentStart = new Int32Array(nodeCount + 1);
  for (let b = 0; b < from.length; b += 1) {
    if (from[b] === to[b]) continue;
    if (from[b] !== ground) incidentStart[from[b]! + 1]! += 1;
    if (to[b] !== ground) incidentStart[to[b]! + 1]! += 1;
  }
  for (let i = 0; i < nodeCount; i += 1) incidentStart[i + 1]! += incidentStart[i]!;
  const incident = new Int32Array(incidentStart[nodeCount]!);
  const next = incidentStart.slice();
  for (let b = 0; b < from.length; b += 1) {
    if (from[b] === to[b]) continue;
    if (from[b] !== ground) incident[next[from[b]!]!++] = b;
    if (to[b] !== ground) incident[next[to[b]!]!++] = b;
  }
  return { incidentStart, incident };
}

/** Who is joined to whom, ground and parallel branches left out. */
function simpleGraph(
  nodeCount: number,
  from: Int32Array,
  to: Int32Array,
  incidentStart: Int32Array,
  incident: Int32Array,
): Graph {
  const start = new Int32Array(nodeCount + 1);
  const neighbours = new Int32Array(incidentStart[nodeCount]!);
  const seenBy = new Int32Array(nodeCount).fill(-1);
  let end = 0;
  for (let i = 0; i < nodeCount; i += 1) {
    for (let at = incidentStart[i]!; at < incidentStart[i + 1]!; at += 1) {
      const b = incident[at]!;
      const other = from[b] === i ? to[b]! : from[b]!;
      if (other === ground || seenBy[other] === i) continue;
      seenBy[other] = i;
      neighbours[end++] = other;
    }
    start[i + 1] = end;
  }
  return { start, neighbours: neighbours.slice(0, end) };
}

function placeBranches(
  from: Int32Array,
  to: Int32Array,
  position: Int32Array,
  pattern: Pattern,
): { slot: Int32Array; sign: Int8Array } {
  const slot = new Int32Array(from.length).fill(-1);
  const sign = new Int8Array(from.length).fill(1);
  for (let b = 0; b < from.length; b += 1) {
    if (from[b] === to[b]) continue;
    if (to[b] === ground) slot[b] = position[from[b]!]!;
    else if (from[b] === ground) {
      slot[b] = position[to[b]!]!;
      sign[b] = -1;
    } else {
      const k = position[from[b]!]!;
      const i = position[to[b]!]!;
      slot[b] = findSlot(pattern, Math.min(k, i), Math.max(k, i));
      sign[b] = k < i ? 1 : -1;
    }
  }
  return { slot, sign };
}

/** Slot of row i in column k, by bisection. */
function findSlot(pattern: Pattern, k: number, i: number): number {
  let low = pattern.columnStart[k]!;
  let high = pattern.columnStart[k + 1]! - 1;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (pattern.rows[middle]! < i) low = middle + 1;
    else high = middle;
  }
  return low;
}

function placeTargets(pattern: Pattern): { targets: Int32Array | undefined; targetStart: Int32Array } {
  const n = pattern.parent.length;
  const targetStart = new Int32Array(n + 1);
  let total = 0;
  for (let k = 0; k < n; k += 1) {
    total += pairCount(pattern, k);
    if (total > keptTargets) return { targets: undefined, targetStart: targetStart.fill(0) };
    targetStart[k + 1] = total;
  }
  const targets = new Int32Array(total);
  for (let k = 0; k < n; k += 1) pairTargets(pattern, k, targets, targetStart[k]!);
  return { targets, targetStart };
}
