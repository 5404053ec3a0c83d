import { inspect } from 'node:util';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readEverydayYaml } from '../../src/text/read-everyday-yaml.js';
import { readYaml } from '../../src/text/read-yaml.js';
import { limits } from '../../src/text/text.js';
import { documents, examples, pieces, slips } from './everyday-yaml-texts.js';

const most = { ...limits, bytes: limits.circuitBytes };

/** Everything that can differ: kinds, order of keys, prototypes, -0, NaN. */
const shown = (data: unknown) => inspect(data, { depth: null, maxArrayLength: null, maxStringLength: null });

/** Whether the everyday reader took the text; what it gives must then be what the full reader gives, without problems. */
function isTaken(text: string): boolean {
  const data = readEverydayYaml(text, most);
  if (data === undefined) return false;
  const { document, problems } = readYaml({ name: 'a.yaml', text }, most);
  expect(problems.map(({ code }) => code)).toEqual([]);
  expect(shown(data)).toBe(shown(document?.data));
  return true;
}

describe('what the everyday reader takes, it reads as the full reader does', () => {
  test.each(examples)('$name', ({ text }) => {
    expect(isTaken(text)).toBe(true);
    expect(isTaken(text.replaceAll('\n', '\r\n'))).toBe(true);
  });

  // The share that is taken shows that the texts are worth comparing; both seeds and shares are our own choice.
  test.each<[string, fc.Arbitrary<string>, number, number]>([
    ['documents in many styles', documents, 3_000, 0.25],
    ['lines of examples with slips', slips(false), 3_000, 0.1],
    ['examples with slips', slips(true), 100, 0.2],
    ['pieces in a row', pieces, 3_000, 0.05],
  ])('%s', (_what, texts, numRuns, share) => {
    let taken = 0;
    fc.assert(
      fc.property(texts, (text) => {
        taken += isTaken(text) ? 1 : 0;
      }),
      { numRuns, seed: 20 },
    );
    expect(taken / numRuns).toBeGreaterThan(share);
  });
});
