import type { Circuit, State } from '../circuit/circuit.js';
import type { Factor } from './factor.js';
import type { Overlay } from './overlay.js';
import type { Admittances, Plan } from './plan.js';
import type { Structure } from './structure.js';

/** One supply frequency of a solved network. */
export interface Phasor {
  readonly hertz: number;
  /** Node volts against the island's own reference, RMS (dc: signed). */
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly factor: Factor;
  readonly y: Admittances;
  readonly emf: Admittances;
}

/** A network in which every contact agrees with what moves it. */
export interface OperatingPoint {
  readonly plan: Plan;
  readonly state: State;
  readonly overlay: Overlay;
  readonly structure: Structure;
  readonly present: Uint8Array;
  readonly phasors: readonly Phasor[];
  /** Island of each node; 0 is the one that holds the common reference. */
  readonly islands: Int32Array;
  /** Per island: whether a supply ties it down. */
  readonly driven: readonly boolean[];
  readonly outputs: readonly boolean[];
}

/** An island is tied down when a supply leg stands in it; with no power, nothing is. */
export function drivenIslands(
  circuit: Circuit,
  islands: Int32Array,
  count: number,
  present: Uint8Array,
): boolean[] {
  const driven = new Array<boolean>(count).fill(false);
  for (const branch of circuit.branches) {
    if (branch.role === 'source' && present[branch.index] === 1) driven[islands[branch.to]!] = true;
  }
  return driven;
}

/** RMS volts between two nodes over all frequencies; undefined where no path fixes it. */
export function voltsBetween(point: OperatingPoint, a: number, b: number): number | undefined {
  if (point.islands[a] !== point.islands[b]) return undefined;
  let square = 0;
  for (const { re, im } of point.phasors) {
    square += (re[a]! - re[b]!) ** 2 + (im[a]! - im[b]!) ** 2;
  }
  return Math.sqrt(square);
}

/**
 * Islands of a point whose branches may have moved, numbered as `labelIslands` does: 0 holds ground, the others
 * from 1 in node order. Returns their count.
 */
export function islandsOf({ structure, present, overlay }: OperatingPoint, into: Int32Array): number {
  const { nodeCount, branchCount, from, to } = structure;
  const net = new Int32Array(nodeCount + 1);
  for (let node = 0; node <= nodeCount; node += 1) net[node] = node;
  for (let branch = 0; branch < branchCount; branch += 1) {
    if (present[branch] !== 1) continue;
    const moved = overlay.moved.get(branch);
    const a = rootOf(net, (moved === undefined ? from[branch]! : moved.from) + 1);
    const b = rootOf(net, (moved === undefined ? to[branch]! : moved.to) + 1);
    // The lower number stays, so that every island is known by its first node, ground's by 0.
    if (a < b) net[b] = a;
    else net[a] = b;
  }
  const number = new Int32Array(nodeCount + 1);
  let count = 1;
  for (let node = 1; node <= nodeCount; node += 1) {
    const root = rootOf(net, node);
    if (root === node) {
      number[node] = count;
      count += 1;
    }
    into[node - 1] = number[root]!;
  }
  return count;
}

export function rootOf(net: Int32Array, node: number): number {
  let at = node;
  while (net[at] !== at) {
    net[at] = net[net[at]!]!;
    at = net[at]!;
  }
  return at;
}

export function sameIslands(a: Int32Array, b: Int32Array): boolean {
  for (let node = 0; node < a.length; node += 1) if (a[node] !== b[node]) return false;
  return true;
}
