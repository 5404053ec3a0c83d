import fc from 'fast-check';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { readYaml } from '../../src/text/read-yaml.js';
import { limits, readCircuitFile, type TextProblem } from '../../src/text/text.js';
import { brief, circuitSource, pointedAt } from './show.js';

const source = circuitSource;
const yamlLimits = { ...limits, bytes: limits.circuitBytes };
const read = (text: string) => readYaml(source(text), yamlLimits);
const briefs = (text: string) => read(text).problems.map(brief);
const detail = ({ code, data }: TextProblem) => (code === 'yaml-syntax' ? data.detail : code);

const warned = vi.spyOn(process, 'emitWarning');
afterEach(() => {
  expect(warned).not.toHaveBeenCalled();
});

describe('data', () => {
  test('is plain: maps without a prototype, lists, text, numbers, true, false and null', () => {
    const { document, problems } = read('a: { b: [1, x, true, null, "2"], c: }\nd: |\n  one\n  two\n');
    expect(problems).toEqual([]);
    expect(document?.data).toEqual({ a: { b: [1, 'x', true, null, '2'], c: null }, d: 'one\ntwo\n' });
    expect(Object.getPrototypeOf(document?.data)).toBeNull();
  });

  test('keeps the order of the file', () => {
    expect(Object.keys(read('b: 1\na: 2\nc: 3\n').document?.data as object)).toEqual(['b', 'a', 'c']);
  });

  test.each([
    ['N', 'N'],
    ['NO', 'NO'],
    ['Y', 'Y'],
    ['n', 'n'],
    ['y', 'y'],
    ['on', 'on'],
    ['off', 'off'],
    ['yes', 'yes'],
    ['no', 'no'],
    ['010', 10],
    ['1e3', 1000],
    ['0x10', '0x10'],
    ['0o17', '0o17'],
    ['1_000', '1_000'],
    ['12:30', '12:30'],
    ['~', null],
    ['', null],
    ['.nan', '.nan'],
    ['.NaN', '.NaN'],
    ['.inf', '.inf'],
    ['-.Inf', '-.Inf'],
    ['1e999', '1e999'],
    ['-0', 0],
    ['-0.0', 0],
    ['+5', 5],
    ['5.', 5],
    ['true', true],
    ['False', false],
    ["'010'", '010'],
    ['2001-01-01', '2001-01-01'],
  ])('the value %j is %j, and as a key it is text', (written, value) => {
    const found = (read(`a: ${written}\n`).document!.data as { a: unknown }).a;
    expect(found).toBe(value);
    expect(Object.is(found, -0)).toBe(false);
    if (written !== '' && !written.startsWith("'")) {
      expect(Object.keys(read(`${written}: 1\n`).document?.data as object)).toEqual([written]);
    }
    // A version line can't turn words into other things: it is refused.
    expect(briefs(`%YAML 1.1\n---\na: ${written}\n`)).toEqual(['yaml-version 1:1']);
  });

  test('%YAML 1.2 is fine', () => {
    expect(read('%YAML 1.2\n---\na: 1\n').document?.data).toEqual({ a: 1 });
  });

  test('keys a prototype has are keys like others, and touch nothing', () => {
    const text = '__proto__: { polluted: 1 }\nconstructor: 2\ntoString: 3\nhasOwnProperty: 4\nvalueOf: 5\n';
    const data = read(text).document?.data as Record<string, unknown>;
    expect(Object.keys(data)).toEqual(['__proto__', 'constructor', 'toString', 'hasOwnProperty', 'valueOf']);
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
    expect(data['polluted']).toBeUndefined();
  });
});

describe('one problem for one mistake', () => {
  test.each([
    ['a: [1, 2\nb: 3\nc: 4\n', ['yaml-syntax 1:4'], 'this [ has no closing ]'],
    ['s:\n  a: { x: 1, y: 2\n  b: { x: 3 }\nt: 5\n', ['yaml-syntax 2:6'], 'this { has no closing }'],
    ['a: {b: [1, 2}\nc: 4\n', ['yaml-syntax 1:8'], 'this [ has no closing ]'],
    ['a: [[[1\nc: 4\n', ['yaml-syntax 1:6'], 'this [ has no closing ]'],
    ['a: "foo\nb: 3\nc: 4\n', ['yaml-syntax 1:4'], 'this " has no closing "'],
    ['a: "foo\\"\nb: 3\n', ['yaml-syntax 1:4'], 'this " has no closing "'],
    ["a: 'foo''\nb: 3\n", ['yaml-syntax 1:4'], "this ' has no closing '"],
    ['a: "foo\\"', ['yaml-syntax 1:4'], 'this " has no closing "'],
    ["a: 'foo''", ['yaml-syntax 1:4'], "this ' has no closing '"],
    ['a: "', ['yaml-syntax 1:4'], 'this " has no closing "'],
    ['a:1\nb: 2\n', ['yaml-syntax 1:1'], 'a space is missing behind the colon'],
    ['a: 1\nb:2\nc: 3\n', ['yaml-syntax 2:1'], 'a space is missing behind the colon'],
    [
      'a:\n  b: 1\n c: 2\nd: 3\n',
      ['yaml-syntax 3:1'],
      'the indentation does not line up with the lines above',
    ],
    [
      'a:\n  b: 1\n   c: 2\nd: 3\n',
      ['yaml-syntax 2:6'],
      'the next line is indented deeper, but this line already has its value',
    ],
    [
      'a: b: c\nd: 1\n',
      ['yaml-syntax 1:4'],
      'a second "key: value" on one line: start a new line, or put the text in quotes',
    ],
    ['a:\n\tb: 1\nd: 3\n', ['yaml-syntax 2:1'], 'lines are indented with spaces, never with tabs'],
    ['a: ["x" "y"]\n', ['yaml-syntax 1:9'], 'a comma is missing'],
    [
      'a: {x: 1 y: 2}\n',
      ['yaml-syntax 1:8'],
      'a comma is missing between { } or [ ], or an indented map stands inside them',
    ],
    ['a: @x\n', ['yaml-syntax 1:4'], 'a plain text may not start with this character: put it in quotes'],
    ['a: 1\nhello\nc: 3\n', ['yaml-syntax 2:1'], 'this line has no "key: value"'],
    ['a: 1\nhello\n', ['yaml-syntax 2:1'], 'this line has no "key: value"'],
    ['a: [1]]\nb: 2\nc: 3\n', ['yaml-syntax 1:7'], 'this does not belong to what stands before it'],
    ['a: {x: 1}}\nb: {y: 1]\n', ['yaml-syntax 1:10'], 'this does not belong to what stands before it'],
    ['- a\nb: 1\nc: 2\n', ['yaml-syntax 2:1'], 'this is not expected here'],
    ['a: "x"#c\nb: 1\n', ['yaml-syntax 1:7'], 'a space is missing before the comment'],
    ['%YAML 1.2\na: 1\n', ['yaml-syntax 2:1'], 'a line --- is missing behind the line that starts with %'],
    ['%FOO\n---\na: 1\n', ['yaml-syntax 1:1'], 'a line that starts with % has no use here'],
    ['a: |\n  x\n y\nb: 1\n', ['yaml-syntax 3:1'], 'the indentation does not line up with the lines above'],
    ['a: *x\nb: *y\n', ['yaml-alias 1:4'], 'yaml-alias'],
    ['a: &x 1\nb: &y 2\n', ['yaml-alias 1:4'], 'yaml-alias'],
    ['a: &x {c: 1}\nb:\n  <<: *x\n', ['yaml-merge-key 3:3'], 'yaml-merge-key'],
    ['a: 1\n---\nb: 1\n---\nc: 1\n', ['yaml-several-documents 2:1'], 'yaml-several-documents'],
    [
      'a: 1\n<<<<<<< ours\nb: 2\n=======\nb: 3\n>>>>>>> theirs\n',
      ['yaml-conflict-marker 2:1'],
      'yaml-conflict-marker',
    ],
    ['? [a]\n: 1\n', ['yaml-key-kind 1:3'], 'yaml-key-kind'],
    [': 1\n', ['yaml-key-kind 1:1'], 'yaml-key-kind'],
    ['%TAG ! tag:x,2000:\n---\na: 1\n', ['yaml-tag 1:1'], 'yaml-tag'],
    ['', ['file-empty 1:1'], 'file-empty'],
    [' \n\n', ['file-empty 1:1'], 'file-empty'],
    ['# only a comment\n', ['file-empty 1:1'], 'file-empty'],
    ['---\n...\n', ['file-empty 1:1'], 'file-empty'],
  ])('%j', (text, expected, first) => {
    const { problems, document } = read(text);
    expect(document).toBeUndefined();
    expect(problems.map(brief)).toEqual(expected);
    expect(detail(problems[0]!)).toBe(first);
  });

  test('mistakes on different lines are each reported', () => {
    expect(briefs('a: @x\nb: [1 , , 2]\nc: "\\q"\nd: fine\n')).toEqual([
      'yaml-syntax 1:4',
      'yaml-syntax 2:9',
      'yaml-syntax 3:5',
    ]);
    expect(briefs('a: !x 1\nb: !!str 2\n')).toEqual(['yaml-tag 1:4', 'yaml-tag 2:4']);
  });

  test('a file that ends its only document with ... is fine', () => {
    expect(briefs('---\na: 1\n...\n')).toEqual([]);
  });

  test('no problem says anything the file says, when that could act on a terminal', () => {
    for (const text of [
      'a: [\u001b[31m}\n',
      'a: "\\\u001b"\n',
      '\u001b: [\n',
      '!\u001b a\n',
      '%\u001b\n---\na: 1\n',
    ]) {
      for (const problem of read(text).problems) {
        if (problem.code === 'yaml-syntax') expect(problem.data.detail).not.toContain('\u001b');
      }
    }
  });
});

describe('duplicate keys', () => {
  test.each([
    ['a: 1\na: 2\n', 'yaml-duplicate-key 2:1'],
    ['1: a\n"1": b\n', 'yaml-duplicate-key 2:1'],
    ['true: a\n"true": b\n', 'yaml-duplicate-key 2:1'],
    ['"é": a\n"e\u0301": b\n', 'yaml-duplicate-key 2:1'],
    ['a: { b: 1, b: 2 }\n', 'yaml-duplicate-key 1:12'],
    ['__proto__: 1\n__proto__: 2\n', 'yaml-duplicate-key 2:1'],
  ])('%j', (text, expected) => {
    const { problems } = read(text);
    expect(problems.map(brief)).toEqual([expected]);
    expect(
      problems[0]?.related?.map(({ span, role }) => [span.start < problems[0]!.at.span.start, role]),
    ).toEqual([[true, 'first written here']]);
  });

  test('are found in time that grows with the keys, and the keys are counted', () => {
    const keys = (count: number) => Array.from({ length: count }, (_, index) => `k${index}: 1\n`).join('');
    expect(briefs(keys(5_000))).toEqual([]);
    expect(briefs(`${keys(4_999)}k7: 2\n`)).toEqual(['yaml-duplicate-key 5000:1']);
    const { problems } = read(keys(40_000));
    expect(problems).toMatchObject([
      { code: 'limit-exceeded', data: { what: 'keys in one map', found: 40_000, limit: 5_000 } },
    ]);
    expect(briefs(`a: {${'b, '.repeat(6_000)}}\n`)).toEqual(['limit-exceeded 1:4']);
  });
});

describe('hostile texts', () => {
  test('an alias bomb is refused where it starts, before anything is unfolded', () => {
    const level = (name: string, inner: string) => `${name}: &${name} [${Array(9).fill(inner).join(', ')}]\n`;
    const names = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i'];
    const bomb = names.map((name, index) => level(name, index === 0 ? 'x' : `*${names[index - 1]}`)).join('');
    expect(briefs(bomb)).toEqual(['yaml-alias 2:8']);
  });

  test.each([101, 1_000])('%i plain aliases are one problem', (count) => {
    expect(briefs(`a: &x 1\nb: [${Array(count).fill('*x').join(', ')}]\n`)).toEqual(['yaml-alias 2:5']);
  });

  test('an anchor that holds itself is refused', () => {
    expect(briefs('&a [*a]\n')).toEqual(['yaml-alias 1:5']);
  });

  test('a text or key longer than allowed is located', () => {
    expect(briefs(`a: ${'x'.repeat(4_096)}\n`)).toEqual([]);
    expect(briefs(`b: 1\na: ${'x'.repeat(4_097)}\n`)).toEqual(['limit-exceeded 2:4']);
    expect(briefs(`? ${'x'.repeat(5_000)}\n: 1\n`)).toEqual(['limit-exceeded 1:3']);
  });

  test('a file or list longer than allowed is refused', () => {
    expect(readCircuitFile(source('#'.repeat(1_048_577))).problems).toMatchObject([
      { code: 'limit-exceeded', data: { what: 'bytes', limit: 1_048_576 } },
    ]);
    expect(read(`a: [${'1,'.repeat(100_001)}]\n`).problems).toMatchObject([
      { code: 'limit-exceeded', data: { what: 'items' } },
    ]);
  });

  test.each([
    ']',
    '}',
    '"',
    "'",
    '!',
    '&',
    '*',
    ',',
    '?',
    ':',
    '-',
    '|',
    '>',
    '%',
    '@',
    '\t',
    '#',
    '[]',
    '{}',
    '""',
  ])('20,000 of %j come to an end with few problems', (piece) => {
    for (const text of [
      piece.repeat(20_000),
      `${piece} `.repeat(20_000),
      `${piece}\n`.repeat(20_000),
      `a: [${piece},`.repeat(20),
    ]) {
      const { problems, more } = readCircuitFile(source(text));
      expect(problems.length).toBeGreaterThan(0);
      expect(problems.length).toBeLessThanOrEqual(limits.problems);
      if (problems.length < limits.problems) expect(more).toBe(0);
    }
  });

  test('many vague mistakes without a section to start over from come to an end', () => {
    const { problems, more } = readCircuitFile(source(`a:\n${' - a:1\n   b: 2\n'.repeat(40_000)}`));
    expect(problems).toHaveLength(100);
    expect(more).toBeGreaterThan(30_000);
  });

  test('more problems than are listed are counted', () => {
    const { problems, more } = readCircuitFile(source('a: @\n'.repeat(150)));
    expect([problems.length, more]).toEqual([100, 50]);
  });

  test('no text makes it throw, point outside, or list a place twice', () => {
    const pieces = fc.constantFrom(
      ...'[ ] { } : , - ? | > " \' # & * ! % @ ` a b 1 \n \n \n \t << --- ... : : \\ ~ 0'.split(' '),
      ' ',
      '  ',
      '\r\n',
      '\r',
      '\n  ',
      '\n- ',
      ': ',
    );
    const texts = fc.array(pieces, { maxLength: 40 }).map((parts) => parts.join(''));
    fc.assert(
      fc.property(fc.oneof(texts, fc.string()), (text) => {
        const { document, problems } = read(text);
        expect(document === undefined).toBe(problems.length > 0);
        const spans = problems.map(({ at }) => at.span);
        for (const { start, end } of spans) {
          expect(start).toBeGreaterThanOrEqual(0);
          expect(end).toBeGreaterThanOrEqual(start);
          expect(end).toBeLessThanOrEqual(text.length);
        }
        expect(new Set(problems.map((problem) => `${problem.code} ${problem.at.span.start}`)).size).toBe(
          problems.length,
        );
      }),
      { numRuns: 1_000 },
    );
  });
});

describe('line ends', () => {
  const broken =
    'loadside: circuit/1\nwirs: []\nloads:\n  L: { kind: motr, between: [a, b] }\n  M:\n    kind: lamp\n';
  test.each(['\r\n', '\r'])('%j gives the findings that LF gives', (end) => {
    const wanted = readCircuitFile(source(broken)).problems;
    const found = readCircuitFile(source(broken.replaceAll('\n', end))).problems;
    expect(wanted.map(brief)).toEqual(['key-unknown 2:1', 'value-choice 4:14', 'key-missing 5:3']);
    expect(found.map(brief)).toEqual(wanted.map(brief));
    expect(found.map(({ data }) => data)).toEqual(wanted.map(({ data }) => data));
  });

  test('mixed line ends are read as they stand', () => {
    expect(read('a: 1\r\nb: 2\rc: 3\nd: 4').document?.data).toEqual({ a: 1, b: 2, c: 3, d: 4 });
    expect(briefs('a: 1\r\nb: 2\rc: 3\nd: @\n')).toEqual(['yaml-syntax 4:4']);
  });
});

describe('places', () => {
  const text = 'a:\n  b: [x, "y", { c: 1 }]\n  empty:\n  text: |\n    one\nlist:\n  - d: 1\n  - 2\n';
  const { document } = read(text);
  const at = (path: (string | number)[], part: 'key' | 'value') => {
    const { start, end } = document!.locate(path, part).span;
    return text.slice(start, end);
  };

  test.each<[(string | number)[], 'key' | 'value', string]>([
    [['a'], 'key', 'a'],
    [['a', 'b'], 'key', 'b'],
    [['a', 'b'], 'value', '[x, "y", { c: 1 }]'],
    [['a', 'b', 0], 'value', 'x'],
    [['a', 'b', 1], 'value', '"y"'],
    [['a', 'b', 2, 'c'], 'key', 'c'],
    [['a', 'b', 2, 'c'], 'value', '1'],
    [['a', 'empty'], 'value', 'empty'],
    [['list', 0, 'd'], 'value', '1'],
    [['list', 1], 'value', '2'],
    // Where the path leads nowhere: the closest ancestor.
    [['a', 'nothing'], 'key', 'a'],
    [['a', 'nothing', 'deeper', 3], 'value', 'a'],
    [['a', 'b', 7], 'value', 'b'],
    [['a', 'b', 2, 'nothing'], 'key', '{ c: 1 }'],
    [['a', 'b', 0, 'deeper'], 'value', 'x'],
    [['nothing'], 'value', 'a'],
    [[], 'value', 'a'],
  ])('%j, %s, is at %j', (path, part, expected) => {
    expect(at(path, part)).toBe(expected);
  });

  test('a problem points at what it is about', () => {
    expect(read('a: 1\nbb: !tag x\n').problems.map(pointedAt)).toEqual(['!tag']);
  });
});
