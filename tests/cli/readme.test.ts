import { describe, expect, test } from 'vitest';
import { textOf } from './example-files.js';
import { jsonOf, run } from './run.js';

const readme = textOf('README.md');

function blocks(language: string): string[] {
  const pattern = new RegExp(`^\`\`\`${language}\\n([\\s\\S]*?)^\`\`\``, 'gm');
  return [...readme.matchAll(pattern)].map(([, block]) => block ?? '');
}

/** The files it tells a reader to write: blocks that start with their name. */
const files = Object.fromEntries(
  blocks('yaml').flatMap((block) => {
    const name = /^# (\S+\.yaml)\n/.exec(block)?.[1];
    return name === undefined ? [] : [[name, block]];
  }),
);

/** Each command it shows, with what it says comes out. */
const shown = blocks('console').flatMap((block) =>
  block
    .split(/^\$ /m)
    .slice(1)
    .map((call) => {
      const end = call.indexOf('\n');
      return [call.slice(0, end), call.slice(end + 1)] as const;
    }),
);

const argumentsOf = (line: string) => line.trim().split(/\s+/).slice(1);

describe('what the README shows is what comes', () => {
  test('there are files and commands to try', () => {
    expect(Object.keys(files).length).toBeGreaterThanOrEqual(2);
    expect(shown.length).toBeGreaterThanOrEqual(3);
  });

  test.each(shown)('%s', async (line, output) => {
    const { status, out, err } = await run(argumentsOf(line), { files });
    expect([0, 1, 3]).toContain(status);
    if (output !== '') expect(out + err).toBe(output);
  });

  test('the JSON it quotes is part of the answer', async () => {
    const line = shown.map(([call]) => call).find((call) => call.includes('--format json')) ?? '';
    const answer = jsonOf(await run(argumentsOf(line), { files }));
    expect(answer).toMatchObject(JSON.parse(blocks('json')[0] ?? ''));
  });

  test('every fault of its table can be planted', async () => {
    const table = readme.slice(readme.indexOf('| part | faults |'), readme.indexOf('## The readings file'));
    const faults = [...table.matchAll(/`([\w.:=#-]+)`/g)].map(([, name]) => name ?? '');
    expect(faults.length).toBeGreaterThan(10);
    const circuits = [
      ['towel-rail.circuit.yaml', files],
      ['examples/range-hood/range-hood.circuit.yaml', {}],
      ['examples/wall-oven/wall-oven.circuit.yaml', {}],
    ] as const;
    for (const fault of faults) {
      const statuses = [];
      for (const [circuit, given] of circuits) {
        statuses.push((await run(['expect', circuit, '--fault', fault], { files: given })).status);
      }
      expect([fault, statuses.includes(0)]).toEqual([fault, true]);
    }
  });

  test('every file it links to is there', () => {
    const links = [...readme.matchAll(/\]\((?!#|https?:)([^)]+)\)/g)].map(([, path]) => path ?? '');
    for (const path of links) expect(() => textOf(path)).not.toThrow();
  });
});
