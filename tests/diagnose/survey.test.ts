import { expect, test } from 'vitest';
import { auditCircuit, derivePins, traceLoad } from '../../src/diagnose/diagnose.js';
import { readExpectations } from '../../src/meter/meter.js';
import { placeOf, type Raw, readCircuitFile } from '../../src/text/text.js';
import { circuitOf, mains } from '../circuit/open.js';

function audited(text: string): string[] {
  const circuit = circuitOf(text);
  const { raw } = readCircuitFile({ name: 'test.circuit.yaml', text }).file as { raw: Raw.RawCircuit };
  const { expectations, problems } = readExpectations(circuit, raw.expectations ?? []);
  expect(problems).toEqual([]);
  return auditCircuit(circuit, expectations).problems.map(({ code, at }) => {
    const { line } = placeOf(at.source, at.span.start);
    return `${line} ${code}`;
  });
}

const lamp = `loads:
  LAMP: { kind: lamp, between: [S.2, MAINS.N], resistance: 240 ohm, job: lights }
`;
const control = (extra: string) => `${mains}switches:
  B1: { positions: [out, in], between: [B1.1, B1.2], closed-in: [in] }
  B2: { positions: [out, in], between: [B2.1, B2.2], closed-in: [in] }
modules:
  CTL:
    supply: { between: [MAINS.L, MAINS.N], at-least: 90 V }
    inputs:
      one: { between: [CTL.1, MAINS.N], at-least: 90 V, impedance: 150 kohm }
      two: { between: [CTL.2, MAINS.N], at-least: 90 V, impedance: 150 kohm }
    outputs: { slow: { when: [one], job: runs slow }, fast: { when: [two], job: runs fast } }
${extra}`;
const straight = control(`wires:
  - { from: MAINS.L, to: B1.1 }
  - { from: MAINS.L, to: B2.1 }
  - { from: B1.2, to: CTL.1 }
  - { from: B2.2, to: CTL.2 }
pin-maps:
  CTL.1: { label: slow, switch: B1, position: in }
  CTL.2: { label: fast, switch: B2, position: in }
`);

test.each([
  [
    'a contact across the supply',
    'S: { positions: [off, on], between: [MAINS.L, MAINS.N], closed-in: [on] }',
    'loads:\n  LAMP: { kind: lamp, between: [MAINS.L, MAINS.N], resistance: 240 ohm }\n',
    ['5 supply-shorted'],
  ],
  [
    'a load no state feeds',
    'S: { positions: [off, on], between: [MAINS.N, S.2], closed-in: [on] }',
    lamp,
    ['7 load-never-works'],
  ],
  [
    'a contact that is closed in every position',
    'S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [off, on] }',
    lamp,
    ['5 contact-never-moves'],
  ],
  ['a sound switch', 'S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [on] }', lamp, []],
])('%s', (_, row, loads, told) => {
  expect(audited(`${mains}switches:\n  ${row}\n${loads}`)).toEqual(told);
});

// A current relay's coil carries the run winding's amperes: it is in at standstill and out again once the motor turns.
const currentRelay = (picksUpAt: string) => `${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, RUN.1], closed-in: [on] }
loads:
  RUN:
    kind: motor
    between: [RUN.1, RUN.R]
    rated: { voltage: 120 V, current: 1.2 A, power: 100 W }
    locked: { current: 11 A }
    start-winding: START
    job: turns
  START: { kind: other, between: [RUN.1, START.2], impedance: { resistance: 13 ohm, reactance: 15 ohm } }
relays:
  K:
    coil: { between: [MAINS.N, RUN.R], resistance: 0.35 ohm, picks-up-at: ${picksUpAt}, drops-out-below: 1.4 V }
    contacts: { start: { between: [MAINS.N, START.2], normally: open } }
`;

test.each([
  ['pulls in for a moment has moved', '2.5 V', []],
  [
    'never pulls in is told, and so is the motor it does not start',
    '20 V',
    ['8 load-never-works', '17 load-never-works', '17 contact-never-moves'],
  ],
])('a relay that %s', (_, picksUpAt, told) => {
  expect(audited(currentRelay(picksUpAt))).toEqual(told);
});

test('an expectation is held to about its value, and told at its place when it fails', () => {
  const text = `${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [on] }
${lamp}expectations:
  - { in: { S: on }, red: S.2, black: MAINS.N, reads: 120 V }
  - { in: { S: on }, red: S.2, black: MAINS.N, reads: 110 V }
  - { in: {}, load: LAMP, works: no }
  - { in: {}, load: LAMP, works: yes }
  - { in: { power: off }, red: MAINS.L, black: MAINS.N, reads: 240 ohm }
`;
  expect(audited(text)).toEqual(['10 expectation-differs', '12 expectation-works', '13 expectation-differs']);
});

test('pins are derived from the wiring alone and held against the map', () => {
  const { pins, complete } = derivePins(circuitOf(straight));
  expect(complete).toBe(true);
  expect(pins.map(({ node, requires, agrees }) => [node, { ...requires }, agrees])).toEqual([
    ['CTL.1', { B1: ['in'] }, true],
    ['CTL.2', { B2: ['in'] }, true],
  ]);
  const exchanged = straight
    .replace('{ from: B1.2, to: CTL.1 }', '{ from: B1.2, to: CTL.2 }')
    .replace('{ from: B2.2, to: CTL.2 }', '{ from: B2.2, to: CTL.1 }');
  expect(derivePins(circuitOf(exchanged)).pins.map(({ agrees }) => agrees)).toEqual([false, false]);
  expect(audited(exchanged)).toEqual(['20 pin-map-contradicted', '21 pin-map-contradicted']);
  expect(derivePins(circuitOf(straight), 'B1').pins).toEqual([]);
});

test('a pin behind two switches needs both; one with no way to the line is never live', () => {
  const text = straight
    .replace('{ from: MAINS.L, to: B1.1 }', '{ from: B2.2, to: B1.1 }')
    .replace('  - { from: B2.2, to: CTL.2 }\n', '')
    .replace(/pin-maps:[\s\S]*/, '');
  const { pins } = derivePins(circuitOf(text));
  expect(pins.map(({ node, live, requires }) => [node, live, { ...requires }])).toEqual([
    ['CTL.1', 'sometimes', { B1: ['in'], B2: ['in'] }],
    ['CTL.2', 'never', {}],
  ]);
});

test('a trace walks both sides from the supply, in the state with the fewest changes', () => {
  const circuit = circuitOf(`${mains}switches:
  S: { positions: [off, on], between: [S.1, S.2], closed-in: [on] }
  D: { positions: [shut, open], between: [D.1, D.2], closed-in: [shut] }
loads:
  LAMP: { kind: lamp, between: [LAMP.1, LAMP.2], resistance: 240 ohm }
wires:
  - { from: MAINS.L, to: S.1, id: W1 }
  - { from: S.2, to: LAMP.1, id: W2 }
  - { from: LAMP.2, to: D.1, id: W3 }
  - { from: D.2, to: MAINS.N, id: W4 }
`);
  const answer = traceLoad(circuit, circuit.loads.get('LAMP')!);
  expect(answer.state?.changes).toEqual({ S: 'on' });
  const walked = answer.sides.map(({ path }) => [
    path?.leg,
    ...(path?.steps ?? []).map(({ branch }) => circuit.branches[branch]?.name),
  ]);
  expect(walked).toEqual([
    ['line', 'W1', 'S', 'W2'],
    ['neutral', 'W4', 'D', 'W3'],
  ]);
});
