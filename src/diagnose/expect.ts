import type { Circuit, CircuitNode, Fault, Load, State } from '../circuit/circuit.js';
import {
  type Expected,
  type Input,
  instrument,
  nominalSupplies,
  nominalVolts,
  standOf,
  type TestStand,
} from '../meter/meter.js';
import {
  branchFigures,
  type Chattering,
  type CutOff,
  cutOff,
  isPresent,
  loadFigures,
  type Overload,
  otherStandings,
  overloadPath,
  racesTo,
  type ShortCircuit,
  sweepStates,
  type View,
  type Works,
  worksIn,
} from '../solve/solve.js';

export interface ExpectedPoint {
  readonly node: CircuitNode;
  readonly expected: Expected;
}

export interface ExpectedLoad {
  readonly load: Load;
  readonly works: Works;
  /** RMS; undefined where nothing fixes them. */
  readonly volts: number | undefined;
  readonly amps: number | undefined;
}

export interface ExpectedRelay {
  readonly name: string;
  readonly pulledIn: boolean;
  readonly coilVolts: number;
  /** Between drop-out and pick-up, or so near one of them that the supply's spread decides. */
  readonly marginal: boolean;
}

export interface ExpectAnswer {
  readonly circuit: Circuit;
  readonly state: State;
  readonly faults: readonly Fault[];
  readonly against: CircuitNode;
  readonly input: Input;
  readonly outcome:
    | {
        readonly kind: 'steady';
        readonly points: readonly ExpectedPoint[];
        /** With power on, where nothing ties the place of the black lead to a supply: what cuts it off. */
        readonly adrift?: readonly CutOff[];
        readonly loads: readonly ExpectedLoad[];
        readonly relays: readonly ExpectedRelay[];
        /** What would be on in other ways this state can stand, had something else gone before. */
        readonly others: readonly (readonly string[])[];
        /** Parts, or supplies, that a state before this one opened for good. */
        readonly openedBefore: readonly string[];
      }
    /** Where a chatter could settle after all if one contact were faster than another. */
    | (Chattering & { readonly settles: readonly (readonly string[])[] })
    | ShortCircuit
    | (Overload & { readonly path: readonly number[] });
  /** Nodes left out because they are never probed. */
  readonly hazardous: readonly CircuitNode[];
}

/** What is asked of a circuit: with these faults, the black lead on this node, and this input. */
export interface ExpectQuestion {
  readonly circuit: Circuit;
  readonly faults: readonly Fault[];
  readonly black: number;
  readonly input: Input;
}

/** What every test point reads against `black` in a state, with faults; and which loads do their job. */
export function expectPoints(question: ExpectQuestion, state: State): ExpectAnswer {
  return expectOn(standOf(question.circuit, nominalSupplies(question.circuit)), question, state);
}

/** What a meter shows in states of a circuit, one after the other, and which loads work; undefined without a black lead. */
export function pointsIn(
  circuit: Circuit,
  black: number | undefined,
): (state: State) => ExpectAnswer['outcome'] | undefined {
  if (black === undefined) return () => undefined;
  const stand = standOf(circuit, nominalSupplies(circuit));
  const question = { circuit, faults: [], black, input: 'high-impedance' } as const;
  return (state) => expectOn(stand, question, state, 'shown').outcome;
}

/** How much is worked out of each state of a sweep: all of it, or what a meter shows and which loads work. */
export type Detail = 'bands' | 'shown';

export interface SweepAnswer extends Omit<ExpectAnswer, 'state' | 'outcome'> {
  readonly answers: readonly ExpectAnswer[];
  /** False when there are more combinations than were looked at. */
  readonly complete: boolean;
  /** Positions in which every contact of a switch stands the same, by switch: one stands for all. */
  readonly alike: ReadonlyMap<string, readonly (readonly string[])[]>;
}

/**
 * The same in every combination of positions, and of condition values on either side of each threshold, up to
 * `sweepLimit`. `beyond` is laid over each: terminals lifted, connectors unplugged. `done` is told how far it is.
 */
export function expectEveryState(
  question: ExpectQuestion,
  beyond: (state: State) => State,
  detail: Detail,
  done: (states: number, of: number) => void,
): SweepAnswer {
  const { circuit, faults, input } = question;
  const stand = standOf(circuit, nominalSupplies(circuit));
  const { states, complete, controls } = sweepStates(circuit);
  const answers = states.map((state, index) => {
    done(index, states.length);
    return expectOn(stand, question, beyond(state), detail);
  });
  const alike = controls.map(({ name, alike: values }): [string, string[][]] => [
    name,
    [...values.values()].filter((each) => each.length > 1).map((each) => each.map(String)),
  ]);
  const against = nodeOf(circuit, question.black);
  const hazardous = hazardousIn(circuit);
  return { circuit, faults, against, input, hazardous, answers, complete, alike: new Map(alike) };
}

function nodeOf(circuit: Circuit, index: number): CircuitNode {
  const node = circuit.nodes[index];
  if (node === undefined) throw new Error(`no node ${index}`);
  return node;
}

function hazardousIn(circuit: Circuit): readonly CircuitNode[] {
  return circuit.nodes.filter((node) => node.hazard !== undefined);
}

function expectOn(
  stand: TestStand,
  { circuit, faults, black, input }: ExpectQuestion,
  state: State,
  detail: Detail = 'bands',
): ExpectAnswer {
  const against = nodeOf(circuit, black);
  const answer = { circuit, state, faults, against, input, hazardous: hazardousIn(circuit) };
  // A state of a sweep is not come back to.
  const sight = stand.lookOnce(state, faults);
  const plan = stand.plan('running');
  if (sight.kind === 'chattering')
    return { ...answer, outcome: { ...sight, settles: racesTo(plan, state, faults) } };
  if (sight.kind === 'overload') return { ...answer, outcome: { ...sight, path: overloadPath(sight) } };
  if (sight.kind !== 'steady') return { ...answer, outcome: sight };
  const points = circuit.nodes
    .filter((node) => node.reachable && node.hazard === undefined && node !== against)
    .map((node) => ({ node, expected: expectAt(stand, sight.view, node.index, black, input, detail) }));
  const loads = [...circuit.loads.values()].map((load) => ({
    load,
    works: worksIn(sight.view, load, stand.supplies.spread),
    ...loadFigures(sight.view, load),
  }));
  const adrift =
    state.power && !sight.view.isDriven(sight.view.island(black))
      ? { adrift: cutOff(sight.view, black) }
      : {};
  const opened = openedBefore(sight.view, faults);
  const steady = { kind: 'steady', points, ...adrift, loads, openedBefore: opened } as const;
  if (detail === 'shown') return { ...answer, outcome: { ...steady, relays: [], others: [] } };
  const relays = relaysIn(stand, sight.view);
  const others = otherStandings(plan, state, faults, sight.view.on);
  return { ...answer, outcome: { ...steady, relays, others } };
}

/** What is absent though no fault says so: it blew on the way to the state. */
function openedBefore({ point }: View, faults: readonly Fault[]): readonly string[] {
  const taken = new Set(
    faults.flatMap(({ changes }) => changes.flatMap((each) => (each.kind === 'absent' ? each.branch : []))),
  );
  const { branches } = point.plan.circuit;
  const blown = [...point.overlay.branches].filter(
    ([branch, ohms]) => ohms === 'absent' && !taken.has(branch),
  );
  return [...new Set(blown.flatMap(([branch]) => branches[branch]?.part ?? []))];
}

function relaysIn({ circuit, supplies }: TestStand, view: View): ExpectedRelay[] {
  return circuit.actuators.flatMap((actuator) => {
    if (actuator.kind !== 'relay') return [];
    const { index, name, branch, picksUpAt, dropsOutBelow } = actuator;
    const coilVolts = isPresent(view, branch) ? (branchFigures(view, branch).volts ?? 0) : 0;
    const [low, high] = [coilVolts * (1 - supplies.spread), coilVolts * (1 + supplies.spread)];
    const marginal = high >= dropsOutBelow && low < picksUpAt;
    return [{ name, pulledIn: view.on[index] === true, coilVolts, marginal }];
  });
}

function expectAt(
  stand: TestStand,
  view: View,
  red: number,
  black: number,
  input: Input,
  detail: Detail,
): Expected {
  const meter = instrument(input);
  if (detail === 'shown') return nominalVolts(view, red, black, meter);
  return stand.expectIn(view, { where: { kind: 'between', red, black }, unit: 'V', meter });
}

/** Where the black lead goes unless told: the neutral (or negative) of the first supply, else its last leg. */
export function usualBlack(circuit: Circuit): number | undefined {
  const [supply] = circuit.supplies.values();
  const zero = supply?.legs.find((leg) => !leg.live && leg.name !== 'earth');
  return (zero ?? supply?.legs.at(-1))?.node;
}
