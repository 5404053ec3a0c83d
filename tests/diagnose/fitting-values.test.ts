import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type Circuit,
  restState,
  type State,
  type VariableFault,
  withSetting,
} from '../../src/circuit/circuit.js';
import { explainedBy, type Group } from '../../src/diagnose/suspects/evidence.js';
import { fittingValues, huntFor } from '../../src/diagnose/values/fitting-values.js';
import { faultOf } from '../../src/diagnose/values/setting.js';
import { instrument, nominalSupplies, type Reading, type Symptom, TestStand } from '../../src/meter/meter.js';
import { rmsVolts, type Sight } from '../../src/solve/solve.js';
import { circuitOf } from '../circuit/open.js';
import { randomCircuit, randomReactiveCircuit } from '../solve/random-circuit.js';

/** A draw from 0 to 1, one after another. */
type Draws = () => number;

const draws = (numbers: readonly number[]): Draws => {
  let next = 0;
  return () => numbers[next++ % numbers.length]!;
};

const pick = <T>(all: readonly T[], draw: Draws): T => all[Math.floor(draw() * all.length * 0.999_999)]!;

function statesOf(circuit: Circuit): State[] {
  const rest = restState(circuit);
  const moved = [...circuit.switches.values()].flatMap(({ name, positions = [] }) =>
    positions.map((position) => withSetting(rest, name, position)),
  );
  return [rest, ...moved];
}

const rms = (sight: Sight, [a, b]: readonly [number, number]) =>
  sight.kind === 'steady' ? (rmsVolts(sight.view, a, b) ?? 0) : 0;

/** Pairs of places whose volts hang on the value. */
function moved(stand: TestStand, state: State, variable: VariableFault): [number, number][] {
  const { least, most } = variable.range;
  const [first, last] = [least, most].map((value) => stand.look(state, [faultOf(variable, value)]));
  const indices = stand.circuit.nodes.map(({ index }) => index);
  return indices
    .flatMap((a) => indices.slice(a + 1).map((b): [number, number] => [a, b]))
    .filter((pair) => Math.abs(rms(first!, pair) - rms(last!, pair)) > 3);
}

/** What somebody would write down with the fault there: each reading anywhere in its exact band. */
function observed(stand: TestStand, variable: VariableFault, value: number, draw: Draws): Group[] {
  const { circuit } = stand;
  const faults = [faultOf(variable, value)];
  let index = 0;
  return statesOf(circuit)
    .slice(0, 3)
    .flatMap((state): Group[] => {
      const sight = stand.look(state, faults);
      if (sight.kind !== 'steady') return [];
      const readings: Reading[] = [];
      const pairs = moved(stand, state, variable);
      for (let count = 0; count < 2 && pairs.length > 0; count += 1) {
        const [red, black] = pick(pairs, draw);
        const meter = instrument(draw() < 0.7 ? 'high-impedance' : 'low-impedance');
        const where = { kind: 'between', red, black } as const;
        const expected = stand.expectIn(sight.view, { where, unit: 'V', meter });
        if (expected.kind !== 'driven') continue;
        const shown = expected.low + (0.001 + 0.998 * draw()) * (expected.high - expected.low);
        index += 1;
        readings.push({ index, state, where, shown: { kind: 'value', value: shown, unit: 'V' }, meter });
      }
      const symptoms = [...circuit.loads.values()].flatMap((load): Symptom[] => {
        const symptom = { index: 1, state, load, works: true };
        const works = stand.worksIn(sight.view, symptom);
        return works === 'marginal' ? [] : [{ ...symptom, works: works === 'yes' }];
      });
      return [{ state, dead: false, readings, symptoms: draw() < 0.5 ? symptoms : [] }];
    });
}

function variablesOf(circuit: Circuit): VariableFault[] {
  return [...circuit.parts.values()].flatMap((part) => part.variableFaults ?? []);
}

const numbers = fc.array(
  fc.noBias(fc.nat(1_000_000)).map((n) => n / 1_000_000),
  { minLength: 40, maxLength: 40 },
);

test.each([
  ['resistive', randomCircuit, 80, 0],
  ['reactive, with transformers and relays', randomReactiveCircuit, 50, 0.03],
] as const)(
  'the values found hold the planted one, and only values that fit: %s',
  (_, circuits, runs, mostStrangers) => {
    let [planted, inside, strangers, bounded] = [0, 0, 0, 0];
    fc.assert(
      fc.property(circuits, numbers, (text, numbers) => {
        const circuit = circuitOf(text);
        const stand = new TestStand(circuit, nominalSupplies(circuit));
        const draw = draws(numbers);
        const rest = restState(circuit);
        const variables = variablesOf(circuit).filter((each) => moved(stand, rest, each).length > 0);
        if (variables.length === 0) return;
        const variable = pick(variables, draw);
        const { least, most } = variable.range;
        if (!(least > 0)) return;
        const value = least * (most / least) ** draw();
        const groups = observed(stand, variable, value, draw);
        const found = fittingValues(huntFor(stand, variable), groups);
        const within = (x: number, by = 0) =>
          found.some(({ low, high }) => x >= low * (1 + by) && x <= high * (1 - by));
        const scale = Array.from({ length: 41 }, (_, step) =>
          Math.min(most, least * (most / least) ** (step / 40)),
        );
        // Between values at which contacts never settle, or something blows, a narrow stretch may be overlooked.
        const settles = groups.every(({ state }) =>
          scale.every((x) => stand.look(state, [faultOf(variable, x)]).kind === 'steady'),
        );
        if (!settles || groups.length === 0) return;
        // Where nothing stands still nothing was read: any value is as good.
        if (groups.length > 0) {
          expect(within(value), `${value} in ${JSON.stringify(found)}`).toBe(true);
          planted += 1;
        }
        // Brute force: whatever fits on a fine scale is inside, and what is well inside fits.
        // What two frequencies make together is no curve of one value, and not solved for.
        const frequencies = new Set([...circuit.supplies.values()].map(({ hertz }) => hertz)).size;
        for (const x of scale) {
          const fits = explainedBy(stand, groups, [faultOf(variable, x)]) !== undefined;
          if (fits) expect(within(x), `${x} fits and is not in ${JSON.stringify(found)}`).toBe(true);
          if (within(x, 0.02) && frequencies === 1) {
            inside += 1;
            if (!fits) strangers += 1;
          }
        }
        if (found.some(({ low, high }) => low > least * 1.01 && high < most * 0.99)) bounded += 1;
      }),
      { numRuns: runs, endOnFailure: true },
    );
    // Two supplies out of step may leave a gap between ends that fit, which is not looked for to the last.
    expect(strangers / inside).toBeLessThanOrEqual(mostStrangers);
    expect(planted).toBeGreaterThan(runs / 4);
    expect(bounded).toBeGreaterThan(runs / 12);
  },
);

// 5 V over 22 kohm and the sensor; the fan runs from 1 V (5.5 kohm) to 3 V (33 kohm). At the ends of what a sensor can be,
// and in their middle, it does not; the sound one has 1 kohm at rest.
const windowed = `loadside: circuit/1
supplies:
  P: { system: dc, voltage: 5 V, tolerance: 1 %, earthed: none, terminals: { positive: P.P, negative: P.M } }
conditions:
  cold: { unit: degC, rest: 0, from: -30, to: 40 }
modules:
  CB:
    supply: { between: [P.P, P.M], at-least: 4 V, draws: { current: 10 mA } }
    inputs:
      there: { between: [CB.S, P.M], at-least: 1 V }
      cold: { between: [CB.S, P.M], at-least: 3 V }
    outputs:
      fan: { when: { all: [there], not: cold }, job: fan runs }
passives:
  R: { kind: resistor, between: [P.P, CB.S], resistance: 22 kohm, tolerance: 0 % }
  T: { kind: thermistor, between: [CB.S, P.M], follows: cold, curve: { resistance: 300 ohm, at: 25 degC, beta: 3950 } }
`;

test('what works only over a stretch of a sensor, off both ends and the middle, is found there', () => {
  const circuit = circuitOf(windowed);
  const variable = variablesOf(circuit).find(({ part, mode }) => part === 'T' && mode === 'high-resistance')!;
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const symptom = {
    index: 1,
    state: restState(circuit),
    load: circuit.loads.get('CB.fan')!,
    works: true,
  } as Symptom;
  const group: Group = { state: symptom.state, dead: false, readings: [], symptoms: [symptom] };
  const [only, ...more] = fittingValues(huntFor(stand, variable), [group]);
  expect(more).toEqual([]);
  // 22 kohm U / (5 V - U) of the divider.
  expect(only!.low / 5.5e3).toBeCloseTo(1, 2);
  expect(only!.high / 33e3).toBeCloseTo(1, 2);
});
