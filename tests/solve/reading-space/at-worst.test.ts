import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Circuit, type Fault, faultName, listFaults, restState } from '../../../src/circuit/circuit.js';
import { operate } from '../../../src/solve/operating-point.js';
import { nominalScale, type Plan } from '../../../src/solve/plan.js';
import { AtWorst, planCircuit, sweepStates } from '../../../src/solve/solve.js';
import { exampleCircuits } from '../../cli/example-files.js';
import { openCircuit } from '../../published/front-doors.js';
import { randomCircuit, randomReactiveCircuit } from '../random-circuit.js';

const count = { shorts: 0, overloads: 0, plain: 0, near: 0 };

/** What is said not to short and not to overload does neither when it is solved for. */
function hold(plan: Plan, circuit: Circuit, tried: readonly (readonly Fault[])[], states: number): void {
  const visited = states === 1 ? [restState(circuit)] : sweepStates(circuit, states).states;
  for (const state of visited) {
    const worst = new AtWorst(plan, state, nominalScale);
    for (const faults of tried) {
      const what = faults.map(faultName).join(' and ');
      const mayShort = worst.mayShort(faults);
      const mayOverload = worst.mayOverload(faults);
      if (mayShort && mayOverload) continue;
      const { kind } = operate(plan, state, faults);
      if (kind === 'short') {
        count.shorts += 1;
        expect(mayShort, `${what} shorts`).toBe(true);
      } else if (kind === 'overload') {
        count.overloads += 1;
        expect(mayShort || mayOverload, `${what} overloads`).toBe(true);
      } else if (!mayShort && !mayOverload) {
        count.plain += 1;
        if (plan.limits.length > 0) count.near += 1;
      }
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
  for (const by of [1, 0.4])
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
  const share = fc.constantFrom(1, 0.5, 0.3, 0.2, 0.1, 0.05);
  fc.assert(
    fc.property(circuits, share, fc.nat(200), (text, by, pick) => {
      const circuit = openCircuit(text);
      const faults = listFaults(circuit);
      const plan = lowered(planCircuit(circuit), by);
      hold(plan, circuit, [...faults.map((fault) => [fault]), ...pairsFrom(faults, pick)], 1);
    }),
    { numRuns: 40 },
  );
});

test('it says so often, also where something could open, and is asked about what does blow', () => {
  expect(count.plain).toBeGreaterThan(2000);
  expect(count.near).toBeGreaterThan(500);
  expect(count.shorts).toBeGreaterThan(20);
  expect(count.overloads).toBeGreaterThan(5);
});
