import { describe, expect, test } from 'vitest';
import { isScalar, parseDocument, visit } from 'yaml';
import { hoodText, noFanText, ovenText, placeIn } from './example-files.js';
import { problemsIn, run } from './run.js';

interface Key {
  readonly name: string;
  readonly start: number;
  readonly end: number;
}

/** Every key of a YAML text, with its place. */
function keysOf(text: string): Key[] {
  const keys: Key[] = [];
  visit(parseDocument(text), {
    Pair: (_, { key }) => {
      if (!isScalar(key) || !key.range) return;
      keys.push({ name: String(key.value), start: key.range[0], end: key.range[1] });
    },
  });
  return keys;
}

/** Of a key that comes again and again in one section, such as `from` of each wire, the first few stand for the rest. */
function fewOfEach(text: string, keys: readonly Key[]): Key[] {
  const seen = new Map<string, number>();
  return keys.filter(({ name, start }) => {
    const section = /(?:^|\n)([a-z-]+):(?![\s\S]*\n[a-z-]+:)/.exec(text.slice(0, start))?.[1] ?? '';
    const times = (seen.get(`${section} ${name}`) ?? 0) + 1;
    seen.set(`${section} ${name}`, times);
    return times <= 2;
  });
}

/** Slips of the hand, by turns: a letter doubled, two exchanged, one left out. */
function misspelt(name: string, turn: number): string {
  const last = name.at(-1) ?? '';
  const exchanged = name.slice(0, -2) + last + (name.at(-2) ?? '');
  if (turn % 3 === 1 && exchanged !== name) return exchanged;
  if (turn % 3 === 2 && name.length > 3) return name.slice(0, -1);
  return name + last;
}

/** Names that a circuit gives and never refers to again: whatever they are called, nothing is amiss. */
const ownNames: ReadonlySet<string> = new Set([
  ...['TC', 'TAP1', 'TAP2', 'TAP3', 'J3', 'TB'],
  ...['speed-1', 'speed-2', 'speed-3', 'speed-4', 'uv-lamp'].map((output) => `outputs.${output}`),
  ...['bake', 'broil', 'leg-2'].map((contact) => `contacts.${contact}`),
]);

/** The key with the one it stands under where names of the same spelling mean several things. */
function isOwnName(text: string, { name, start }: Key): boolean {
  if (ownNames.has(name)) return true;
  const above = text.slice(0, start);
  const under = /(?:^|\n) *(outputs|contacts):[^\n]*\n(?: {6}[^\n]*\n)* {6}$/.exec(above)?.[1];
  return under !== undefined && ownNames.has(`${under}.${name}`);
}

/** All keys misspelt one at a time; those the program let pass, as "line name". */
async function letPass(
  text: string,
  args: (name: string) => readonly string[],
  more = {},
): Promise<string[]> {
  const passed: string[] = [];
  for (const [turn, key] of fewOfEach(text, keysOf(text)).entries()) {
    if (isOwnName(text, key)) continue;
    const wrong = misspelt(key.name, turn);
    const spoilt = text.slice(0, key.start) + wrong + text.slice(key.end);
    const ran = await run(args('f.yaml'), { files: { ...more, 'f.yaml': spoilt } });
    const told = ran.status === 1 || ran.status === 2 ? problemsIn(ran) : [];
    if (!told.some(({ severity }) => severity === 'error')) {
      passed.push(`${text.slice(0, key.start).split('\n').length} ${wrong}`);
    }
  }
  return passed;
}

describe('no key is ignored because it is misspelt', () => {
  test.each([
    ['the range hood', hoodText],
    ['the wall oven', ovenText],
  ])('%s', { timeout: 30_000 }, async (_, text) => {
    expect(keysOf(text).length).toBeGreaterThan(300);
    expect(await letPass(text, (name) => ['validate', name, '--format', 'json'])).toEqual([]);
  });

  test('readings', async () => {
    const args = (name: string) => ['check', name, '--circuit', 'c.yaml', '--format', 'json'];
    expect(await letPass(noFanText, args, { 'c.yaml': hoodText })).toEqual([]);
  });

  test('the names left out are there, so that the list above cannot rot', () => {
    for (const name of ownNames) {
      const [, own = name] = name.split('.');
      expect(() => placeIn(hoodText + ovenText, `${own}:`)).not.toThrow();
    }
  });
});
