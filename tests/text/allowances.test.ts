import { expect, test } from 'vitest';
import { readAllowances } from '../../src/text/text.js';

/** Each remark with the text of the entry it is about. */
function read(text: string) {
  const { allowances, problems } = readAllowances({ name: 'a.circuit.yaml', text });
  const found = allowances.map(({ code, reason, covers, at }) => ({
    code,
    reason,
    covers: text.slice(covers.start, covers.end),
    at: text.slice(at.span.start, at.span.end),
  }));
  return {
    found,
    problems: problems.map(({ code, at }) => `${code} ${text.slice(at.span.start, at.span.end)}`),
  };
}

test.each([
  [
    'on its own line, it is about the entry below',
    'a:\n  # loadside-allow x-y -- why\n  B: { c: 1 }\n  C: 2\n',
    '  B: { c: 1 }',
  ],
  [
    'with all that is indented further',
    'a:\n  # loadside-allow x-y -- why\n  B:\n    c: 1\n\n    # note\n    d: 2\n  C: 2\n',
    '  B:\n    c: 1\n\n    # note\n    d: 2',
  ],
  [
    'behind an entry, it is about that',
    'a:\n  B: { c: 1 } # loadside-allow x-y -- why\n  C: 2\n',
    '  B: { c: 1 } # loadside-allow x-y -- why',
  ],
  ['in a list', 'a:\n# loadside-allow x-y -- why\n- { b: 1 }\n- { b: 2 }\n', '- { b: 1 }'],
  [
    'other remarks and blank lines between',
    'a:\n  # loadside-allow x-y -- why\n\n  # note\n  B: 1\n',
    '  B: 1',
  ],
  ['in a flow over several lines', 'a: {\n  # loadside-allow x-y -- why\n  b: 1,\n  c: 2 }\n', '  b: 1,'],
  ['at the end of a file about nothing', 'a: 1\n# loadside-allow x-y -- why', ''],
])('%s', (_, text, covers) => {
  const one = { code: 'x-y', reason: 'why', covers, at: 'x-y' };
  expect(read(text)).toEqual({ found: [one], problems: [] });
  const windows = read(text.replaceAll('\n', '\r\n'));
  expect(windows.found).toEqual([{ ...one, covers: covers.replaceAll('\n', '\r\n') }]);
});

test('several rules in one remark, each at its own place', () => {
  expect(
    read('a: 1 # loadside-allow x-y, z -- why - not\n').found.map(({ code, reason, at }) => [
      code,
      reason,
      at,
    ]),
  ).toEqual([
    ['x-y', 'why - not', 'x-y'],
    ['z', 'why - not', 'z'],
  ]);
});

test('text that only looks like one is none', () => {
  for (const text of [
    'a: "# loadside-allow x -- why"\n',
    "a: '\n  # loadside-allow x -- why'\n",
    'a: |\n  # loadside-allow x -- why\n',
    'a: b#loadside-allow x -- why\n',
    '# see loadside-allow x -- why\na: 1\n',
    '# loadside-allowed x -- why\na: 1\n',
  ])
    expect([text, read(text)]).toEqual([text, { found: [], problems: [] }]);
});

test('without a rule or a reason it is wrong, with its place', () => {
  for (const remark of [
    '# loadside-allow',
    '# loadside-allow x-y',
    '# loadside-allow x-y --',
    '# loadside-allow x-y why',
    '# loadside-allow -- why',
  ])
    expect(read(`a: 1 ${remark}\n`)).toEqual({ found: [], problems: [`allow-form ${remark}`] });
});
