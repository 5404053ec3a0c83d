import type { Circuit, CircuitNode, Fault, Load, State } from '../circuit/circuit.js';
import { type Expected, type Input, instrument, nominalSupplies, TestStand } from '../meter/meter.js';
import {
  type Chattering,
  loadFigures,
  type ShortCircuit,
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
        readonly loads: readonly ExpectedLoad[];
      }
    | Chattering
    | ShortCircuit;
  /** Nodes left out because they are never probed. */
  readonly hazardous: readonly CircuitNode[];
}

/** What every test point reads against `black` in a state, with faults; and which loads do their job. */
export function expectPoints(
  circuit: Circuit,
  state: State,
  faults: readonly Fault[],
  black: number,
  input: Input,
): ExpectAnswer {
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const against = circuit.nodes[black];
  if (against === undefined) throw new Error(`no node ${black}`);
  const hazardous = circuit.nodes.filter((node) => node.hazard !== undefined);
  const answer = { circuit, state, faults, against, input, hazardous };
  const sight = stand.look(state, faults);
  if (sight.kind !== 'steady') return { ...answer, outcome: sight };
  const points = circuit.nodes
    .filter((node) => node.reachable && node.hazard === undefined && node !== against)
    .map((node) => ({ node, expected: expectAt(stand, sight.view, node.index, black, input) }));
  const loads = [...circuit.loads.values()].map((load) => ({
    load,
    works: worksIn(sight.view, load, stand.supplies.spread),
    ...loadFigures(sight.view, load),
  }));
  return { ...answer, outcome: { kind: 'steady', points, loads } };
}

function expectAt(stand: TestStand, view: View, red: number, black: number, input: Input): Expected {
  return stand.expectIn(view, {
    where: { kind: 'between', red, black },
    unit: 'V',
    meter: instrument(input),
  });
}

/** Where the black lead goes unless told: the neutral (or negative) of the first supply, else its last leg. */
export function usualBlack(circuit: Circuit): number | undefined {
  const [supply] = circuit.supplies.values();
  const zero = supply?.legs.find((leg) => !leg.live && leg.name !== 'earth');
  return (zero ?? supply?.legs.at(-1))?.node;
}
