import type { Circuit, State } from '../circuit/circuit.js';
import type { Factor } from './kernel/factor.js';
import { labelIslands } from './kernel/islands.js';
import type { Structure } from './kernel/structure.js';
import type { Overlay } from './overlay.js';
import type { Admittances, Plan } from './plan.js';

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

/** Islands of a point whose branches may have moved, numbered as `labelIslands` does. Returns their count. */
export function islandsOf({ structure, present, overlay }: OperatingPoint, into: Int32Array): number {
  if (overlay.moved.size === 0) return labelIslands(structure, present, into);
  const { nodeCount, branchCount } = structure;
  const [from, to] = [structure.from.slice(), structure.to.slice()];
  for (const [branch, moved] of overlay.moved) {
    from[branch] = moved.from;
    to[branch] = moved.to;
  }
  return labelIslands({ nodeCount, branchCount, from, to }, present, into);
}

export function sameIslands(a: Int32Array, b: Int32Array): boolean {
  for (let node = 0; node < a.length; node += 1) if (a[node] !== b[node]) return false;
  return true;
}
