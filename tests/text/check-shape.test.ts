import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { decode, limits, type ReadFile, readCircuitFile, readReadingsFile } from '../../src/text/text.js';
import { brief, circuitSource, pointedAt } from './show.js';

const circuit = (text: string) => readCircuitFile(circuitSource(`loadside: circuit/1\n${text}`));
const only = (text: string) => {
  const { problems } = circuit(text);
  expect(problems).toHaveLength(1);
  return problems[0]!;
};

/** A circuit with one of most things, in few lines. */
const sample = `loadside: circuit/1
title: sample
hazards: [moving-parts]
supplies:
  MAINS:
    system: single-phase
    voltage: 120 V
    terminals: { line: MAINS.L, neutral: MAINS.N }
conditions:
  heat: { unit: degC, rest: 20 }
switches:
  B1:
    positions: [out, in]
    rest: out
    between: [B1.1, B1.2]
    closed-in: [in]
loads:
  FAN: { kind: motor, between: [B1.2, MAINS.N], resistance: 30 ohm, job: fan turns }
relays:
  K1:
    coil: { between: [K1.A1, K1.A2], resistance: 2.2 kohm }
    contacts:
      make: { between: [K1.11, K1.14], normally: open }
protectors:
  F1: { kind: fuse, between: [F1.1, F1.2], rating: 15 A }
modules:
  CTL:
    supply: { between: [CTL.L, CTL.N], at-least: 90 V, draws: { power: 3 W } }
    inputs: { start: { between: [CTL.1, CTL.N], at-least: 90 V, impedance: 150 kohm } }
    outputs: { fan: { when: [start], between: [CTL.L, CTL.5] } }
passives:
  C1: { kind: capacitor, between: [C1.1, C1.2], capacitance: 22 uF }
transformers:
  T1: { primary: [T1.1, T1.2], secondary: [T1.3, T1.4], voltages: [120 V, 24 V], rating: 40 VA }
connectors:
  J3: { pins: 3, sides: [J3h, J3b] }
wires:
  - { from: MAINS.L, to: B1.1 }
  - { from: K1.14, to: J3h.1, gauge: 18 AWG }
nodes:
  SP1: { reachable: false, access: 4 min }
pin-maps:
  CTL.1: { label: start, switch: B1, position: in }
states:
  run: { B1: in }
expectations:
  - { in: run, red: B1.2, black: MAINS.N, reads: 120 V }
  - { in: {}, load: FAN, works: no }
`;

describe('a file of the right shape', () => {
  test('is given as it stands', () => {
    const { file, problems, more } = readCircuitFile(circuitSource(sample));
    expect([problems, more]).toEqual([[], 0]);
    expect(file?.raw.switches?.['B1']?.positions).toEqual(['out', 'in']);
    expect(file?.raw).toBe(file?.document.data);
  });

  test('may hold anything under a key that starts with x-', () => {
    expect(circuit('x-mine: [1, { a: true }]\n').problems).toEqual([]);
  });
});

describe('what is wrong, where, and what would be right', () => {
  test.each([
    ['wirs: []\n', 'key-unknown 2:1', 'wirs', { key: 'wirs', nearest: 'wires' }],
    ['toString: 1\n', 'key-unknown 2:1', 'toString', { key: 'toString', nearest: undefined }],
    ['__proto__: {}\n', 'key-unknown 2:1', '__proto__', { key: '__proto__' }],
    ['wires:\n  - { from: A.1 }\n', 'key-missing 3:5', '{ from: A.1 }', { key: 'to' }],
    ['wires:\n  - { from: A.1, too: B.1 }\n', 'key-unknown 3:18', 'too', { key: 'too', nearest: 'to' }],
    ['loads:\n  L: { kind: lamp }\n', 'key-missing 3:3', 'L', { key: 'between' }],
    [
      'loads:\n  L: { kind: lmap, between: [A, B] }\n',
      'value-choice 3:14',
      'lmap',
      { found: 'lmap', nearest: 'lamp' },
    ],
    ['loads:\n  L: { kind: , between: [A, B] }\n', 'value-choice 3:8', 'kind', { found: 'nothing' }],
    ['loads:\n  L: { kind: [lamp], between: [A, B] }\n', 'value-choice 3:14', '[lamp]', { found: 'a list' }],
    ['hazards: [gas, gass]\n', 'value-choice 2:16', 'gass', { found: 'gass', nearest: 'gas' }],
    [
      'title: 12\n',
      'value-kind 2:8',
      '12',
      { found: 'the number 12', expected: 'text', hint: "quote it: '12'" },
    ],
    ['title: true\n', 'value-kind 2:8', 'true', { found: 'the word true', hint: "quote it: 'true'" }],
    ['title:\n', 'value-kind 2:1', 'title', { found: 'nothing', expected: 'text', hint: 'left empty' }],
    ['title: ~\n', 'value-kind 2:8', '~', { found: 'nothing', hint: 'left empty' }],
    [
      'wires:\n  - { from: 010, to: B }\n',
      'value-kind 3:13',
      '010',
      { found: 'the number 010', expected: 'a node, such as CTL.4', hint: "quote it: '010'" },
    ],
    [
      'wires:\n  - { from: A, to: B, id: 1e3 }\n',
      'value-kind 3:27',
      '1e3',
      { expected: 'the id of a wire', hint: "quote it: '1e3'" },
    ],
    [
      'wires: { from: A, to: B }\n',
      'value-kind 2:8',
      '{ from: A, to: B }',
      { found: 'a map', expected: 'a list' },
    ],
    [
      'wires: none\n',
      'value-kind 2:8',
      'none',
      { found: 'the text none', expected: 'a list', hint: 'write a list: [none]' },
    ],
    ['loads: [L]\n', 'value-kind 2:8', '[L]', { found: 'a list', expected: 'a map' }],
    [
      'connectors: { J: { pins: "3", sides: [A, B] } }\n',
      'value-kind 2:26',
      '"3"',
      { found: 'the text 3', expected: 'a whole number', hint: 'take the quotes off: 3' },
    ],
    [
      'connectors: { J: { pins: .nan, sides: [A, B] } }\n',
      'value-kind 2:26',
      '.nan',
      { found: 'the text .nan', hint: undefined },
    ],
    [
      'connectors: { J: { pins: 1e999, sides: [A, B] } }\n',
      'value-kind 2:26',
      '1e999',
      { found: 'the text 1e999' },
    ],
    [
      'connectors: { J: { pins: 2.5, sides: [A, B] } }\n',
      'value-kind 2:26',
      '2.5',
      { found: 'the number 2.5' },
    ],
    [
      'connectors: { J: { pins: 0, sides: [A, B] } }\n',
      'value-range 2:26',
      '0',
      { found: 0, least: 1, most: undefined },
    ],
    [
      'connectors: { J: { pins: 999, sides: [A, B] } }\n',
      'value-range 2:26',
      '999',
      { found: 999, least: undefined, most: 200 },
    ],
    ['connectors: { J: { pins: 3, sides: [A] } }\n', 'value-count 2:36', '[A]', { found: 1, least: 2 }],
    [
      'connectors: { J: { pins: 3, sides: [A, B, C] } }\n',
      'value-count 2:36',
      '[A, B, C]',
      { found: 3, most: 2 },
    ],
    ['wires:\n  - { from: A B, to: C }\n', 'name-form 3:13', 'A B', { found: 'A B' }],
    ['loads:\n  L: { kind: lamp, between: [A.1 B.1] }\n', 'name-form 3:30', 'A.1 B.1', { found: 'A.1 B.1' }],
    ['states:\n  "a b": {}\n', 'name-form 3:3', '"a b"', { found: 'a b' }],
    ['states:\n  010: {}\n', 'name-form 3:3', '010', { found: '010' }],
    ['states:\n  constructor: {}\n', 'name-form 3:3', 'constructor', { found: 'constructor' }],
    ['states:\n  __proto__: {}\n', 'name-form 3:3', '__proto__', { found: '__proto__' }],
    ['states:\n  run { B1: in }\n', 'name-form 3:3', 'run { B1', { found: 'run { B1' }],
    [`title: ${'x'.repeat(201)}\n`, 'text-length 2:8', 'x'.repeat(201), { found: 201, most: 200 }],
    [
      `wires:\n  - { from: ${'A '.repeat(60)}, to: B }\n`,
      'text-length 3:13',
      'A '.repeat(60).trim(),
      { most: 80 },
    ],
  ])('%j', (text, place, pointed, data) => {
    const problem = only(text);
    expect(brief(problem)).toBe(place);
    expect(pointedAt(problem)).toBe(pointed);
    expect(problem.data).toMatchObject(data);
  });

  test('the keys allowed at a place are named, however deep', () => {
    expect(only('switches:\n  S:\n    contacts:\n      a: { betwen: [A, B] }\n').data).toMatchObject({
      key: 'betwen',
      nearest: 'between',
      allowed: expect.arrayContaining(['between', 'closed-in']),
    });
    expect(
      only('relays:\n  K: { contacts: {}, coil: { between: [A, B], resistance: 1, pick-up: 3 } }\n').data,
    ).toMatchObject({
      allowed: expect.arrayContaining(['picks-up-at']),
    });
  });

  test('a file of another kind, version or form is one problem', () => {
    const whole = (text: string) => readCircuitFile(circuitSource(text)).problems.map(brief);
    expect(whole('loadside: readings/1\nreadings: []\nsymptoms: 3\n')).toEqual(['file-kind 1:11']);
    expect(whole('circuit: a.circuit.yaml\nanswers: {}\nfacts: []\n')).toEqual(['file-kind 1:1']);
    expect(whole('loadside: circuit/2\nfuture: 1\n')).toEqual(['value-choice 1:11']);
    expect(whole('hello\n')).toEqual(['value-kind 1:1']);
    expect(whole('- a\n')).toEqual(['value-kind 1:1']);
    expect(whole('loadsid: circuit/1\n')).toEqual(['key-unknown 1:1']);
    expect(whole('title: x\n')).toEqual(['key-missing 1:1']);
  });

  test('the word in the way of a terminal stays out of places and counts', () => {
    const problem = only('"\\e[31m": 1\n');
    expect(problem.data).toMatchObject({ nearest: undefined });
  });
});

describe('many mistakes', () => {
  test('come in the order of the file', () => {
    const { problems } = circuit('wires:\n  - { from: 1, to: B }\nloads:\n  L: {}\nabot: x\ntitle: 1\n');
    expect(problems.map(brief)).toEqual([
      'value-kind 3:13',
      'key-missing 5:3',
      'key-missing 5:3',
      'key-unknown 6:1',
      'value-kind 7:8',
    ]);
  });

  test('are listed up to the limit and counted beyond', () => {
    const { problems, more } = circuit(`wires:\n${'  - { from: 1, to: 2 }\n'.repeat(300)}`);
    expect(problems.length).toBe(limits.problems);
    expect(more).toBe(500);
    expect(brief(problems[0]!)).toBe('value-kind 3:13');
    expect(brief(problems[99]!)).toBe('value-kind 52:20');
  });

  test('100,000 bad rows come to an end', async () => {
    const text = `in,red,reads\n${'x,1 2,OL\n'.repeat(100_000)}`;
    const { problems, more } = readReadingsFile({ name: 'a.csv', text });
    expect([problems.length, more]).toEqual([100, 99_900]);
    expect(problems.map(brief).at(-1)).toBe('name-form 101:3');
  }, 20_000);
});

describe('a slip of the finger', () => {
  test.each([':', '{', '}', '[', ']', ','])('a %j left out is at most one problem, near its line', (mark) => {
    for (let at = sample.indexOf(mark); at !== -1; at = sample.indexOf(mark, at + 1)) {
      const { problems } = readCircuitFile(circuitSource(sample.slice(0, at) + sample.slice(at + 1)));
      const line = sample.slice(0, at).split('\n').length;
      const shown = sample.split('\n')[line - 1];
      expect(problems.length, shown).toBeLessThanOrEqual(1);
      for (const problem of problems) {
        const found = Number(/ (\d+):/.exec(brief(problem))?.[1]);
        expect(Math.abs(found - line), shown).toBeLessThanOrEqual(1);
      }
    }
  });
});

describe('a misspelt key is never passed over', () => {
  const keyPattern = /(?<=^[ -]*|[{,] )([A-Za-z][\w.-]*)(?=: |:$)/gm;
  /** Names a person gives: what they break when misspelt is for the floors above to say. */
  const given = new Set('MAINS heat B1 FAN K1 make F1 CTL start fan C1 T1 J3 SP1 CTL.1 run'.split(' '));

  async function misspell(
    read: (text: string) => Promise<ReadFile<unknown>> | ReadFile<unknown>,
    text: string,
  ): Promise<number> {
    let count = 0;
    for (const match of text.matchAll(keyPattern)) {
      const [key] = match;
      if (given.has(key)) continue;
      const { problems } = await read(
        `${text.slice(0, match.index)}${key}z${text.slice(match.index + key.length)}`,
      );
      expect(
        problems.map(({ code, data }) => ({ code, data })),
        key,
      ).toMatchObject([{ code: 'key-unknown', data: { key: `${key}z` } }]);
      count += 1;
    }
    return count;
  }

  test('in the sample', async () => {
    expect(await misspell((text) => readCircuitFile(circuitSource(text)), sample)).toBeGreaterThan(75);
  });

  test('in readings', async () => {
    const text = `loadside: readings/1
circuit: a.circuit.yaml
meter: { input: low-impedance, accuracy: { percent: 1, counts: 3, resolution: 0.1 } }
supply: { MAINS: 121.3 V }
symptoms:
  - { in: run, load: FAN, works: no }
readings:
  - { in: run, red: A.1, black: A.2, reads: OL, note: x }
  - { in: run, on: W7, reads: 10.2 A, input: high-impedance }
`;
    expect(readReadingsFile({ name: 'a.yaml', text }).problems).toEqual([]);
    const read = (changed: string) => readReadingsFile({ name: 'a.yaml', text: changed });
    expect(await misspell(read, text)).toBeGreaterThan(20);
  });
});

describe('the examples', () => {
  const root = new URL('../../examples/', import.meta.url);
  const names = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((name) =>
    /\.(?:circuit|readings)\.(?:yaml|csv)$/.test(name),
  );

  test.each(names)('%s has the right shape', async (name) => {
    const { source } = decode(name, readFileSync(new URL(name.replaceAll('\\', '/'), root)));
    const { problems } = name.includes('.circuit.') ? readCircuitFile(source!) : readReadingsFile(source!);
    expect(problems).toEqual([]);
  });
});
