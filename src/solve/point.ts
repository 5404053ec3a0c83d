import type { State } from '../circuit/circuit.js';
import type { Coupling } from './coupling.js';
import type { Factor } from './kernel/factor.js';
import { labelIslands } from './kernel/islands.js';
import type { Structure } from './kernel/structure.js';
import type { Overlay } from './overlay.js';
import type { Admittances, Conduct, Plan } from './plan.js';

/** One supply frequency of a solved network. */
export interface Phasor {
  readonly hertz: number;
  /** Node volts against the island's own reference, RMS (dc: signed). */
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly factor: Factor;
  readonly y: Admittances;
  /** Of sources, and what transformers induce in their windings. */
  readonly emf: Admittances;
  /** Transformers that couple anything at this frequency. */
  readonly coupling: Coupling | undefined;
  /** Islands at this frequency: at dc a capacitor joins nothing. The point's own where nothing blocks. */
  readonly islands: Int32Array;
}

/** A network in which every contact agrees with what moves it. */
export interface OperatingPoint {
  readonly plan: Plan;
  readonly state: State;
  readonly overlay: Overlay;
  readonly structure: Structure;
  /** How each branch conducts, and whether it lets anything through at any of the frequencies. */
  readonly conducts: readonly Conduct[];
  readonly present: Uint8Array;
  readonly phasors: readonly Phasor[];
  /** Island of each node; 0 is the one that holds the common reference. */
  readonly islands: Int32Array;
  /** Per island: whether a supply ties it down. */
  readonly driven: readonly boolean[];
  /** Actuators that are on. */
  readonly on: readonly boolean[];
}

/** Whether each branch lets anything through at any of the plan's frequencies: at dc alone a capacitor does not. */
export function presentIn(plan: Plan, conducts: readonly Conduct[]): Uint8Array {
  const blocked = plan.frequencies.every((hertz) => hertz === 0);
  const { branches } = plan.circuit;
  const present = new Uint8Array(conducts.length);
  for (let index = 0; index < conducts.length; index += 1) {
    const each = conducts[index];
    if (each === null) continue;
    const stops = blocked && (each === 'own' || typeof each === 'object');
    if (!stops || branches[index]!.impedance.farads === undefined) present[index] = 1;
  }
  return present;
}

/** The branches that let anything through at this frequency: of those of a network, all but capacitors at dc. */
export function passingAt(
  plan: Plan,
  hertz: number,
  conducts: readonly Conduct[],
  present: Uint8Array,
): Uint8Array {
  const blocked = (branch: number) => conducts[branch] === 'own' || typeof conducts[branch] === 'object';
  if (hertz > 0 || !plan.blocking.some(blocked)) return present;
  const passing = present.slice();
  for (const branch of plan.blocking) if (blocked(branch)) passing[branch] = 0;
  return passing;
}

/**
 * An island is tied down when a supply leg stands in it, or the winding of a transformer that another island drives;
 * with no power, nothing is.
 */
export function drivenIslands(
  { plan, structure, overlay, conducts }: Pick<OperatingPoint, 'plan' | 'structure' | 'overlay' | 'conducts'>,
  islands: Int32Array,
  count: number,
): boolean[] {
  const driven = new Array<boolean>(count).fill(false);
  const { branches, transformers } = plan.circuit;
  const islandOf = (branch: number) => islands[overlay.moved.get(branch)?.to ?? structure.to[branch]!]!;
  for (const branch of branches) {
    if (branch.role === 'source' && conducts[branch.index] !== null) driven[islandOf(branch.index)] = true;
  }
  const coupled = plan.frequencies.some((hertz) => hertz > 0) ? transformers : [];
  // One transformer may feed another: as many rounds as there are.
  for (let round = 0; round < coupled.length; round += 1) {
    for (const { windings } of coupled) {
      const whole = windings.filter((branch) => conducts[branch] === 'own').map(islandOf);
      if (whole.some((island) => driven[island])) for (const island of whole) driven[island] = true;
    }
  }
  return driven;
}

/** RMS volts between two nodes over all frequencies; undefined where no path fixes it. */
export function voltsBetween(point: OperatingPoint, a: number, b: number): number | undefined {
  if (point.islands[a] !== point.islands[b]) return undefined;
  let square = 0;
  for (const { re, im, islands } of point.phasors) {
    if (islands[a] !== islands[b]) continue;
    square += (re[a]! - re[b]!) ** 2 + (im[a]! - im[b]!) ** 2;
  }
  return Math.sqrt(square);
}

/** Islands of a point whose branches may have moved, joined by these, numbered as `labelIslands` does. Returns their count. */
export function islandsOf(
  { structure, overlay }: OperatingPoint,
  joining: Uint8Array,
  into: Int32Array,
): number {
  if (overlay.moved.size === 0) return labelIslands(structure, joining, into);
  const { nodeCount, branchCount } = structure;
  const [from, to] = [structure.from.slice(), structure.to.slice()];
  for (const [branch, moved] of overlay.moved) {
    from[branch] = moved.from;
    to[branch] = moved.to;
  }
  return labelIslands({ nodeCount, branchCount, from, to }, joining, into);
}

export function sameIslands(a: Int32Array, b: Int32Array): boolean {
  for (let node = 0; node < a.length; node += 1) if (a[node] !== b[node]) return false;
  return true;
}
