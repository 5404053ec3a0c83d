import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Circuit, type Fault, faultName, listFaults, restState } from '../../../src/circuit/circuit.js';
import { operate } from '../../../src/solve/operating-point.js';
import { nominalScale, type Plan } from '../../../src/solve/plan.js';
import { AtWorst, branchFigures, isPresent, planCircuit, sweepStates } from '../../../src/solve/solve.js';
import { PointView } from '../../../src/solve/view.js';
import { exampleCircuits } from '../../cli/example-files.js';
import { openCircuit } from '../../published/front-doors.js';
import { randomCircuit, randomReactiveCircuit } from '../random-circuit.js';

const count = { shorts: 0, overloads: 0, plain: 0, near: 0, bounds: 0 };

/** What is said not to short and not to overload does neither when it is solved for. */
function hold(plan: Plan, circuit: Circuit, tried: readonly (readonly Fault[])[], states: number): void {
  const visited = states === 1 ? [restState(circuit)] : sweepStates(circuit, states).states;
  for (const state of visited) {
    const worst = new AtWorst(plan, state, nominalScale);
    for (const faults of tried) {
      const what = faults.map(faultName).join(' and ');
      const mayShort = worst.mayShort(faults);
      const mayOverload = worst.mayOverload(faults);
      const named = [...circuit.supplies.keys()].filter((name) => worst.mayShort(faults, name));
      if (mayShort && mayOverload && named.length === circuit.supplies.size) continue;
      const operation = operate(plan, state, faults);
      if (operation.kind === 'short') {
        count.shorts += 1;
        expect(mayShort, `${what} shorts`).toBe(true);
        expect(named, what).toContain(operation.supply);
      } else if (operation.kind === 'overload') {
        count.overloads += 1;
        expect(mayOverload, `${what} overloads`).toBe(true);
      } else if (!mayShort && !mayOverload) {
        count.plain += 1;
        if (plan.limits.length > 0) count.near += 1;
      }
    }
  }
}

/** What something carries is never beyond its bound: a limit just below that may open. */
function holdBounds(plan: Plan, circuit: Circuit, tried: readonly (readonly Fault[])[]): void {
  for (const faults of tried) {
    const operation = operate(plan, restState(circuit), faults);
    if (operation.kind !== 'steady') continue;
    const view = new PointView(operation.point);
    for (const limit of plan.limits) {
      const { amps } = isPresent(view, limit.branch) ? branchFigures(view, limit.branch) : { amps: 0 };
      if (amps < 1e-6) continue;
      count.bounds += 1;
      const below = { ...plan, limits: [{ ...limit, opensAt: 0.99 * amps }] };
      const worst = new AtWorst(below, restState(circuit), nominalScale);
      expect(worst.mayOverload(faults), `${limit.name} with ${faults.map(faultName).join(' and ')}`).toBe(
        true,
      );
    }
  }
}

/** Limits lowered, so that bounds are put to the test: some circuits carry nearly what opens them. */
function lowered(plan: Plan, by: number): Plan {
  return { ...plan, limits: plan.limits.map((limit) => ({ ...limit, opensAt: by * limit.opensAt })) };
}

function pairsFrom(faults: readonly Fault[], pick: number): (readonly Fault[])[] {
  const first = faults[pick % faults.length]!;
  return faults.filter((fault) => fault.part !== first.part).map((fault) => [first, fault]);
}

test.each(exampleCircuits)('%s: nothing blows that is said not to', (_, __, text) => {
  const circuit = openCircuit(text);
  const plan = planCircuit(circuit);
  const faults = listFaults(circuit);
  for (const by of [1, 0.03])
    hold(
      lowered(plan, by),
      circuit,
      faults.map((fault) => [fault]),
      2,
    );
  hold(plan, circuit, pairsFrom(faults, 7), 1);
});

test.each([
  ['wires, loads, contacts and a control', randomCircuit],
  ['transformers, passives, relays and a second supply', randomReactiveCircuit],
] as const)('nothing blows that is said not to, in random circuits: %s', (_, circuits) => {
  const share = fc.constantFrom(1, 0.3, 0.1, 0.03, 0.01, 0.003);
  fc.assert(
    fc.property(circuits, share, fc.nat(200), (text, by, pick) => {
      const circuit = openCircuit(text);
      const faults = listFaults(circuit);
      const plan = lowered(planCircuit(circuit), by);
      hold(plan, circuit, [...faults.map((fault) => [fault]), ...pairsFrom(faults, pick)], 1);
      holdBounds(planCircuit(circuit), circuit, [[], ...faults.slice(0, 12).map((fault) => [fault])]);
    }),
    { numRuns: 20 },
  );
});

/** A bound is no more than a few times what flows where all there is hangs on a fuse, or on a winding, for good. */
test.each([
  [
    'F1',
    'protectors: { F1: { kind: fuse, between: [F1.1, F1.2], rating: 15 A } }',
    'F1.1',
    'F1.2',
    'MAINS.N',
  ],
  [
    'T1',
    'transformers: { T1: { primary: [T1.1, T1.2], secondary: [T1.3, T1.4], voltages: [120 V, 24 V], rating: 400 VA } }',
    'T1.1',
    'T1.3',
    'T1.4',
  ],
])('what %s carries is not beyond its bound, and the bound not far beyond', (name, part, line, a, b) => {
  const circuit = openCircuit(
    `loadside: circuit/1
title: Two loads for good
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
${part}
loads:
  HEAT: { kind: heating-element, between: [HEAT.1, HEAT.2], resistance: 20 ohm, job: heats }
  COIL: { kind: solenoid, between: [COIL.1, COIL.2], impedance: { resistance: 20 ohm, reactance: 40 ohm }, job: pulls }
wires:
  - { from: MAINS.L, to: ${line} }
  - { from: ${a}, to: HEAT.1 }
  - { from: ${a}, to: COIL.1 }
  - { from: ${b}, to: HEAT.2 }
  - { from: ${b}, to: COIL.2 }
${name === 'T1' ? '  - { from: MAINS.N, to: T1.2 }' : ''}
`,
  );
  const plan = planCircuit(circuit);
  const operation = operate({ ...plan, limits: [] }, restState(circuit));
  if (operation.kind !== 'steady') throw new Error(operation.kind);
  const limit = plan.limits.find((each) => each.name === name)!;
  const { amps } = branchFigures(new PointView(operation.point), limit.branch);
  const mayOpenAt = (opensAt: number) =>
    new AtWorst({ ...plan, limits: [{ ...limit, opensAt }] }, restState(circuit), nominalScale).mayOverload(
      [],
    );
  expect(mayOpenAt(0.99 * amps)).toBe(true);
  expect(mayOpenAt(2 * amps)).toBe(true);
  expect(mayOpenAt(5 * amps)).toBe(false);
});

test('it says so often, also where something could open, and is asked about what does blow', () => {
  expect(count.shorts).toBeGreaterThan(20);
  expect(count.plain).toBeGreaterThan(2000);
  expect(count.bounds).toBeGreaterThan(50);
  expect(count.near).toBeGreaterThan(500);
  expect(count.overloads).toBeGreaterThan(5);
});
