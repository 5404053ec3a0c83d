import { expect, test } from 'vitest';
import { designateFault, faultName, listFaults } from '../../src/circuit/circuit.js';
import { circuitOf, mains } from './open.js';

const circuit = circuitOf(`${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [on] }
  SEL:
    positions: [off, a, b]
    contacts:
      one: { between: [S.2, SEL.1], closed-in: [a] }
      two: { between: [S.2, SEL.2], closed-in: [b] }
loads:
  A: { kind: lamp, between: [SEL.1, A.2], resistance: 100 ohm }
  B: { kind: lamp, between: [SEL.2, B.2], resistance: 100 ohm }
modules:
  M:
    supply: { between: [MAINS.L, MAINS.N], at-least: 90 V }
    inputs: { go: { between: [S.2, MAINS.N], at-least: 90 V } }
    outputs: { x: { when: [go], job: beeps }, y: { when: [go], job: blinks } }
connectors:
  J3: { pins: 2, sides: [J3h, J3b] }
wires:
  - { from: A.2, to: J3h.1, id: W1 }
  - { from: J3b.1, to: MAINS.N }
  - { from: B.2, to: J3h.2, id: W2 }
  - { from: J3b.2, to: MAINS.N }
`);

test('every fault is found again by the name it is given', () => {
  const faults = listFaults(circuit);
  expect(new Set(faults.map(faultName)).size).toBe(faults.length);
  for (const fault of faults) expect(designateFault(circuit, faultName(fault))).toEqual({ ok: true, fault });
});

test.each([
  ['S:open', 'S:stuck-open'],
  ['S:shorted', 'S:stuck-closed'],
  ['SEL.one:open', 'SEL.one:stuck-open'],
  ['J3:2:open', 'J3:2:open'],
  ['W2:crossed=W1', 'W1:crossed=W2'],
  ['MAINS.neutral:missing', 'MAINS.neutral:missing'],
  ['M.x:dead', 'M.x:dead'],
])('%s means %s', (given, meant) => {
  const found = designateFault(circuit, given);
  expect(found.ok && faultName(found.fault)).toBe(meant);
});

test.each([
  ['S:opened', 'S:stuck-open'],
  ['A:ope', 'A:open'],
  ['SELL:open', 'SEL.one:stuck-open'],
  ['LAMPP', undefined],
  ['toString:open', undefined],
  ['', undefined],
])('%s names none; the nearest is %s', (given, nearest) => {
  const found = designateFault(circuit, given);
  expect(found.ok).toBe(false);
  if (!found.ok && nearest !== 'S:stuck-open') expect(found.nearest).toBe(nearest);
});
