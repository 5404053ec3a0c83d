import { type Branch, type Circuit, isClosedByState, type Ohms, type State } from '../circuit/circuit.js';
import type { Overlay } from './overlay.js';
import { planStructure, type Structure } from './structure.js';

/**
 * A circuit made ready to be solved in any state and with any fault: elimination order and symbolic factor once,
 * over every branch that could ever conduct; frequencies; each branch's admittance when it conducts.
 */
export interface Plan {
  readonly circuit: Circuit;
  readonly structure: Structure;
  /** The distinct supply frequencies in hertz, in file order; 0 is dc. */
  readonly frequencies: readonly number[];
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

/**
 * What each branch does in a state with faults and outputs as given: null when it does not conduct, its own
 * ohms when a fault sets them, `own` when it conducts as built.
 */
export function conducting(
  plan: Plan,
  state: State,
  overlay: Overlay,
  outputs: readonly boolean[],
): (Ohms | 'own' | null)[] {
  const { branches } = plan.circuit;
  const lifted = liftedNodes(plan.circuit, state);
  return branches.map((branch) => {
    if (isTakenAway(branch, state, lifted)) return null;
    const forced = overlay.branches.get(branch.index);
    if (forced === 'absent') return null;
    if (forced !== undefined) return forced;
    const { gate } = branch;
    if (gate === undefined) return 'own';
    const closed = gate.kind === 'output' ? outputs[gate.output] === true : isClosedByState(state, gate);
    return closed ? 'own' : null;
  });
}

function liftedNodes(circuit: Circuit, state: State): ReadonlySet<number> {
  const lifted = new Set<number>();
  for (const name of state.disconnected) {
    const node = circuit.nodeByName.get(name);
    if (node !== undefined) lifted.add(node);
  }
  return lifted;
}

/** Unplugged, removed, lifted off its terminal, or without power: not there, whatever the fault. */
function isTakenAway(branch: Branch, state: State, lifted: ReadonlySet<number>): boolean {
  if (branch.role === 'source' && !state.power) return true;
  if (state.removed.has(branch.part)) return true;
  if (branch.role === 'pin' && state.unplugged.has(branch.part.slice(0, branch.part.lastIndexOf(':'))))
    return true;
  return branch.role === 'wire' && (lifted.has(branch.from) || lifted.has(branch.to));
}
