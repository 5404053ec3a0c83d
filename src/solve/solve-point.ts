import type { Fault, State } from '../circuit/circuit.js';
import { difference } from './complex.js';
import { Coupling, fluxOf } from './coupling.js';
import { Factor } from './kernel/factor.js';
import { labelIslands } from './kernel/islands.js';
import { residual } from './kernel/residual.js';
import { solveSources } from './kernel/sources.js';
import { planStructure, type Structure } from './kernel/structure.js';
import { noOverlay, type Overlay, overlayOf } from './overlay.js';
import {
  type Admittances,
  admittanceOf,
  type Conduct,
  conductOf,
  type Plan,
  type StateConducts,
  type SupplyScale,
} from './plan.js';
import { drivenIslands, type OperatingPoint, type Phasor, passingAt, presentIn } from './point.js';

/** A circuit with its faults and supplies, ready for one state after another. */
export interface Run {
  readonly plan: Plan;
  readonly overlay: Overlay;
  readonly factors: readonly Factor[];
  readonly scale: SupplyScale;
}

export function runOf(plan: Plan, faults: readonly Fault[], scale: SupplyScale): Run {
  const overlay = faults.length === 0 ? noOverlay : overlayOf(faults);
  const structure = overlay.moved.size === 0 ? plan.structure : movedStructure(plan, overlay);
  return { plan, overlay, factors: plan.frequencies.map(() => new Factor(structure)), scale };
}

/** Moved wires are looked at in one state after another: so many of their patterns are kept. */
const mostMoved = 512;
const movedStructures = new WeakMap<Plan, Map<string, Structure>>();

function movedStructure(plan: Plan, { moved }: Overlay): Structure {
  const known = movedStructures.get(plan) ?? new Map<string, Structure>();
  movedStructures.set(plan, known);
  const key = [...moved].map(([branch, { from, to }]) => `${branch} ${from} ${to}`).join();
  const kept = known.get(key);
  if (kept !== undefined) return kept;
  const { branches, nodes } = plan.circuit;
  const from = Int32Array.from(branches, (branch) => moved.get(branch.index)?.from ?? branch.from);
  const to = Int32Array.from(branches, (branch) => moved.get(branch.index)?.to ?? branch.to);
  const made = planStructure(nodes.length, from, to, plan.structure.order);
  if (known.size === mostMoved) known.clear();
  known.set(key, made);
  return made;
}

/** The network of a state with these actuators on, solved at every frequency. */
export function solvePoint(
  { plan, overlay, factors, scale }: Run,
  state: State,
  built: StateConducts,
  on: readonly boolean[],
): OperatingPoint {
  const structure = factors[0]?.structure ?? plan.structure;
  const conducts = plan.circuit.branches.map((branch) => conductOf(built, branch, overlay, on));
  const present = presentIn(plan, conducts);
  const islands = new Int32Array(structure.nodeCount);
  const count = labelIslands(structure, present, islands);
  const rated = ratedScale(overlay, scale);
  const phasors = plan.frequencies.map((hertz, index) => {
    const passing = passingAt(plan, hertz, conducts, present);
    const own = passing === present ? islands : islandsAt(structure, passing);
    return { ...solvePhasor(plan, factors[index]!, conducts, index, rated), islands: own };
  });
  const driven = drivenIslands({ plan, structure, overlay, conducts }, islands, count);
  return { plan, state, overlay, structure, conducts, present, phasors, islands, driven, on };
}

/** The islands at one frequency: other than those of the network where something does not pass. */
function islandsAt(structure: Structure, passing: Uint8Array): Int32Array {
  const islands = new Int32Array(structure.nodeCount);
  labelIslands(structure, passing, islands);
  return islands;
}

function ratedScale({ supplies }: Overlay, scale: SupplyScale): SupplyScale {
  return supplies.size === 0 ? scale : new Map([...scale, ...supplies]);
}

/** The network's admittances and sources in one state, solved at one of the plan's frequencies. */
function solvePhasor(
  plan: Plan,
  factor: Factor,
  conducts: readonly Conduct[],
  frequency: number,
  scale: SupplyScale,
): Omit<Phasor, 'islands'> {
  const { structure } = factor;
  const { circuit } = plan;
  const hertz = plan.frequencies[frequency]!;
  const branchCount = circuit.branches.length;
  const y = { re: new Float64Array(branchCount), im: new Float64Array(branchCount) };
  const emf = { re: new Float64Array(branchCount), im: new Float64Array(branchCount) };
  const re = new Float64Array(structure.nodeCount);
  const im = new Float64Array(structure.nodeCount);
  for (const branch of circuit.branches) {
    const { index } = branch;
    const conduct = conducts[index];
    if (conduct === null || conduct === undefined) continue;
    const own = admittanceOf(plan, frequency, index, conduct);
    y.re[index] = own.re;
    y.im[index] = own.im;
    if (branch.emf === undefined || branch.emf.hertz !== hertz) continue;
    const volts = branch.emf.volts * (scale.get(branch.emf.supply) ?? 1);
    const angle = (branch.emf.degrees * Math.PI) / 180;
    emf.re[index] = volts * Math.cos(angle);
    emf.im[index] = volts * Math.sin(angle);
  }
  factor.load(y.re, y.im);
  const settled = solveSources(factor, y.re, y.im, emf.re, emf.im, re, im);
  const asBuilt = (branch: number) => conducts[branch] === 'own';
  const coupling = Coupling.of(circuit, factor, y, plan.magnetising[frequency]!, asBuilt);
  if (coupling !== undefined) {
    coupling.apply(structure.from, structure.to, re, im);
    induce(plan, frequency, conducts, structure, { re, im }, emf);
  }
  const off = residual(structure, y.re, y.im, emf.re, emf.im, re, im);
  if (!settled || !(off <= 1e-9))
    throw new Error(`numerically unreliable at ${hertz} Hz: current balance off by ${off}`);
  return { hertz, re, im, factor, y, emf, coupling };
}

/** Writes into `emf` what the flux of each core induces in its windings. */
function induce(
  plan: Plan,
  frequency: number,
  conducts: readonly Conduct[],
  { from, to }: Structure,
  volts: Admittances,
  emf: Admittances,
): void {
  const across = (branch: number) => difference(volts, from[branch]!, to[branch]!);
  for (const [core, { windings }] of plan.circuit.transformers.entries()) {
    const flux = fluxOf(plan, frequency, core, conducts, across);
    if (flux === undefined) continue;
    for (const branch of windings) {
      if (conducts[branch] !== 'own') continue;
      const { turns } = plan.circuit.branches[branch]!.winding!;
      emf.re[branch] = -turns * flux.re;
      emf.im[branch] = -turns * flux.im;
    }
  }
}
