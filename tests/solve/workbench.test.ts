import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Circuit,
  type Fault,
  faultName,
  listFaults,
  restState,
  type State,
} from '../../src/circuit/circuit.js';
import { operate } from '../../src/solve/operating-point.js';
import {
  branchFigures,
  planCircuit,
  rmsVolts,
  type Sight,
  type TiedVolts,
  type View,
  Workbench,
} from '../../src/solve/solve.js';
import { sweepStates } from '../../src/solve/sweep.js';
import { PointView } from '../../src/solve/view.js';
import { exampleCircuits } from '../cli/example-files.js';
import { openCircuit } from '../published/front-doors.js';
import { randomCircuit, randomReactiveCircuit } from './random-circuit.js';

/** Volts by which the answer from the sound factor may differ from a new one: far below the last digit of a meter. */
const agreement = 1e-6;

/** Of ohms an input of 10 Mohm sees; the 150 kohm of a control's input costs digits beside a milliohm. */
const ohmsAgreement = 1e-3;

function afresh(circuit: Circuit, state: State, fault: Fault): Sight {
  const operation = operate(planCircuit(circuit), state, [fault]);
  return operation.kind === 'steady' ? { kind: 'steady', view: new PointView(operation.point) } : operation;
}

function compareViews(circuit: Circuit, got: View, want: View, what: string): void {
  expect([...got.point.islands], `islands under ${what}`).toEqual([...want.point.islands]);
  expect(got.point.driven, `tied islands under ${what}`).toEqual(want.point.driven);
  expect([...got.point.present], `conducting branches under ${what}`).toEqual([...want.point.present]);
  const apart: unknown[] = [];
  for (const a of circuit.nodes) {
    for (const b of circuit.nodes.slice(a.index + 1)) {
      if (got.island(a.index) !== got.island(b.index)) continue;
      const [left, right] = [got.volts(0, a.index, b.index), want.volts(0, a.index, b.index)];
      const volts = Math.hypot(left.re - right.re, left.im - right.im);
      if (!(volts < agreement)) apart.push([a.name, b.name, { volts }]);
      const zl = got.transfer(0, a.index, b.index, a.index, b.index);
      const zr = want.transfer(0, a.index, b.index, a.index, b.index);
      const ohms = Math.hypot(zl.re - zr.re, zl.im - zr.im) / Math.max(1, Math.hypot(zr.re, zr.im));
      if (!(ohms < ohmsAgreement)) apart.push([a.name, b.name, { ohms }]);
    }
  }
  expect(apart, `under ${what}`).toEqual([]);
}

/** Contacts that hold themselves on have two answers; where the two ways differ in the outputs, both must be steady ones. */
function sameOutputs(a: View, b: View): boolean {
  return a.on.every((on, index) => on === b.on[index]);
}

test('the same beside transformers and capacitors, currents in windings too', () => {
  let answered = 0;
  const plain = randomReactiveCircuit.filter((text) => !text.includes('relays:'));
  fc.assert(
    fc.property(plain, (text) => {
      const circuit = openCircuit(text);
      const state = restState(circuit);
      const bench = new Workbench(planCircuit(circuit), state);
      for (const fault of listFaults(circuit)) {
        const got = bench.under([fault]);
        const want = afresh(circuit, state, fault);
        if (got.kind !== 'steady' || want.kind !== 'steady') continue;
        const apart = circuit.branches.filter(({ index }) => {
          const [left, right] = [got.view, want.view].map((view) => branchFigures(view, index).amps!);
          return !(Math.abs(left! - right!) / Math.max(1, right!) < 1e-4);
        });
        expect(
          apart.map(({ name }) => name),
          faultName(fault),
        ).toEqual([]);
        answered += 1;
      }
    }),
    { numRuns: 60 },
  );
  expect(answered).toBeGreaterThan(300);
});

/** Volts that exchanging wires of one net may move: what conductors drop. */
const dropVolts = 0.1;

/** Wires exchanged in a state of an example, seen from the sound factor where it can be. */
function compareExchanged(circuit: Circuit, state: State, faults: readonly Fault[]): number {
  const bench = new Workbench(planCircuit(circuit), state);
  let steady = 0;
  for (const fault of faults) {
    const what = `${faultName(fault)} in ${JSON.stringify(state.changes)}`;
    const got = bench.under([fault]);
    const want = afresh(circuit, state, fault);
    expect(got.kind, what).toBe(want.kind);
    if (got.kind !== 'steady' || want.kind !== 'steady') continue;
    steady += 1;
    expect(got.view.on, `what is on under ${what}`).toEqual(want.view.on);
    expect([...got.view.point.islands], `islands under ${what}`).toEqual([...want.view.point.islands]);
    for (const { index, name } of circuit.nodes) {
      const against = want.view.point.islands.indexOf(want.view.island(index));
      const [left, right] = [got.view, want.view].map((view) => rmsVolts(view, against, index)!);
      expect(Math.abs(left! - right!), `${name} under ${what}`).toBeLessThan(dropVolts);
    }
  }
  return steady;
}

// The sound network stands for one in which exchanged wires carry the same to the same, and for no other.
test.each(exampleCircuits)('%s with wires exchanged is what a new factor gives', (_, __, text) => {
  const circuit = openCircuit(text);
  const faults = listFaults(circuit).filter(({ mode }) => mode === 'crossed');
  const { states } = sweepStates(circuit, 5);
  const each = states.map((state, index) =>
    compareExchanged(
      circuit,
      state,
      faults.filter((_, at) => at % states.length === index),
    ),
  );
  expect(each.reduce((a, b) => a + b, 0)).toBeGreaterThan(faults.length / 10);
});

describe('a fault answered from the sound factor', () => {
  test('is what a new factor gives, for every fault of random circuits', () => {
    let answered = 0;
    fc.assert(
      fc.property(randomCircuit, (text) => {
        const circuit = openCircuit(text);
        const state = restState(circuit);
        const bench = new Workbench(planCircuit(circuit), state);
        for (const fault of listFaults(circuit)) {
          const got = bench.under([fault]);
          const want = afresh(circuit, state, fault);
          if (got.kind !== 'steady' || want.kind !== 'steady' || !sameOutputs(got.view, want.view)) continue;
          compareViews(circuit, got.view, want.view, faultName(fault));
          answered += 1;
        }
      }),
      { numRuns: 75 },
    );
    expect(answered).toBeGreaterThan(1000);
  });

  test('shorts exactly where a new solve does', () => {
    fc.assert(
      fc.property(randomCircuit, (text) => {
        const circuit = openCircuit(text);
        const state = restState(circuit);
        const bench = new Workbench(planCircuit(circuit), state);
        const sound = bench.under([]);
        for (const fault of listFaults(circuit)) {
          const got = bench.under([fault]);
          const want = afresh(circuit, state, fault);
          if (sound.kind === 'steady' && got.kind === 'steady' && want.kind === 'steady') continue;
          expect(got.kind, faultName(fault)).toBe(want.kind);
        }
      }),
      { numRuns: 40 },
    );
  });
});

/** Places whose volts are certain without solving, counted, and those that solving contradicts. */
function compareTied(circuit: Circuit, tied: TiedVolts, view: View): { told: number; wrong: unknown[] } {
  const wrong: unknown[] = [];
  let told = 0;
  for (const a of circuit.nodes) {
    for (const b of circuit.nodes.slice(a.index + 1)) {
      const volts = tied(a.index, b.index, false);
      if (volts === undefined) continue;
      const solved = rmsVolts(view, a.index, b.index) ?? Number.NaN;
      // 120 V into at least four loads of 5 ohm at once: some 100 A through 0.05 ohm and a few wires.
      if (!(Math.abs(solved - volts) < 30)) wrong.push([a.name, b.name, solved, volts]);
      told += 1;
    }
  }
  return { told, wrong };
}

test('what is certain without solving is what solving gives, but for the drop in conductors', () => {
  let certain = 0;
  fc.assert(
    fc.property(randomCircuit, (text) => {
      const circuit = openCircuit(text);
      const bench = new Workbench(planCircuit(circuit), restState(circuit));
      for (const fault of listFaults(circuit)) {
        const sight = bench.under([fault]);
        // Seen without solving, no short is missed.
        if (sight.kind === 'short') expect(bench.mayShortUnder([fault]), faultName(fault)).toBe(true);
        const tied = bench.tiedUnder([fault], sight.kind !== 'short');
        if (tied === undefined || sight.kind !== 'steady') continue;
        const { told, wrong } = compareTied(circuit, tied, sight.view);
        expect(wrong, faultName(fault)).toEqual([]);
        certain += told;
      }
    }),
    { numRuns: 75 },
  );
  expect(certain).toBeGreaterThan(1000);
});

test('a sweep lists every combination once, rest first, fewest changes first', () => {
  const circuit = openCircuit(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
conditions:
  heat: { unit: degC, rest: 20, from: 0, to: 300 }
  door: { values: [shut, open], rest: shut }
switches:
  S: { positions: [off, low, high], rest: off, between: [MAINS.L, S.2], closed-in: [low, high] }
  TH: { follows: heat, between: [S.2, TH.2], opens-above: 200 degC, closes-below: 180 degC }
  D: { follows: door, between: [TH.2, D.2], closed-in: [shut] }
loads:
  R: { kind: lamp, between: [D.2, MAINS.N], resistance: 100 ohm }
`);
  const { states, complete, controls } = sweepStates(circuit);
  expect(complete).toBe(true);
  expect(controls.map(({ name, values }) => [name, ...values])).toEqual([
    // Its one contact stands the same in low and high.
    ['S', 'off', 'low'],
    ['heat', 20, 202],
    ['door', 'shut', 'open'],
  ]);
  expect(controls[0]?.alike.get('low')).toEqual(['low', 'high']);
  const keys = states.map((state) => JSON.stringify(state.changes));
  expect(new Set(keys).size).toBe(8);
  expect(keys[0]).toBe('{}');
  const changes = states.map((state) => Object.keys(state.changes).length);
  expect(changes).toEqual([...changes].sort((a, b) => a - b));
  const cut = sweepStates(circuit, 5);
  expect([cut.states.length, cut.complete]).toEqual([5, false]);
});
