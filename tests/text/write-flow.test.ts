import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readYaml } from '../../src/text/read-yaml.js';
import { limits, writeFlow } from '../../src/text/text.js';

const words = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 12 }),
  fc.constantFrom(
    'null',
    'True',
    'yes',
    'off',
    '~',
    '0.1 V',
    '1e3',
    '010',
    'J3:2',
    'a: b',
    "it's",
    '',
    '- x',
    '#',
    '-0',
  ),
);
const data = fc.letrec((tie) => ({
  any: fc.oneof(
    { depthSize: 'small' },
    words,
    fc.integer(),
    fc.constant(null),
    fc.array(tie('any'), { maxLength: 3 }),
    fc.dictionary(fc.stringMatching(/^[a-z][a-z-]{0,8}$/), tie('any'), { maxKeys: 3 }),
  ),
})).any;

test('reading what was written gives the same again', () => {
  fc.assert(
    fc.property(data, (each) => {
      const text = `x: ${writeFlow(each)}\n`;
      const { document, problems } = readYaml({ name: 'x', text }, { ...limits, bytes: 100_000 });
      expect(problems).toEqual([]);
      expect(JSON.stringify(document?.data)).toBe(JSON.stringify({ x: each }));
    }),
    { numRuns: 300 },
  );
});

test('what people read stands without quotes', () => {
  expect(writeFlow({ act: 'measure', in: { SW: 'on' }, reads: '0.1 V', parts: ['J3:2'], note: 'a, b' })).toBe(
    '{ act: measure, in: { SW: on }, reads: 0.1 V, parts: [J3:2], note: "a, b" }',
  );
});
