import {
  type Branch,
  type Circuit,
  curveOhms,
  type Impedance,
  isClosedByState,
  isConductor,
  type Ohms,
  type State,
} from '../circuit/circuit.js';
import { type Complex, divide } from './complex.js';
import { planStructure, type Structure } from './kernel/structure.js';
import { type Limit, limitsOf } from './limits.js';
import type { Overlay } from './overlay.js';

/**
 * A circuit made ready to be solved in any state and with any fault: elimination order and symbolic factor once,
 * over every branch that could ever conduct; frequencies; each branch's admittance when it conducts.
 */
export interface Plan {
  readonly circuit: Circuit;
  readonly purpose: PlanFor;
  readonly structure: Structure;
  /** The distinct supply frequencies in hertz, in file order; 0 is dc. */
  readonly frequencies: readonly number[];
  /** The largest impedance of any branch, reactance at the circuit's own frequency, a sensor's at the end of its curve. */
  readonly widestOhms: number;
  /** The widest tolerance of any part. */
  readonly widestTolerance: number;
  /** Transformers, or capacitors that resonate, may give more volts than any supply. */
  readonly steps: boolean;
  /** Per frequency and branch: 1/Z in siemens. */
  readonly admittances: readonly Admittances[];
  /** The same for branches at rest: motors that stand still. */
  readonly restAdmittances: readonly Admittances[];
  /** Per frequency and transformer: siemens seen from a winding of one volt. */
  readonly magnetising: readonly Admittances[];
  /** Conductors that are good enough to tie places together, and the legs of supplies: what a first look goes through. */
  readonly ties: readonly Branch[];
  readonly legs: readonly Branch[];
  /** What opens on too much current. */
  readonly limits: readonly Limit[];
  /** Branches that conduct at some of the frequencies only: capacitors beside a dc supply. */
  readonly blocking: readonly number[];
  /** What an actuator does to the network: nothing (a lamp on the board), or contacts and impedances hang on it. */
  readonly moves: readonly boolean[];
  /** Actuators that stay as they are between two voltages: the answer may hang on what was before. */
  readonly remembers: boolean;
}

export interface Admittances {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** A conductor with more than this may drop volts worth reading: it ties nothing. */
const tyingOhms = 0.2;

/** What a plan is for: the circuit as it runs, at its supplies' frequencies, or an ohmmeter's look at it without power. */
export type PlanFor = 'running' | 'dead';

const plans = new WeakMap<Circuit, Map<PlanFor, Plan>>();

/** The plan of a circuit, made once for each purpose for as long as anybody has the circuit. */
export function planOf(circuit: Circuit, purpose: PlanFor): Plan {
  const known = plans.get(circuit) ?? new Map<PlanFor, Plan>();
  const plan = known.get(purpose) ?? planCircuit(circuit, purpose);
  plans.set(circuit, known.set(purpose, plan));
  return plan;
}

export function planCircuit(circuit: Circuit, purpose: PlanFor = 'running'): Plan {
  const { branches } = circuit;
  const from = Int32Array.from(branches, (branch) => branch.from);
  const to = Int32Array.from(branches, (branch) => branch.to);
  const supplied = supplyFrequencies(circuit);
  const frequencies = purpose === 'dead' ? [0] : supplied;
  const own = supplied.find((hertz) => hertz > 0) ?? 0;
  const seen = purpose === 'dead' ? deadImpedance : (impedance: Impedance) => impedance;
  const at = (impedances: readonly Impedance[]) =>
    frequencies.map((hertz) => admittancesAt(impedances.map(seen), hertz, own));
  const admittances = at(branches.map((branch) => branch.impedance));
  return {
    circuit,
    purpose,
    structure: planStructure(circuit.nodes.length, from, to),
    frequencies,
    widestOhms: branches.reduce((most, branch) => Math.max(most, mostOhmsOf(branch)), 0),
    widestTolerance: branches.reduce((most, { impedance }) => Math.max(most, impedance.tolerance), 0),
    steps: circuit.transformers.length > 0 || capacitors(branches).length > 0,
    admittances,
    restAdmittances: circuit.branches.some((branch) => branch.atRest !== undefined)
      ? at(branches.map((branch) => branch.atRest?.impedance ?? branch.impedance))
      : admittances,
    magnetising: frequencies.map((hertz) => magnetisingAt(circuit, hertz, own)),
    ties: branches.filter(({ role, impedance }) => isConductor(role) && impedance.ohms <= tyingOhms),
    legs: branches.filter((branch) => branch.emf !== undefined),
    limits: limitsOf(circuit),
    blocking: frequencies.length > 1 && frequencies.includes(0) ? capacitors(branches) : [],
    moves: circuit.actuators.map(({ index }) => moves(branches, index)),
    remembers: circuit.actuators.some(({ kind }) => kind !== 'output'),
  };
}

function supplyFrequencies(circuit: Circuit): number[] {
  return [...new Set([...circuit.supplies.values()].map((supply) => supply.hertz))];
}

function deadImpedance(impedance: Impedance): Impedance {
  return impedance.dead === undefined ? impedance : { ...impedance, ohms: impedance.dead.ohms };
}

function mostOhmsOf({ impedance, sensor }: Branch): Ohms {
  if (sensor === undefined) return Math.hypot(impedance.ohms, impedance.reactanceOhms);
  const { curve } = sensor;
  return Math.max(curveOhms(curve, curve.from), curveOhms(curve, curve.to));
}

function capacitors(branches: readonly Branch[]): number[] {
  return branches.filter((branch) => branch.impedance.farads !== undefined).map((branch) => branch.index);
}

function moves(branches: readonly Branch[], actuator: number): boolean {
  return branches.some(
    ({ gate, atRest }) =>
      (gate?.kind === 'actuator' && gate.actuator === actuator) || atRest?.actuator === actuator,
  );
}

/** Y = 1/(R + jX), X in proportion to frequency and stated at `own`, a capacitance's on top; 0 at dc with a capacitor. */
function admittancesAt(impedances: readonly Impedance[], hertz: number, own: number): Admittances {
  const re = new Float64Array(impedances.length);
  const im = new Float64Array(impedances.length);
  const ratio = own === 0 ? 0 : hertz / own;
  for (const [index, { ohms, reactanceOhms, farads }] of impedances.entries()) {
    if (farads !== undefined && hertz === 0) continue;
    const reactance = reactanceOhms * ratio - (farads === undefined ? 0 : 1 / (2 * Math.PI * hertz * farads));
    const square = ohms * ohms + reactance * reactance;
    re[index] = ohms / square;
    im[index] = reactance === 0 ? 0 : -reactance / square;
  }
  return { re, im };
}

/** A core is all reactance, in proportion to frequency; at dc its windings are plain copper, and nothing couples them. */
function magnetisingAt(circuit: Circuit, hertz: number, own: number): Admittances {
  const ohms = circuit.transformers.map(({ magnetisingOhms }) => magnetisingOhms);
  const im =
    hertz === 0 ? ohms.map(() => Number.NEGATIVE_INFINITY) : ohms.map((each) => -own / (each * hertz));
  return { re: new Float64Array(ohms.length), im: Float64Array.from(im) };
}

/** How far each supply is from its nominal voltage; 1 where not listed. */
export type SupplyScale = ReadonlyMap<string, number>;

export const nominalScale: SupplyScale = new Map();

/**
 * How a branch conducts: not at all, as built, as it is at rest, through these ohms alone (a fault's, a sensor's), or
 * through these ohms and what reactance it has.
 */
export type Conduct = Ohms | { readonly wornOhms: Ohms } | 'own' | 'at rest' | null;

/** Siemens of a branch that conducts in this way, at one of the plan's frequencies. */
export function admittanceOf(plan: Plan, frequency: number, branch: number, conduct: Conduct): Complex {
  if (conduct === null) return { re: 0, im: 0 };
  if (typeof conduct === 'number') return { re: 1 / conduct, im: 0 };
  if (typeof conduct === 'object') return wornAdmittance(plan, frequency, branch, conduct.wornOhms);
  const own = (conduct === 'own' ? plan.admittances : plan.restAdmittances)[frequency]!;
  return { re: own.re[branch]!, im: own.im[branch]! };
}

/** Its resistance changed, its reactance as built: 1 / (R + jX) with X from 1 / Y. */
function wornAdmittance(plan: Plan, frequency: number, branch: number, ohms: Ohms): Complex {
  const own = plan.admittances[frequency]!;
  const [re, im] = [own.re[branch]!, own.im[branch]!];
  if (re === 0 && im === 0) return { re: 0, im: 0 };
  return divide({ re: 1, im: 0 }, { re: ohms, im: -im / (re * re + im * im) });
}

/**
 * What a state alone says of each branch: taken away (unplugged, removed, lifted off its terminal, or without
 * power) whatever the fault; else closed or open by the state, contacts of actuators open; and how it then conducts.
 */
export interface StateConducts {
  readonly takenAway: Uint8Array;
  readonly closed: Uint8Array;
  /** Ohms of sensors at the state's temperatures. */
  readonly sensorOhms: ReadonlyMap<number, Ohms>;
  readonly removed: ReadonlySet<string>;
}

export function conductsIn(circuit: Circuit, state: State): StateConducts {
  const lifted = liftedNodes(circuit, state);
  const takenAway = new Uint8Array(circuit.branches.length);
  const closed = new Uint8Array(circuit.branches.length);
  const sensorOhms = new Map<number, Ohms>();
  for (const branch of circuit.branches) {
    const { index, gate, sensor } = branch;
    if (isTakenAway(branch, state, lifted)) takenAway[index] = 1;
    if (gate === undefined || (gate.kind !== 'actuator' && isClosedByState(state, gate))) closed[index] = 1;
    const value = sensor && state.settings.get(sensor.condition);
    if (sensor !== undefined && typeof value === 'number')
      sensorOhms.set(index, curveOhms(sensor.curve, value));
  }
  return { takenAway, closed, sensorOhms, removed: state.removed };
}

/** One branch with faults as given and actuators on or off. */
export function conductOf(
  { takenAway, closed, sensorOhms }: StateConducts,
  branch: Branch,
  overlay: Overlay,
  on: readonly boolean[],
): Conduct {
  const { index, gate, atRest } = branch;
  if (takenAway[index] === 1) return null;
  const forced = overlay.branches.get(index);
  if (forced !== undefined) return forced === 'absent' ? null : forced;
  const conducts = gate?.kind === 'actuator' ? on[gate.actuator] === gate.closedWhen : closed[index] === 1;
  if (!conducts) return null;
  const wornOhms = overlay.worn.get(index);
  if (wornOhms !== undefined) return { wornOhms };
  const ohms = sensorOhms.get(index);
  if (ohms !== undefined) return ohms;
  return atRest !== undefined && on[atRest.actuator] !== true ? 'at rest' : 'own';
}

function liftedNodes(circuit: Circuit, state: State): ReadonlySet<number> {
  const lifted = new Set<number>();
  for (const name of state.disconnected) {
    const node = circuit.nodeByName.get(name);
    if (node !== undefined) lifted.add(node);
  }
  return lifted;
}

function isTakenAway(branch: Branch, state: State, lifted: ReadonlySet<number>): boolean {
  if (branch.role === 'source' && !state.power) return true;
  if (state.removed.has(branch.part)) return true;
  if (branch.role === 'pin' && state.unplugged.has(branch.part.slice(0, branch.part.lastIndexOf(':'))))
    return true;
  return branch.role === 'wire' && (lifted.has(branch.from) || lifted.has(branch.to));
}
