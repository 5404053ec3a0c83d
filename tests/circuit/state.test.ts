import { describe, expect, test } from 'vitest';
import { isClosedByState, readState, restState } from '../../src/circuit/circuit.js';
import { build, circuitOf, mains } from './open.js';

const oven = `${mains}conditions:
  oven-temperature: { unit: degC, rest: 20, from: 0, to: 500 }
  door: { values: [shut, open], rest: shut }
switches:
  SEL: { positions: [off, bake, 3], rest: off, between: [MAINS.L, SEL.2], closed-in: [bake, 3] }
  TH: { follows: oven-temperature, between: [SEL.2, TH.2], opens-above: 260 degC, closes-below: 240 degC }
  HOT: { follows: oven-temperature, between: [TH.2, HOT.2], closes-above: 60 degC, opens-below: 50 degC }
  D: { follows: door, between: [HOT.2, D.2], closed-in: [open] }
loads:
  R: { kind: lamp, between: [D.2, MAINS.N], resistance: 100 ohm }
connectors:
  J1: { pins: 1, sides: [J1h, J1b] }
wires:
  - { from: MAINS.L, to: J1h.1, id: W1 }
  - { from: J1b.1, to: MAINS.N, resistance: 1 kohm }
states:
  baking: { SEL: bake, oven-temperature: 200 }
  looking: [baking, { door: open }]
`;

const circuit = circuitOf(oven);
const stateOf = (value: unknown) => readState(circuit, value, circuit.document, ['states']);

const closed = (value: unknown) => {
  const { state, problems } = stateOf(value);
  expect(problems.map((problem) => problem.code)).toEqual([]);
  return circuit.branches
    .filter(({ gate }) => gate !== undefined && gate.kind !== 'actuator' && isClosedByState(state, gate))
    .map((branch) => branch.name);
};

describe('a state', () => {
  test('is rest with what it says laid over, left to right', () => {
    expect(stateOf('looking').state.changes).toEqual({ SEL: 'bake', 'oven-temperature': 200, door: 'open' });
    expect(stateOf(['looking', { door: 'shut' }, { SEL: 3 }]).state.changes).toEqual({
      SEL: '3',
      'oven-temperature': 200,
    });
    expect(stateOf({}).state.changes).toEqual(restState(circuit).changes);
  });

  test('holds power, and what is unplugged, lifted or taken out', () => {
    const { state, problems } = stateOf({
      power: 'off',
      unplugged: ['J1'],
      disconnected: ['MAINS.L'],
      removed: ['R'],
    });
    expect(problems).toEqual([]);
    expect(state.power).toBe(false);
    expect(state.changes).toEqual({
      power: 'off',
      unplugged: ['J1'],
      disconnected: ['MAINS.L'],
      removed: ['R'],
    });
  });

  test.each([
    [{}, ['TH']],
    [{ SEL: 'bake' }, ['SEL', 'TH']],
    [{ 'oven-temperature': '500 degF', TH: 'closed' }, ['HOT', 'TH']],
    [{ 'oven-temperature': 261 }, ['HOT']],
    [{ 'oven-temperature': 260, TH: 'closed' }, ['TH', 'HOT']],
    [{ 'oven-temperature': 250, TH: 'open' }, ['HOT']],
    [{ 'oven-temperature': 55, HOT: 'open' }, ['TH']],
    [{ door: 'open' }, ['TH', 'D']],
  ])('%j closes %j', (value, names) => {
    expect(closed(value).sort()).toEqual([...names].sort());
  });
});

test.each([
  [{ 'oven-temperature': 250 }, 'state-undecided'],
  [{ 'oven-temperature': 20, TH: 'open' }, 'state-contradiction'],
  [{ 'oven-temperature': 501 }, 'condition-range'],
  [{ 'oven-temperature': 'hot' }, 'state-value'],
  [{ SEL: 'broil' }, 'reference-unknown'],
  [{ door: 'ajar' }, 'reference-unknown'],
  [{ SELL: 'bake' }, 'reference-unknown'],
  ['bakin', 'reference-unknown'],
  [{ power: 'maybe' }, 'state-value'],
  [{ unplugged: ['J2'] }, 'reference-unknown'],
  [{ disconnected: ['TH.2'] }, 'wire-none'],
  [{ removed: ['RR'] }, 'reference-unknown'],
  [{ toString: 'bake' }, 'reference-unknown'],
])('%j is told as %s', (value, code) => {
  expect(stateOf(value).problems.map((problem) => problem.code)).toEqual([code]);
});

test('a named state that names itself, and one with an unknown position, are told where they are written', () => {
  const { problems } = build(`${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [on] }
loads:
  R: { kind: lamp, between: [S.2, MAINS.N], resistance: 100 ohm }
states:
  a: [b]
  b: [a]
  c: { S: onn }
`);
  expect(problems.map((problem) => problem.code).sort()).toEqual([
    'reference-unknown',
    'state-loop',
    'state-loop',
  ]);
});
