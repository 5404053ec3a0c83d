/** examples/README.md is what `npm run -s examples` writes, and what it shows is what the program does. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { pageOf } from '../shown.js';
import { digestOf, figuresOf, keptFigures, readmePath, testability } from './figures.js';
import { type Example, examples } from './key.js';
import { withGenerated } from './tables.js';
import { circuitOf } from './taken.js';

const readme = readFileSync(readmePath, 'utf8');
const kept = keptFigures();
const sourced = /\(.*(?:common practice, no source|computed|Kirchhoff|IEC \d+|ANSI \w+).*\)\.$/;
const all = 'npm run -s examples -- all';
const again = 'npm run -s examples, and look through what changed';

function exampleOf(name: string): Example {
  const example = examples.find((each) => each.name === name);
  if (example === undefined) throw new Error(`no ${name}`);
  return example;
}

describe('the figures', () => {
  test('are of the circuits as they are', () => {
    const digests = Object.fromEntries(
      examples.map(({ name, circuitPath }) => [name, digestOf(circuitPath)]),
    );
    const of = Object.fromEntries(Object.entries(kept).map(([name, { digest }]) => [name, digest]));
    expect(of, again).toEqual(digests);
  });

  // Those that take least, one of them wholly: a change of the reasoning shows here, and then all are due.
  test('of the water heater are what the reasoning gives', () => {
    const { circuitPath } = exampleOf('water-heater');
    expect(kept['water-heater'], all).toEqual(figuresOf(circuitOf(exampleOf('water-heater')), circuitPath));
  });

  test.each(['wall-oven', 'gas-oven', 'refrigerator'])('of %s are as testable as it is', (name) => {
    expect(kept[name], all).toMatchObject(testability(circuitOf(exampleOf(name))));
  });
});

test('the generated parts are what circuits, keys and figures give', () => {
  const told = examples.flatMap((example) => {
    const figures = kept[example.name];
    return figures === undefined ? [] : [{ example, circuit: circuitOf(example), figures }];
  });
  expect(withGenerated(readme, told) === readme, again).toBe(true);
});

describe('each key', () => {
  test.each(examples)('of $name has facts with their sources, and says what looks alike', (example) => {
    expect(example.alike).toMatch(/\.$/);
    expect(example.facts.length).toBeGreaterThanOrEqual(3);
    for (const fact of example.facts) expect(fact).toMatch(sourced);
  });

  test.each(examples)(
    'of $name has five to ten files, of different classes, and a classic mistake',
    (example) => {
      const entries = Object.values(example.files);
      expect(entries.length).toBeGreaterThanOrEqual(5);
      expect(entries.length).toBeLessThanOrEqual(10);
      expect(new Set(entries.map((entry) => entry.class)).size).toBeGreaterThanOrEqual(4);
      expect(entries.some(({ mistake }) => mistake !== undefined)).toBe(true);
    },
  );
});

describe('what is shown', () => {
  const { bodies, shown, runShown } = pageOf(readme);

  test('runs, and prints what it says', async () => {
    expect(shown.length).toBeGreaterThan(5);
    const ran = await Promise.all(shown.map(({ command }) => runShown(command)));
    for (const { status } of ran) expect([0, 1]).toContain(status);
    const outs = ran.map(({ out }) => out);
    for (const excerpt of bodies('text')) expect(outs.join('\n')).toContain(excerpt);
  });

  test('and linked to is there', () => {
    const targets = [...readme.matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)].map(([, target = '']) => target);
    expect(targets.filter((target) => !existsSync(`examples/${target}`))).toEqual([]);
  });
});
