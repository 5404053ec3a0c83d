import {
  type Actuator,
  type Circuit,
  type Fault,
  isClosedByState,
  type Rule,
  type State,
} from '../circuit/circuit.js';
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
  conductsIn,
  nominalScale,
  type Plan,
  type StateConducts,
  type SupplyScale,
} from './plan.js';
import { drivenIslands, type OperatingPoint, type Phasor, presentIn, voltsBetween } from './point.js';
import { findOverload, type Overload } from './protection.js';
import { type ShortCircuit, shortCircuit } from './supply-path.js';
import { tiedVolts } from './tied-volts.js';
import { difference, PointView } from './view.js';

/** Actuators that undo what switched them on; `cycle` lists those that are on, step by step, until it repeats. */
export interface Chattering {
  readonly kind: 'chattering';
  readonly cycle: readonly (readonly string[])[];
}

/** What a circuit does in a state. */
export type Operation =
  | { readonly kind: 'steady'; readonly point: OperatingPoint }
  | Chattering
  | ShortCircuit
  | Overload;

/**
 * Solves, lets actuators act on what they see, and solves again until nothing changes. All act at the same time. They
 * start off, or, where the state says what was before it, as those states left them one after the other; so do
 * protectors: what blew stays open.
 */
export function operate(
  plan: Plan,
  state: State,
  faults: readonly Fault[] = [],
  scale: SupplyScale = nominalScale,
): Operation {
  const { run, on } = broughtTo(runOf(plan, faults, scale), state);
  return settle(run, state, on).operation;
}

/** A run with what blew on the way to a state, and how actuators stand there before it is gone into. */
function broughtTo(fresh: Run, state: State): { readonly run: Run; readonly on: readonly boolean[] } {
  let run = fresh;
  let on = allOff(run);
  for (const earlier of state.before) {
    run = blown(run, heatOpened(run.plan.circuit, earlier));
    for (;;) {
      const { operation, left } = settle(run, earlier, on);
      const opened = openedBy(run.plan.circuit, operation);
      on = left;
      if (opened.length === 0) break;
      run = blown(run, opened);
    }
  }
  return { run, on };
}

/** One-shot thermal fuses that a state's temperature opens. */
function heatOpened({ protectors, branches }: Circuit, state: State): number[] {
  return [...protectors.values()].flatMap(({ branch, opensOnCurrent }) => {
    const gate = branches[branch]?.gate;
    const whole = gate === undefined || gate.kind === 'actuator' || isClosedByState(state, gate);
    return opensOnCurrent || whole ? [] : branch;
  });
}

/** What a short or an overload opens for good: the protector, else every live leg of the supply. */
function openedBy({ protectors, supplies }: Circuit, operation: Operation): readonly number[] {
  if (operation.kind === 'overload') {
    return protectors.get(operation.protector)?.closesAgain === true ? [] : [operation.opens];
  }
  if (operation.kind !== 'short') return [];
  const protector = protectors.get(operation.protector ?? '');
  if (protector !== undefined) return [protector.branch];
  return supplies.get(operation.supply)?.legs.flatMap((leg) => (leg.live ? leg.branch : [])) ?? [];
}

function blown(run: Run, opened: readonly number[]): Run {
  if (opened.length === 0) return run;
  const branches = new Map(run.overlay.branches);
  for (const branch of opened) branches.set(branch, 'absent');
  return { ...run, overlay: { ...run.overlay, branches } };
}

/**
 * Other ways in which the same circuit in the same state stands still: a relay that holds itself in, once it was
 * pulled in. Lists what is on in each, as found from all off, all on, and each that is off switched on by itself.
 */
export function otherStandings(
  plan: Plan,
  state: State,
  faults: readonly Fault[],
  found: readonly boolean[],
): readonly (readonly string[])[] {
  if (!plan.moves.some(Boolean)) return [];
  const { run } = broughtTo(runOf(plan, faults, nominalScale), state);
  const off = allOff(run);
  const starts = [
    off,
    off.map(() => true),
    ...off.map((_, index) => found.map((on, each) => each === index || on)),
  ];
  const others: (readonly boolean[])[] = [];
  for (const start of starts) {
    const { operation } = settle(run, state, start);
    if (operation.kind !== 'steady') continue;
    const { on } = operation.point;
    if (![found, ...others].some((each) => sameOn(each, on))) others.push(on);
  }
  return others.map((on) => namesOn(plan.circuit, on));
}

/** A circuit with its faults and supplies, ready for one state after another. */
interface Run {
  readonly plan: Plan;
  readonly overlay: Overlay;
  readonly factors: readonly Factor[];
  readonly scale: SupplyScale;
}

function runOf(plan: Plan, faults: readonly Fault[], scale: SupplyScale): Run {
  const overlay = faults.length === 0 ? noOverlay : overlayOf(faults);
  const structure = overlay.moved.size === 0 ? plan.structure : movedStructure(plan, overlay);
  return { plan, overlay, factors: plan.frequencies.map(() => new Factor(structure)), scale };
}

function allOff({ plan, overlay }: Run): readonly boolean[] {
  return withHeld(
    plan.circuit.actuators.map(() => false),
    overlay,
  );
}

/** What comes of a state, and which actuators it leaves on: of those that never settle, the ones that stay on throughout. */
interface Settled {
  readonly operation: Operation;
  readonly left: readonly boolean[];
}

function settle(run: Run, state: State, start: readonly boolean[]): Settled {
  const { plan, overlay, scale } = run;
  const conducts = conductsIn(plan.circuit, state);
  const seen: (readonly boolean[])[] = [];
  // What is certain to be on will be found on and need not be solved for first; but a path may lead past what was before.
  const mayHold = plan.remembers || state.before.length > 0 || start.some((on) => on);
  let on =
    (mayHold ? undefined : tiedVolts(plan, conducts, overlay, scale, false)?.on) ??
    withHeld([...start], overlay);
  for (;;) {
    const point = solveOnce(run, state, conducts, on);
    const view = new PointView(point);
    const short = shortCircuit(view);
    if (short !== undefined) return { operation: short, left: on };
    const next = nextOn(point, (a, b) => voltsBetween(point, a, b));
    if (sameOn(next, on) || movesNothing(plan, next, on)) {
      const operation = findOverload(view) ?? { kind: 'steady' as const, point: { ...point, on: next } };
      return { operation, left: next };
    }
    seen.push(on);
    const first = seen.findIndex((each) => sameOn(each, next));
    if (first !== -1) {
      const steps = seen.slice(first);
      const left = next.map((_, index) => steps.every((each) => each[index] === true));
      return {
        operation: { kind: 'chattering', cycle: steps.map((each) => namesOn(plan.circuit, each)) },
        left,
      };
    }
    on = next;
  }
}

/**
 * Where actuators that chatter when all act at once settle if they act one at a time, first to last or last to first:
 * a race, which nothing here decides. Lists what is then on; empty where there is no rest in any order.
 */
export function racesTo(plan: Plan, state: State, faults: readonly Fault[]): readonly (readonly string[])[] {
  const { run, on: start } = broughtTo(runOf(plan, faults, nominalScale), state);
  const conducts = conductsIn(plan.circuit, state);
  const found: (readonly boolean[])[] = [];
  for (const backwards of [false, true]) {
    let on = start;
    for (let step = 0; step < stepsPerActuator * start.length; step += 1) {
      const point = solveOnce(run, state, conducts, on);
      if (shortCircuit(new PointView(point)) !== undefined) break;
      const next = nextOn(point, (a, b) => voltsBetween(point, a, b));
      const moved = [...next.keys()].filter((index) => next[index] !== on[index]);
      const mover = backwards ? moved.at(-1) : moved[0];
      if (mover === undefined) {
        if (!found.some((each) => sameOn(each, on))) found.push(on);
        break;
      }
      on = on.map((each, index) => (index === mover ? !each : each));
    }
  }
  return found.map((each) => namesOn(plan.circuit, each));
}

/** Steps after which actuators that act one at a time are taken never to settle. */
const stepsPerActuator = 4;

function movedStructure(plan: Plan, overlay: Overlay): Structure {
  const { branches, nodes } = plan.circuit;
  const from = Int32Array.from(branches, (branch) => overlay.moved.get(branch.index)?.from ?? branch.from);
  const to = Int32Array.from(branches, (branch) => overlay.moved.get(branch.index)?.to ?? branch.to);
  return planStructure(nodes.length, from, to, plan.structure.order);
}

function withHeld(on: boolean[], overlay: Overlay): boolean[] {
  for (const [index, held] of overlay.held) on[index] = held;
  return on;
}

function solveOnce(
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
    const own = hertz === 0 ? unblockedIslands(plan, structure, present, conducts) : undefined;
    return { ...solvePhasor(plan, factors[index]!, conducts, index, rated), islands: own ?? islands };
  });
  const driven = drivenIslands({ plan, structure, overlay, conducts }, islands, count);
  return { plan, state, overlay, structure, conducts, present, phasors, islands, driven, on };
}

/** The islands at dc, where they are others than at the plan's other frequencies. */
function unblockedIslands(
  plan: Plan,
  structure: Structure,
  present: Uint8Array,
  conducts: readonly Conduct[],
): Int32Array | undefined {
  const blocked = plan.blocking.filter(
    (branch) => conducts[branch] === 'own' || typeof conducts[branch] === 'object',
  );
  if (blocked.length === 0) return undefined;
  const passing = present.slice();
  for (const branch of blocked) passing[branch] = 0;
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

type VoltsBetween = (a: number, b: number) => number | undefined;

/** Which actuators are on, seeing these volts: a module supplied and its rule met, a coil with its voltage, a motor that turns. */
export function nextOn(
  point: Pick<OperatingPoint, 'plan' | 'overlay' | 'state' | 'conducts' | 'on'>,
  volts: VoltsBetween,
): boolean[] {
  const { branches, actuators, modules } = point.plan.circuit;
  const across = (branch: number): number => {
    const { from, to } = branches[branch]!;
    return point.conducts[branch] === null ? 0 : (volts(from, to) ?? 0);
  };
  const next = actuators.map((actuator) => isOn(actuator, point, across));
  for (const module of modules.values()) {
    if (point.state.removed.has(module.name)) continue;
    const supplied = (volts(...module.supply.between) ?? 0) >= module.supply.atLeast;
    if (!supplied) continue;
    const active = new Set<string>();
    for (const input of module.inputs) {
      if ((volts(...input.between) ?? 0) >= input.atLeast) active.add(input.name);
    }
    for (const index of module.outputs) {
      const actuator = actuators[index];
      if (actuator?.kind === 'output') next[index] = holds(actuator.when, active);
    }
  }
  return withHeld(next, point.overlay);
}

/** What a coil's or a motor's own voltage makes of it; outputs are their modules' to say. */
function isOn(
  actuator: Actuator,
  { on, overlay }: Pick<OperatingPoint, 'on' | 'overlay'>,
  across: (branch: number) => number,
): boolean {
  if (actuator.kind === 'output') return false;
  const { index, branch } = actuator;
  // A coil or winding burnt together pulls and turns nothing, whatever it draws.
  if (overlay.branches.has(branch)) return false;
  if (actuator.kind === 'relay')
    return across(branch) >= (on[index] ? actuator.dropsOutBelow : actuator.picksUpAt);
  const { atLeast, start } = actuator;
  const started = on[index] || start === undefined || across(start.branch) >= start.atLeast;
  return started && across(branch) >= atLeast;
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

export function sameOn(a: readonly boolean[], b: readonly boolean[]): boolean {
  return a.every((on, index) => on === b[index]);
}

/** What differs hangs no contact and no impedance (a lamp on the board): nothing changes in the network. */
function movesNothing({ moves }: Plan, a: readonly boolean[], b: readonly boolean[]): boolean {
  return moves.every((moving, index) => !moving || a[index] === b[index]);
}

function namesOn(circuit: Circuit, on: readonly boolean[]): string[] {
  return circuit.actuators.filter(({ index }) => on[index]).map(({ name }) => name);
}
