/** What README.md shows is what the program does: every command, every file, every link. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { exampleCircuits } from './cli/example-files.js';
import { root, run } from './cli/run.js';
import { pageOf } from './shown.js';

const readme = readFileSync(join(root, 'README.md'), 'utf8');

const { bodies, files, shown, runShown } = pageOf(readme);

describe('commands', () => {
  test.each(shown)('$command', async ({ command, output }) => {
    const { status, out, err } = await runShown(command);
    expect([0, 1]).toContain(status);
    if (output !== '') expect(`${out}${err}`).toBe(output);
  });

  test('shown anywhere are among those', () => {
    expect(shown.map(({ command }) => `$ ${command}`)).toEqual(readme.match(/^\$ .*$/gm));
    const [, first] = /npx (loadside .*)/.exec(bodies('sh').join('')) ?? [];
    expect(shown.map(({ command }) => command)).toContain(first);
  });

  test('of the program are all in the table', async () => {
    const { out } = await run(['--help']);
    const all = [...out.matchAll(/^ {2}([a-z]+) +[A-Z<[]/gm)].map(([, name]) => name);
    const offered = all.filter((name) => name !== 'help');
    const listed = [...readme.matchAll(/^\| `([a-z]+) [^`]*` \|/gm)].map(([, name]) => name);
    expect(listed).toEqual(offered);
  });
});

test('excerpts are of what a command prints', async () => {
  const excerpts = bodies('text');
  expect(excerpts.length).toBeGreaterThan(0);
  const outs = (await Promise.all(shown.map(({ command }) => runShown(command)))).map(({ out }) => out);
  for (const excerpt of excerpts)
    expect([excerpt, outs.some((out) => out.includes(excerpt))]).toEqual([excerpt, true]);
});

describe('files', () => {
  const names = Object.keys(files);

  test('are a circuit and its readings, and one with a piece that it includes', () => {
    expect(names).toEqual([
      'towel-rail.circuit.yaml',
      'cold-rail.readings.yaml',
      'rail.assembly.yaml',
      'two-rails.circuit.yaml',
    ]);
  });

  test.each(['towel-rail.circuit.yaml', 'two-rails.circuit.yaml'])(
    '%s is valid, without a warning',
    async (name) => {
      const { status, out, err } = await run(['validate', name], { files });
      expect({ status, err }).toEqual({ status: 0, err: '' });
      expect(out).not.toContain('warning');
    },
  );

  test('the readings give the JSON shown', async () => {
    const { out } = await run(['check', 'cold-rail.readings.yaml', '--format', 'json'], { files });
    expect(JSON.parse(out)).toMatchObject(JSON.parse(bodies('json').join('')));
  });

  test('the faults listed are faults of these circuits', async () => {
    const faults = [...readme.matchAll(/`([\w.:=-]+:[a-z-]+(?:=[\w.-]+(?: ohm| V)?)?)`/g)].map(
      ([, fault = '']) => fault,
    );
    expect(faults.length).toBeGreaterThan(25);
    const circuits = exampleCircuits.map(([, path]) => path);
    for (const fault of faults) {
      const tried = ['towel-rail.circuit.yaml', ...circuits].map((circuit) =>
        run(['expect', circuit, '--fault', fault], { files }),
      );
      expect(
        (await Promise.all(tried)).map(({ status }) => status),
        fault,
      ).toContain(0);
    }
  });
});

test('links lead to files that are there', () => {
  const targets = [...readme.matchAll(/\]\(([^)#]+)\)/g)].map(([, target = '']) => target);
  expect(targets.filter((target) => !existsSync(join(root, target)))).toEqual([]);
});
