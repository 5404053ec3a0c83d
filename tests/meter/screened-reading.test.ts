/** A first look at a reading from a network that is kept says what it said when the fault was laid. */
import { expect, test } from 'vitest';
import { faultName, listFaults, restState } from '../../src/circuit/circuit.js';
import {
  impossibleReading,
  nominalSupplies,
  readingScreen,
  TestStand,
  usualInstrument,
} from '../../src/meter/meter.js';
import { openCircuit } from '../published/front-doors.js';

const divider = `
loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 230 V, frequency: 50 Hz, tolerance: 0 %, terminals: { line: MAINS.L, neutral: MAINS.N } }
loads:
  UPPER: { kind: heating-element, between: [MAINS.L, M], impedance: { resistance: 100 ohm, reactance: 0 ohm }, tolerance: 10 % }
  LOWER: { kind: heating-element, between: [M, MAINS.N], impedance: { resistance: 50 ohm, reactance: 0 ohm }, tolerance: 10 % }
  BESIDE: { kind: heating-element, between: [M, B], impedance: { resistance: 80 ohm, reactance: 0 ohm }, tolerance: 10 % }
wires:
  - { from: B, to: MAINS.N, id: W }
`;

test('with parts that move it, from just impossible to just possible', () => {
  const circuit = openCircuit(divider);
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const state = restState(circuit);
  const walk = stand.walk(state, false);
  const screen = readingScreen(walk, stand.supplies);
  const [red, black] = ['M', 'MAINS.N'].map((name) => circuit.nodes.findIndex((node) => node.name === name));
  const where = { kind: 'between', red: red!, black: black! } as const;
  const impossible = Array.from({ length: 231 }, (_, value) =>
    impossibleReading(screen, {
      index: 1,
      state,
      meter: usualInstrument,
      where,
      shown: { kind: 'value', value, unit: 'V' },
    }),
  );
  const open = listFaults(circuit).find((fault) => faultName(fault) === 'W:open');
  const look = () => {
    walk.hold(undefined);
    expect(walk.walk(open, 0)).toBe('steady');
    return impossible.map((isOut) => isOut(walk.seen!));
  };
  const laid = look();
  // 230 V over 100 and 50 ohm; a tenth either way moves that by some 10 V, which the first look takes for half as much more.
  expect(laid[77]).toBe(false);
  expect(laid[60]).toBe(false);
  expect(laid[40]).toBe(true);
  expect(laid[110]).toBe(true);
  look();
  expect(look()).toEqual(laid);
});
