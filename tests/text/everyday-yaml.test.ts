import { beforeEach, describe, expect, test, vi } from 'vitest';
import { readEitherYaml } from '../../src/text/read-either-yaml.js';
import { readEverydayYaml } from '../../src/text/read-everyday-yaml.js';
import { readYaml } from '../../src/text/read-yaml.js';
import { limits, readCircuitFile } from '../../src/text/text.js';
import { examples } from './everyday-yaml-texts.js';
import { brief } from './show.js';

vi.mock('../../src/text/read-yaml.js', { spy: true });
beforeEach(() => {
  vi.mocked(readYaml).mockClear();
});

const most = { ...limits, bytes: limits.circuitBytes };
const read = (text: string) => readEverydayYaml(text, most);
const full = (text: string) => readYaml({ name: 'a.circuit.yaml', text }, most);

describe('the short road', () => {
  test.each(examples)('is taken by $name, whose places are the full reader’s', (source) => {
    const { document, problems } = readEitherYaml(source, most);
    expect(problems).toEqual([]);
    expect(readYaml).not.toHaveBeenCalled();
    const whole = full(source.text).document;
    expect(document?.data).toEqual(whole?.data);
    for (const part of ['key', 'value'] as const) {
      for (const path of [['loadside'], ['title'], ['wires', 2, 'to'], ['readings', 1, 'in'], ['nowhere']]) {
        expect(document?.locate(path, part).span).toEqual(whole?.locate(path, part).span);
      }
    }
    // Once here, and once for all the places together.
    expect(readYaml).toHaveBeenCalledTimes(2);
  });

  test('is left by a text it gives up on, and the problem is the full reader’s', () => {
    const source = { name: 'a.circuit.yaml', text: 'a: 1\na: 2\n' };
    expect(readEitherYaml(source, most).problems.map(brief)).toEqual(['yaml-duplicate-key 2:1']);
    expect(readYaml).toHaveBeenCalledTimes(1);
  });

  test('gives a mistake in the shape its place', () => {
    const text = 'loadside: circuit/1\nloads:\n  L: { kind: motr, between: [a, b] }\n';
    expect(readCircuitFile({ name: 'a.circuit.yaml', text }).problems.map(brief)).toEqual([
      'value-choice 3:14',
    ]);
  });
});

test.each<[string, unknown]>([
  ['a: 1', { a: 1 }],
  ['a: ../b.yaml # c\nd: [./e, .5]\n', { a: '../b.yaml', d: ['./e', 0.5] }],
  ['a:\n  b:\n    c: x\n  d: y\ne: z\n', { a: { b: { c: 'x' }, d: 'y' }, e: 'z' }],
  [
    'a:\n  - x\n  - y: 1\n    z: 2\n  -   v: 3\n      w: 4\nb: 5\n',
    { a: ['x', { y: 1, z: 2 }, { v: 3, w: 4 }], b: 5 },
  ],
  ['a:\n- x\n- - y\n  - z\n-\n  b: 1\nc: 2\n', { a: ['x', ['y', 'z'], { b: 1 }], c: 2 }],
  ['a: [x, [y], { z: 1, w: }, ]\nb: {}\nc: []\n', { a: ['x', ['y'], { z: 1, w: null }], b: {}, c: [] }],
  ['a: [ # c\n  x,\n\n    # c\n  { b: 1,\n    c: 2 }\n] # c\nd: 1\n', { a: ['x', { b: 1, c: 2 }], d: 1 }],
  ['# c\n\na: 1 # c\n  # c\n#c\nb: x # y: z # c\n', { a: 1, b: 'x' }],
  ['a:\nb: ~\nc: null\nd: # c\ne: ""\n', { a: null, b: null, c: null, d: null, e: '' }],
  [
    "a: 'it''s: # [x]'\nb: \"it's: # [x]\"\n'c d': 1\n\"e\" : 2\n",
    { a: "it's: # [x]", b: "it's: # [x]", 'c d': 1, e: 2 },
  ],
  [
    'a b: x:y\nc#d: e#f\ng: http://h/i\nj: k, l [m] {n}\n',
    { 'a b': 'x:y', 'c#d': 'e#f', g: 'http://h/i', j: 'k, l [m] {n}' },
  ],
  ['a: [010, 1e3, -0, +5, 5., .5, -1.5]\n', { a: [10, 1000, 0, 5, 5, 0.5, -1.5] }],
  ['a: [0x10, 0o17, .inf, -.Inf, 1e999, 1_0]\n', { a: ['0x10', '0o17', '.inf', '-.Inf', '1e999', '1_0'] }],
  ['a: [true, False, yes, no, on, off, NULL]\n', { a: [true, false, 'yes', 'no', 'on', 'off', null] }],
  ['1: a\ntrue: b\n~: c\n-1: d\n', { 1: 'a', true: 'b', '~': 'c', '-1': 'd' }],
  ['a: 40 Ω\nb: "é"\nc: µ\n', { a: '40 Ω', b: 'é', c: 'µ' }],
  ['---\na: 1\n', { a: 1 }],
  ['a: 1\r\nb:\r\n  - x\r\n', { a: 1, b: ['x'] }],
  ['  a: 1\n  b: 2\n', { a: 1, b: 2 }],
])('%j is everyday', (text, data) => {
  expect(read(text)).toEqual(data);
  expect(full(text).document?.data).toEqual(data);
});

test('keys a prototype has are keys like others, in maps without one', () => {
  const data = read('__proto__: { polluted: 1 }\nconstructor: 2\n') as Record<string, unknown>;
  expect(Object.getPrototypeOf(data)).toBeNull();
  expect(Object.keys(data)).toEqual(['__proto__', 'constructor']);
  expect(Object.getPrototypeOf(Object.values(data)[0])).toBeNull();
});

test.each([
  ...['', ' \n', '# c\n', '---\n', 'x\n', '- a\n', '[a]\n', '{ a: 1 }\n', '"a"\n'],
  ...['a: 1\na: 2\n', 'a: { b: 1, b: 2 }\n', '"a": 1\na: 2\n', '"é": 1\n"e\u0301": 2\n'],
  ...['a:1\n', 'a: b: c\n', 'a: b:\n', 'a: 1\nx\n', 'a: x\n  y\n', 'a: x\n y: 1\n', 'a:\n  b: 1\n c: 2\n'],
  ...['a:\n  - x\n - y\n', 'a: 1\n- x\n', 'a:\n- x\n  y: 1\n', 'a: - x\n', 'a:\n-\n- x\n', 'a:\n  x\n'],
  ...['a: |\n  x\n', 'a: >\n  x\n', 'a: &b 1\n', 'a: *b\n', 'a: !b 1\n', 'a: @b\n', 'a: `b\n', 'a: %b\n'],
  ...['? a\n: 1\n', ': 1\n', '"": 1\n', '<<: { a: 1 }\n', '%YAML 1.2\n---\na: 1\n', '--- a: 1\n', 'a: -\n'],
  ...['a: 1\n---\nb: 1\n', 'a: 1\n...\n', '...: 1\n', '<<<<<<< a: 1\n', 'a: "x\n  y"\n', 'a: "x\\n"\n'],
  ...[
    'a: "x\n',
    "a: 'x\n",
    "a: 'x''\n",
    'a: "x" y\n',
    'a: "x"# c\n',
    'a: "x"\'y"\n',
    'a: [x]# c\n',
    'a: [x] y\n',
  ],
  ...[
    'a: [x\n',
    'a: [x}\n',
    'a: {x: 1\n',
    'a: {x}\n',
    'a: [, x]\n',
    'a: [x,, y]\n',
    'a: [x: 1]\n',
    'a: [?]\n',
  ],
  ...[
    'a: [x,# c\n  y]\n',
    'a: [x,\ny]\n',
    'a: [[x\n]]\n',
    'a:\n  b: [x,\n  y]\n',
    'a: [x\n  y]\n',
    'a: [-]\n',
  ],
  ...['a:\tx\n', '\ta: 1\n', 'a: x\ty\n', 'a: 1\rb: 2\n', '\ufeffa: 1\n', 'a: \u0001\n', 'a: \u2028\n'],
  `${'k'.repeat(1_025)}: 1\n`,
])('%j is given up', (text) => {
  expect(read(text)).toBeUndefined();
});

describe('limits', () => {
  const keys = (count: number) => Array.from({ length: count }, (_, index) => `k${index}: 1`);
  const nested = (depth: number) => `a: ${'['.repeat(depth - 1)}${']'.repeat(depth - 1)}\n`;
  const maps = (depth: number) => `a: ${'{ a: '.repeat(depth - 1)}1${' }'.repeat(depth - 1)}\n`;
  test.each<[string, string, string]>([
    ['bytes', `a: 1\n${'#'.repeat(limits.circuitBytes - 5)}`, `a: 1\n${'#'.repeat(limits.circuitBytes - 4)}`],
    ['text', `a: ${'x'.repeat(4_096)}\n`, `a: ${'x'.repeat(4_097)}\n`],
    ['quoted text', `a: "${'x'.repeat(4_096)}"\n`, `a: "${'x'.repeat(4_097)}"\n`],
    ['nested lists', nested(64), nested(65)],
    ['nested maps', maps(64), maps(65)],
    ['dashes', `a:\n  ${'- '.repeat(63)}x\n`, `a:\n  ${'- '.repeat(64)}x\n`],
    ['keys', keys(4_999).join('\n'), keys(5_000).join('\n')],
    ['keys in a flow', `a: {${keys(4_999).join()}}\n`, `a: {${keys(5_000).join()}}\n`],
    ['items', `a: [${'x,'.repeat(99_999)}]\n`, `a: [${'x,'.repeat(100_000)}]\n`],
    ['dashed items', `a:\n${'- x\n'.repeat(99_999)}`, `a:\n${'- x\n'.repeat(100_000)}`],
  ])('%s', (_what, within, beyond) => {
    expect(read(within)).toBeDefined();
    expect(full(within).problems).toEqual([]);
    expect(read(beyond)).toBeUndefined();
  });
});

test('what stands one below the other is not nested', () => {
  const lines = Array.from({ length: 100 }, (_, index) => `k${index}:\n  - [x, {}]\n  - y:\n      z: 1\n`);
  expect(Object.keys(read(lines.join('')) ?? {})).toHaveLength(100);
});

test('hostile texts come to an end in time that grows with their length', () => {
  const pieces = [
    '[',
    '{',
    '{a: ',
    '[a,',
    '- ',
    '-\n',
    "'",
    '"',
    "''",
    ':',
    ': ',
    'a: ',
    '#',
    ' ',
    '\n',
    'a\n',
  ];
  for (const piece of [
    ...pieces,
    ',',
    '? ',
    'a: "\n',
    "- 'x\n",
    'a: [\n',
    '- [\n',
    ' -\n',
    'é',
    'a: [[]]\n',
  ]) {
    for (const start of ['', 'a: ', 'a: [', 'a:\n  - ', 'a: "', "a: '"]) {
      read(start + piece.repeat(limits.circuitBytes / 10));
    }
  }
});
