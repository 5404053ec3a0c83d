import { describe, expect, test } from 'vitest';
import { readCircuitFile, readReadingsFile } from '../../src/text/text.js';
import { brief, circuitSource } from './show.js';

const good = circuitSource('loadside: circuit/1\ntitle: fine\n');

function indented(depth: number): string {
  // Indentation costs the square of the depth, so it starts over from time to time: the map stays as deep.
  const lines: string[] = [];
  for (let level = 0; level < Math.min(depth, 1_000); level += 1) lines.push(`${' '.repeat(level)}a:\n`);
  return lines.join('');
}

const shapes: Readonly<Record<string, (depth: number) => string>> = {
  '[': (depth) => '['.repeat(depth),
  '[ with its ]': (depth) => '['.repeat(depth) + ']'.repeat(depth),
  '{a: ': (depth) => '{a: '.repeat(depth),
  '- ': (depth) => '- '.repeat(depth),
  '- and back': (depth) => `x:\n  ${'- '.repeat(depth)}\ny: 1\n`,
  '? ': (depth) => '? '.repeat(depth),
  'indented block': indented,
  '[a: ': (depth) => '[a: '.repeat(depth),
  mixed: (depth) => 'x:\n  - [{a: ['.concat('{b: [{c: ['.repeat(depth / 4)),
};

describe.each(Object.entries(shapes))('%s', (_name, make) => {
  test('nested too deeply is one located problem, ten times over between good files in one process', () => {
    for (const depth of [65, 65, 800, 800, 800, 5_000, 5_000, 5_000, 200_000, 200_000]) {
      const { file, problems } = readCircuitFile(circuitSource(make(depth)));
      expect(file).toBeUndefined();
      expect(problems).toMatchObject([{ code: 'limit-exceeded', data: { what: 'nesting', limit: 64 } }]);
      expect(problems[0]?.at.span.start).toBeGreaterThan(60);
      expect(readCircuitFile(good).problems).toEqual([]);
    }
  });
});

test('nesting within the limit is judged by its shape, not by its depth', () => {
  for (const text of [
    `x: ${'['.repeat(63)}${']'.repeat(63)}\n`,
    `x: ${'{a: '.repeat(63)}1${'}'.repeat(63)}\n`,
  ]) {
    expect(readCircuitFile(circuitSource(text)).problems.map(brief)).toContain('key-unknown 1:1');
  }
});

test('a list in a map, 32 times over, is 64 levels deep, and one more is too deep', async () => {
  const nested = (times: number, kind = 'circuit/1') =>
    `x-note: ${'[a: '.repeat(times)}1${']'.repeat(times)}\nloadside: ${kind}\n`;
  expect(readCircuitFile(circuitSource(nested(31))).problems).toEqual([]);
  expect(readCircuitFile(circuitSource(nested(32))).problems.map((p) => p.code)).toEqual(['limit-exceeded']);
  const readings = readReadingsFile({ name: 'a.readings.yaml', text: nested(32, 'readings/1') });
  expect(readings.problems.map((p) => p.code)).toEqual(['limit-exceeded']);
});
