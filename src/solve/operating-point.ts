import type { Circuit, Fault, Rule, State } from '../circuit/circuit.js';
import { Factor } from './kernel/factor.js';
import { labelIslands } from './kernel/islands.js';
import { residual } from './kernel/residual.js';
import { solveSources } from './kernel/sources.js';
import { planStructure, type Structure } from './kernel/structure.js';
import { noOverlay, type Overlay, overlayOf } from './overlay.js';
import {
  type Admittances,
  type Conduct,
  conductOf,
  conductsIn,
  nominalScale,
  type Plan,
  type StateConducts,
  type SupplyScale,
} from './plan.js';
import { drivenIslands, type OperatingPoint, type Phasor, voltsBetween } from './point.js';
import { deadShort } from './supply-path.js';
import { tiedVolts } from './tied-volts.js';
import { PointView } from './view.js';

/** Module outputs that undo what switched them on; `cycle` lists the outputs that are on, step by step, until it repeats. */
export interface Chattering {
  readonly kind: 'chattering';
  readonly cycle: readonly (readonly string[])[];
}

/** One supply leg tied to another through conductors alone: a fuse or breaker opens, and no number is worth giving. */
export interface ShortCircuit {
  readonly kind: 'short';
  /** Branches from leg to leg. */
  readonly path: readonly number[];
}

/** What a circuit does in a state. */
export type Operation =
  | { readonly kind: 'steady'; readonly point: OperatingPoint }
  | Chattering
  | ShortCircuit;

/**
 * Solves, lets modules act on what they see, and solves again until nothing changes. All outputs start off, but for
 * those that are certain to come on, and all act at the same time.
 */
export function operate(
  plan: Plan,
  state: State,
  faults: readonly Fault[] = [],
  scale: SupplyScale = nominalScale,
): Operation {
  const overlay = faults.length === 0 ? noOverlay : overlayOf(faults);
  const structure = overlay.moved.size === 0 ? plan.structure : movedStructure(plan, overlay);
  const factors = plan.frequencies.map(() => new Factor(structure));
  const seen: (readonly boolean[])[] = [];
  const conducts = conductsIn(plan.circuit, state);
  const off = plan.circuit.outputs.map(() => false);
  // What is certain to be on will be found on: it need not be solved for first.
  let outputs = tiedVolts(plan, conducts, overlay, scale)?.on ?? withForced(off, overlay);
  for (;;) {
    const point = solveOnce(plan, factors, state, conducts, overlay, outputs, scale);
    const path = deadShort(new PointView(point));
    if (path !== undefined) return { kind: 'short', path };
    const next = nextOutputs(point, (a, b) => voltsBetween(point, a, b));
    if (sameOutputs(next, outputs)) return { kind: 'steady', point };
    if (movesNothing(plan.circuit, next, outputs))
      return { kind: 'steady', point: { ...point, outputs: next } };
    seen.push(outputs);
    const first = seen.findIndex((each) => sameOutputs(each, next));
    if (first !== -1)
      return { kind: 'chattering', cycle: seen.slice(first).map((each) => namesOn(plan.circuit, each)) };
    outputs = next;
  }
}

function movedStructure(plan: Plan, overlay: Overlay): Structure {
  const { branches, nodes } = plan.circuit;
  const from = Int32Array.from(branches, (branch) => overlay.moved.get(branch.index)?.from ?? branch.from);
  const to = Int32Array.from(branches, (branch) => overlay.moved.get(branch.index)?.to ?? branch.to);
  return planStructure(nodes.length, from, to, plan.structure.order);
}

function withForced(outputs: boolean[], overlay: Overlay): boolean[] {
  for (const [index, on] of overlay.outputs) outputs[index] = on;
  return outputs;
}

function solveOnce(
  plan: Plan,
  factors: readonly Factor[],
  state: State,
  built: StateConducts,
  overlay: Overlay,
  outputs: readonly boolean[],
  scale: SupplyScale,
): OperatingPoint {
  const structure = factors[0]?.structure ?? plan.structure;
  const conducts = plan.circuit.branches.map((branch) => conductOf(built, branch, overlay, outputs));
  const present = Uint8Array.from(conducts, (each) => (each === null ? 0 : 1));
  const islands = new Int32Array(structure.nodeCount);
  const count = labelIslands(structure, present, islands);
  const phasors = plan.frequencies.map((hertz, index) => {
    const own = plan.admittances[index]!;
    return solvePhasor(plan.circuit, factors[index]!, conducts, own, hertz, scale);
  });
  const driven = drivenIslands(plan.circuit, islands, count, present);
  return { plan, state, overlay, structure, present, phasors, islands, driven, outputs };
}

/** The network's admittances and sources in one state, solved at one frequency. */
function solvePhasor(
  circuit: Circuit,
  factor: Factor,
  conducts: readonly Conduct[],
  own: Admittances,
  hertz: number,
  scale: SupplyScale,
): Phasor {
  const { structure } = factor;
  const branchCount = circuit.branches.length;
  const y = { re: new Float64Array(branchCount), im: new Float64Array(branchCount) };
  const emf = { re: new Float64Array(branchCount), im: new Float64Array(branchCount) };
  const re = new Float64Array(structure.nodeCount);
  const im = new Float64Array(structure.nodeCount);
  for (const branch of circuit.branches) {
    const { index } = branch;
    const conduct = conducts[index];
    if (conduct === null || conduct === undefined) continue;
    y.re[index] = conduct === 'own' ? own.re[index]! : 1 / conduct;
    y.im[index] = conduct === 'own' ? own.im[index]! : 0;
    if (branch.emf === undefined || branch.emf.hertz !== hertz) continue;
    const volts = branch.emf.volts * (scale.get(branch.emf.supply) ?? 1);
    const angle = (branch.emf.degrees * Math.PI) / 180;
    emf.re[index] = volts * Math.cos(angle);
    emf.im[index] = volts * Math.sin(angle);
  }
  factor.load(y.re, y.im);
  const settled = solveSources(factor, y.re, y.im, emf.re, emf.im, re, im);
  const off = residual(structure, y.re, y.im, emf.re, emf.im, re, im);
  if (!settled || !(off <= 1e-9))
    throw new Error(`numerically unreliable at ${hertz} Hz: current balance off by ${off}`);
  return { hertz, re, im, factor, y, emf };
}

type VoltsBetween = (a: number, b: number) => number | undefined;

/** The outputs modules give, seeing these volts: supplied, and the rule over its inputs holds. */
export function nextOutputs(
  point: Pick<OperatingPoint, 'plan' | 'overlay' | 'state'>,
  volts: VoltsBetween,
): boolean[] {
  const { circuit } = point.plan;
  const next = circuit.outputs.map(() => false);
  for (const module of circuit.modules.values()) {
    if (point.state.removed.has(module.name)) continue;
    const supplied = (volts(...module.supply.between) ?? 0) >= module.supply.atLeast;
    if (!supplied) continue;
    const active = new Set<string>();
    for (const input of module.inputs) {
      if ((volts(...input.between) ?? 0) >= input.atLeast) active.add(input.name);
    }
    for (const output of module.outputs) next[output.index] = holds(output.when, active);
  }
  return withForced(next, point.overlay);
}

function holds(rule: Rule, active: ReadonlySet<string>): boolean {
  switch (rule.kind) {
    case 'input':
      return active.has(rule.input);
    case 'not':
      return !holds(rule.of, active);
    case 'all':
      return rule.of.every((each) => holds(each, active));
    case 'any':
      return rule.of.some((each) => holds(each, active));
  }
}

export function sameOutputs(a: readonly boolean[], b: readonly boolean[]): boolean {
  return a.every((on, index) => on === b[index]);
}

/** Outputs that differ but close no contact (a lamp on the board) change nothing in the network. */
function movesNothing(circuit: Circuit, a: readonly boolean[], b: readonly boolean[]): boolean {
  return circuit.outputs.every((output, index) => output.branch === undefined || a[index] === b[index]);
}

function namesOn(circuit: Circuit, outputs: readonly boolean[]): string[] {
  return circuit.outputs
    .filter((output) => outputs[output.index])
    .map((output) => `${output.module}.${output.name}`);
}
