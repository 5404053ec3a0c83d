import { expect, test } from 'vitest';
import { build, circuitOf, mains, told } from './open.js';

const lamp = `loads:
  LAMP: { kind: lamp, between: [MAINS.L, MAINS.N], rated: { voltage: 120 V, power: 60 W } }
`;

test('a terminal that its part does not have is told at its place, with the nearest one that it has', () => {
  const text = `${mains}switches:
  B1: { positions: [out, in], between: [MAINS.L, B1.2], closed-in: [in] }
loads:
  FAN: { kind: motor, between: [B1.3, MAINS.N], resistance: 40 ohm }
`;
  expect(told(text)).toContain('7:33 reference-unknown B1.2');
});

test('a bare name used once is a slip, used twice a splice', () => {
  const one = `${mains}${lamp}wires:
  - { from: MAINS.L, to: SP1 }
`;
  expect(told(one)).toEqual(['7:26 reference-unknown']);
  const two = `${one}  - { from: SP1, to: MAINS.N, resistance: 100 ohm }
`;
  expect(told(two)).toEqual([]);
});

test('a part name stands for one part in all sections, and a state word for none', () => {
  const text = `${mains}${lamp}switches:
  LAMP: { positions: [off, on], between: [MAINS.L, LAMP.2], closed-in: [on] }
  power: { positions: [off, on], between: [MAINS.L, power.2], closed-in: [on] }
`;
  const codes = build(text).problems.map((problem) => problem.code);
  expect(codes).toContain('name-duplicate');
  expect(codes).toContain('name-reserved');
});

test.each([
  ['single-phase', '{ line: M.L, neutral: M.N }', ['line', 'neutral'], [true, false]],
  [
    'split-phase',
    '{ line1: M.A, line2: M.B, neutral: M.N, earth: M.E }',
    ['line1', 'line2', 'neutral', 'earth'],
    [true, true, false, false],
  ],
  ['three-phase', '{ line1: M.A, line2: M.B, line3: M.C }', ['line1', 'line2', 'line3'], [true, true, true]],
  ['dc', '{ positive: M.P, negative: M.M }', ['positive', 'negative'], [true, false]],
])('a %s supply has its legs', (system, terminals, names, live) => {
  const frequency = system === 'dc' ? '' : ', frequency: 60 Hz';
  const circuit = circuitOf(`loadside: circuit/1
supplies:
  M: { system: ${system}, voltage: 24 V${frequency}, terminals: ${terminals} }
`);
  const legs = circuit.supplies.get('M')?.legs ?? [];
  expect(legs.map((leg) => leg.name)).toEqual(names);
  expect(legs.map((leg) => leg.live)).toEqual(live);
});

test('a terminal of another system in place of one that is needed is one mistake', () => {
  const text = `loadside: circuit/1
supplies:
  M: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line1: M.A, neutral: M.N } }
`;
  expect(build(text).problems.map((problem) => problem.code)).toEqual(['terminal-foreign']);
});

// Z = V/I at power factor cos(phi): textbook relations, e.g. any AC circuits text.
test.each([
  ['resistance: 12 ohm', 12, 0],
  ['rated: { voltage: 240 V, power: 2400 W }', 24, 0],
  ['rated: { voltage: 120 V, current: 2 A, power-factor: 0.6 }', 36, 48],
  ['rated: { voltage: 120 V, current: 2 A, power: 144 W }', 36, 48],
  ['impedance: { resistance: 30 ohm, reactance: 60 ohm }', 30, 60],
])('a load given as %s is %d + j%d ohm', (given, ohms, reactance) => {
  const circuit = circuitOf(`${mains}loads:
  M: { kind: motor, between: [MAINS.L, MAINS.N], ${given} }
`);
  const { impedance } = circuit.branches.find((branch) => branch.name === 'M')!;
  expect(impedance.ohms).toBeCloseTo(ohms, 9);
  expect(impedance.reactanceOhms).toBeCloseTo(reactance, 9);
});

test('a rating plate without its voltage, and a load without any value, are told', () => {
  const text = `${mains}loads:
  A: { kind: lamp, between: [MAINS.L, MAINS.N] }
`;
  expect(told(text)).toEqual(['5:3 key-needed']);
});

test('a green wire that is no earth is warned of; one to the earth terminal is not', () => {
  const text = (colour: string) => `loadside: circuit/1
supplies:
  MAINS:
    system: single-phase
    voltage: 120 V
    frequency: 60 Hz
    terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE }
loads:
  LAMP: { kind: lamp, between: [LAMP.1, MAINS.N], resistance: 240 ohm }
wires:
  - { from: MAINS.L, to: LAMP.1, colour: ${colour} }
  - { from: MAINS.PE, to: CHASSIS, colour: green/yellow }
nodes: { CHASSIS: {} }
`;
  expect(told(text('black'))).toEqual([]);
  expect(told(text('green'))).toEqual(['11:42 earth-colour']);
});

test('names of object machinery lead nowhere, and are never found', () => {
  for (const name of ['toString', 'valueOf', 'hasOwnProperty']) {
    const text = `${mains}${lamp}wires:
  - { from: MAINS.L, to: ${name} }
  - { from: ${name}.1, to: MAINS.N }
`;
    expect(told(text).map((each) => each.split(' ')[1])).toEqual(['reference-unknown', 'reference-unknown']);
  }
  expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
});

test('wires at one part are candidates for being exchanged, each pair once; those from one place are not', () => {
  const circuit = circuitOf(`${mains}loads:
  A: { kind: lamp, between: [A.1, A.2], resistance: 100 ohm }
  B: { kind: lamp, between: [B.1, MAINS.N], resistance: 100 ohm }
wires:
  - { from: MAINS.L, to: A.1, id: W1 }
  - { from: A.2, to: MAINS.N, id: W2 }
  - { from: MAINS.L, to: B.1, id: W3 }
`);
  expect(circuit.crossings.map((fault) => [fault.part, fault.with])).toEqual([
    ['W1', 'W2'],
    ['W2', 'W3'],
  ]);
});
