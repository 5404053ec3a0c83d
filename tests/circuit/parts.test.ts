import { describe, expect, test } from 'vitest';
import { buildCircuit } from '../../src/circuit/circuit.js';
import { readCircuitFile } from '../../src/text/text.js';

const mains = `loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
conditions:
  heat: { unit: degC, rest: 20, from: 0, to: 300 }
  level: { unit: mm, rest: 0 }
loads:
  LAMP: { kind: lamp, between: [MAINS.L, MAINS.N], resistance: 100 ohm }
  M: { kind: motor, between: [MAINS.L, MAINS.N], rated: { voltage: 120 V, current: 2 A } }
`;

/** Every problem of a file, as "line: code data". */
function problemsOf(text: string): string[] {
  const source = { name: 'c.yaml', text };
  const { file, problems } = readCircuitFile(source);
  const found = file === undefined ? problems : buildCircuit(file.document, file.raw).problems;
  return found.map(({ code, data, at }) => {
    const line = text.slice(0, at.span.start).split('\n').length;
    return `${text.split('\n')[line - 1]?.trim()} -> ${code} ${JSON.stringify(data)}`;
  });
}

/** A slip in one part, which the message must place and name; and what else it must say. */
const slips: readonly (readonly [what: string, rows: string, code: string, ...says: readonly string[]])[] = [
  [
    'a relay that drops out above where it picks up',
    'relays:\n  K: { coil: { between: [MAINS.L, MAINS.N], resistance: 2 kohm, picks-up-at: 40 V, drops-out-below: 80 V }, contacts: { a: { between: [MAINS.L, MAINS.N], normally: open } } }',
    'threshold-order',
    'drops-out-below',
  ],
  [
    'normally: opened',
    'relays:\n  K: { coil: { between: [MAINS.L, MAINS.N], resistance: 2 kohm }, contacts: { a: { between: [MAINS.L, MAINS.N], normally: opened } } }',
    'value-choice',
    'open',
  ],
  [
    'a coil without resistance',
    'relays:\n  K: { coil: { between: [MAINS.L, MAINS.N] }, contacts: { a: { between: [MAINS.L, MAINS.N], normally: open } } }',
    'key-missing',
    'resistance',
  ],
  [
    'a capacitor with an inductance',
    'passives:\n  C: { kind: capacitor, between: [MAINS.L, MAINS.N], capacitance: 5 uF, inductance: 1 H }',
    'key-conflict',
    'inductance',
  ],
  [
    'a capacitor without capacitance',
    'passives:\n  C: { kind: capacitor, between: [MAINS.L, MAINS.N] }',
    'key-needed',
    'capacitance',
  ],
  [
    'farads written as ohms',
    'passives:\n  C: { kind: capacitor, between: [MAINS.L, MAINS.N], capacitance: 5 ohm }',
    'quantity-unit',
    'ohm',
  ],
  [
    'a sensor without its curve',
    'passives:\n  RT: { kind: rtd, between: [MAINS.L, MAINS.N], follows: heat }',
    'key-needed',
    'curve',
  ],
  [
    'a platinum sensor with beta',
    'passives:\n  RT: { kind: rtd, between: [MAINS.L, MAINS.N], follows: heat, curve: { resistance: 100 ohm, beta: 3950 } }',
    'key-conflict',
    'beta',
  ],
  [
    'a thermistor without beta',
    'passives:\n  RT: { kind: thermistor, between: [MAINS.L, MAINS.N], follows: heat, curve: { resistance: 10 kohm } }',
    'key-needed',
    'beta',
  ],
  [
    'a sensor of a level',
    'passives:\n  RT: { kind: rtd, between: [MAINS.L, MAINS.N], follows: level, curve: { resistance: 100 ohm } }',
    'state-value',
    'degC',
  ],
  [
    'a sensor of what is not there',
    'passives:\n  RT: { kind: rtd, between: [MAINS.L, MAINS.N], follows: heet, curve: { resistance: 100 ohm } }',
    'reference-unknown',
    '"nearest":"heat"',
  ],
  [
    'a table that falls',
    'passives:\n  RT: { kind: thermistor, between: [MAINS.L, MAINS.N], follows: heat, curve: { table: [[100 degC, 1 kohm], [20 degC, 10 kohm]] } }',
    'curve-order',
    '20 degC',
  ],
  [
    'a rest outside the table',
    'passives:\n  RT: { kind: thermistor, between: [MAINS.L, MAINS.N], follows: heat, curve: { table: [[50 degC, 3 kohm], [100 degC, 1 kohm]] } }',
    'curve-range',
    '"from":"50"',
  ],
  [
    'a transformer with one voltage too few',
    'transformers:\n  T: { primary: [MAINS.L, MAINS.N], secondaries: [[T.3, T.4], [T.5, T.6]], voltages: [120 V, 24 V] }',
    'count-differs',
    '"expected":3',
  ],
  [
    'a transformer with resistances for one winding',
    'transformers:\n  T: { primary: [MAINS.L, MAINS.N], secondary: [T.3, T.4], voltages: [120 V, 24 V], resistances: [18 ohm, 1 ohm, 1 ohm] }',
    'count-differs',
    'resistances',
  ],
  [
    'a transformer without secondary',
    'transformers:\n  T: { primary: [MAINS.L, MAINS.N], voltages: [120 V, 24 V] }',
    'key-needed',
    'secondary',
  ],
  [
    'a switch that follows no load',
    'switches:\n  S: { follows: LAMPP, between: [MAINS.L, MAINS.N], closed-in: [working] }',
    'reference-unknown',
    '"nearest":"LAMP"',
  ],
  [
    'a switch closed in a word that no load has',
    'switches:\n  S: { follows: M, between: [MAINS.L, MAINS.N], closed-in: [running] }',
    'reference-unknown',
    'working',
  ],
  [
    'a switch that follows a load, with a threshold',
    'switches:\n  S: { follows: M, between: [MAINS.L, MAINS.N], opens-above: 5 V }',
    'key-conflict',
    'follows: M',
  ],
  [
    'a range beyond the positions',
    'switches:\n  S: { positions: [off, 1-4], between: [MAINS.L, MAINS.N], closed-in: [3-6] }',
    'reference-unknown',
    '"found":"5"',
  ],
];

describe('a slip in a part is one problem, at its place', () => {
  test.each(slips)('%s', (_, rows, code, ...says) => {
    const found = problemsOf(`${mains}${rows}\n`).filter((problem) => !problem.includes('node-dangling'));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain(` -> ${code} `);
    for (const word of says) expect(found[0]).toContain(word);
  });

  test.each([
    ['connection: delta', 'system: single-phase', 'key-conflict'],
    ['impedances: { line1: 1 ohm }', 'voltage: 120 V', 'terminal-foreign'],
    ['phase: 400', 'voltage: 120 V', 'value-range'],
  ])('a supply with %s', (key, beside, code) => {
    const found = problemsOf(mains.replace(beside, `${beside}, ${key}`));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain(` -> ${code} `);
  });

  test.each([
    ['start-winding: LAMPP', 'reference-unknown'],
    ['start-winding: M', 'state-value'],
    ['locked: {}', 'key-needed'],
    ['locked: { current: 30 V }', 'quantity-unit'],
  ])('a motor with %s', (key, code) => {
    const found = problemsOf(mains.replace('current: 2 A }', `current: 2 A }, ${key}`));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain(` -> ${code} `);
  });

  test.each([
    ['{ after: [runing] }', 'reference-unknown'],
    ['{ after: [{ S: onn }] }', 'reference-unknown'],
    ['{ after: [loops] }', 'state-loop'],
    ['{ CENT: open }', 'state-value'],
  ])('a state %s', (state, code) => {
    const found = problemsOf(`${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [on] }
  CENT: { follows: M, between: [S.2, MAINS.N], closed-in: [idle] }
states:
  running: { S: on }
  loops: ${state}
`);
    expect(found).toHaveLength(1);
    expect(found[0]).toContain(` -> ${code} `);
  });
});
