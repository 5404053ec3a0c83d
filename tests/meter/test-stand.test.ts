/** What a stand keeps is bounded: a library's audit goes through thousands of states of one circuit. */
import { expect, test } from 'vitest';
import { listFaults, type State } from '../../src/circuit/circuit.js';
import { nominalSupplies, TestStand } from '../../src/meter/meter.js';
import { sweepStates } from '../../src/solve/solve.js';
import { openCircuit } from '../published/front-doors.js';

const names = Array.from({ length: 12 }, (_, k) => `S${k}`);
const manySwitches = `
loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
switches:
${names.map((name) => `  ${name}: { positions: [off, on], rest: off, between: [MAINS.L, ${name}.2], closed-in: [on] }`).join('\n')}
loads:
${names.map((name) => `  R${name}: { kind: heating-element, between: [${name}.2, MAINS.N], rated: { voltage: 120 V, power: 60 W } }`).join('\n')}
`;

test.each([
  ['networks', 64, (stand: TestStand, state: State) => stand.look(state, [])],
  ['dead networks', 64, (stand: TestStand, state: State) => stand.look(state, [], true)],
  ['walks', 128, (stand: TestStand, state: State) => stand.walk(state, false)],
  ['worst cases', 64, (stand: TestStand, state: State) => stand.worst(state)],
] as const)('%s of the last %i states', (_, most, look) => {
  const circuit = openCircuit(manySwitches);
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const [first, ...others] = sweepStates(circuit, 200).states;
  const kept = look(stand, first!);
  for (const state of others.slice(0, most - 1)) look(stand, state);
  expect(look(stand, first!)).toBe(kept);
  look(stand, others[most - 1]!);
  expect(look(stand, first!)).not.toBe(kept);
});

test('a walk that has kept too many looks is given up', () => {
  const circuit = openCircuit(manySwitches);
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const [state] = sweepStates(circuit, 1).states;
  const walk = stand.walk(state!, false);
  expect(stand.walk(state!, false)).toBe(walk);
  const places = circuit.nodes.flatMap(({ index: a }) =>
    circuit.nodes.map(({ index: b }) => walk.place([a, b])),
  );
  for (const fault of listFaults(circuit))
    for (const time of [1, 2])
      if (walk.walk(fault, 0) === 'steady')
        for (const place of places) expect(walk.seen?.look(place), `${time}`).toBeDefined();
  expect(walk.looks).toBeGreaterThan(10_000);
  expect(stand.walk(state!, false)).not.toBe(walk);
});
