import { type Branch, type Circuit, isClosedByState, type Ohms, type State } from '../circuit/circuit.js';
import { planStructure, type Structure } from './kernel/structure.js';
import type { Overlay } from './overlay.js';

/**
 * A circuit made ready to be solved in any state and with any fault: elimination order and symbolic factor once,
 * over every branch that could ever conduct; frequencies; each branch's admittance when it conducts.
 */
export interface Plan {
  readonly circuit: Circuit;
  readonly structure: Structure;
  /** The distinct supply frequencies in hertz, in file order; 0 is dc. */
  readonly frequencies: readonly number[];
  /** The largest resistance of any branch. */
  readonly widestOhms: number;
  /** Per frequency and branch: 1/Z in siemens. */
  readonly admittances: readonly Admittances[];
}

export interface Admittances {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** `frequencies` in hertz; the supplies' own where not given. */
export function planCircuit(
  circuit: Circuit,
  frequencies: readonly number[] = supplyFrequencies(circuit),
): Plan {
  const from = Int32Array.from(circuit.branches, (branch) => branch.from);
  const to = Int32Array.from(circuit.branches, (branch) => branch.to);
  const own = supplyFrequencies(circuit).find((hertz) => hertz > 0) ?? 0;
  return {
    circuit,
    structure: planStructure(circuit.nodes.length, from, to),
    frequencies,
    widestOhms: circuit.branches.reduce((most, { impedance }) => Math.max(most, impedance.ohms), 0),
    admittances: frequencies.map((hertz) => admittancesAt(circuit.branches, own === 0 ? 0 : hertz / own)),
  };
}

function supplyFrequencies(circuit: Circuit): number[] {
  return [...new Set([...circuit.supplies.values()].map((supply) => supply.hertz))];
}

/** Y = 1/(R + jX) with X in proportion to frequency; `ratio` is the frequency over the one X is stated at. */
function admittancesAt(branches: readonly Branch[], ratio: number): Admittances {
  const re = new Float64Array(branches.length);
  const im = new Float64Array(branches.length);
  for (const { index, impedance } of branches) {
    const { ohms } = impedance;
    const reactance = impedance.reactanceOhms * ratio;
    const square = ohms * ohms + reactance * reactance;
    re[index] = ohms / square;
    im[index] = reactance === 0 ? 0 : -reactance / square;
  }
  return { re, im };
}

/** How far each supply is from its nominal voltage; 1 where not listed. */
export type SupplyScale = ReadonlyMap<string, number>;

export const nominalScale: SupplyScale = new Map();

/** How a branch conducts: not at all, as built, or through the ohms a fault gives it. */
export type Conduct = Ohms | 'own' | null;

/**
 * What a state alone says of each branch: taken away (unplugged, removed, lifted off its terminal, or without
 * power) whatever the fault; else closed or open by the state, contacts of outputs open.
 */
export interface StateConducts {
  readonly takenAway: Uint8Array;
  readonly closed: Uint8Array;
  readonly removed: ReadonlySet<string>;
}

export function conductsIn(circuit: Circuit, state: State): StateConducts {
  const lifted = liftedNodes(circuit, state);
  const takenAway = new Uint8Array(circuit.branches.length);
  const closed = new Uint8Array(circuit.branches.length);
  for (const branch of circuit.branches) {
    const { index, gate } = branch;
    if (isTakenAway(branch, state, lifted)) takenAway[index] = 1;
    if (gate === undefined || (gate.kind !== 'output' && isClosedByState(state, gate))) closed[index] = 1;
  }
  return { takenAway, closed, removed: state.removed };
}

/** One branch with faults and outputs as given. */
export function conductOf(
  { takenAway, closed }: StateConducts,
  branch: Branch,
  overlay: Overlay,
  outputs: readonly boolean[],
): Conduct {
  const { index, gate } = branch;
  if (takenAway[index] === 1) return null;
  const forced = overlay.branches.get(index);
  if (forced !== undefined) return forced === 'absent' ? null : forced;
  if (gate?.kind === 'output') return outputs[gate.output] === true ? 'own' : null;
  return closed[index] === 1 ? 'own' : null;
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
