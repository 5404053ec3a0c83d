import { describe, expect, test } from 'vitest';
import { hood, hoodText, lampOut, noFan, noFanText, oven } from './example-files.js';
import { type Outside, run } from './run.js';

// biome-ignore lint/suspicious/noControlCharactersInRegex: escapes are what colours are made of
const colour = /\u001b/;

const flags = [[], ['--color'], ['--no-color']] as const;
const values = [undefined, '', '0', '1'] as const;
const forces = [undefined, '', '0', 'false', '1', 'true'] as const;
const terminals = [
  [false, undefined],
  [false, 'xterm'],
  [true, undefined],
  [true, 'xterm'],
  [true, 'dumb'],
] as const;

/** The order: the option, NO_COLOR, FORCE_COLOR, the terminal; empty counts as unset. */
function isColoured(
  flag: readonly string[],
  none: string | undefined,
  force: string | undefined,
  terminal: boolean,
  term: string | undefined,
): boolean {
  if (flag.length > 0) return flag[0] === '--color';
  if (none !== undefined && none !== '') return false;
  if (force !== undefined && force !== '') return force !== '0' && force !== 'false';
  return terminal && term !== 'dumb';
}

describe('colour', () => {
  const cases = flags.flatMap((flag) =>
    values.flatMap((none) =>
      forces.flatMap((force) => terminals.map(([terminal, term]) => ({ flag, none, force, terminal, term }))),
    ),
  );

  test(`is decided the same way in all ${cases.length} cases`, async () => {
    const files = { 'bad.yaml': 'loadside: x\n' };
    for (const each of cases) {
      const { flag, none, force, terminal, term } = each;
      const env = {
        ...(none === undefined ? {} : { NO_COLOR: none }),
        ...(force === undefined ? {} : { FORCE_COLOR: force }),
        ...(term === undefined ? {} : { TERM: term }),
      };
      const outside: Outside = { files, env, terminal: { out: terminal, err: terminal } };
      const { out } = await run(['validate', 'bad.yaml', ...flag], outside);
      const { err } = await run(['expect', 'bad.yaml', ...flag], outside);
      const expected = isColoured(flag, none, force, terminal, term);
      expect({ ...each, out: colour.test(out), err: colour.test(err) }).toEqual({
        ...each,
        out: expected,
        err: expected,
      });
    }
  });

  test('is decided for each stream by itself', async () => {
    const files = { 'bad.yaml': 'loadside: x\n' };
    const { err } = await run(['expect', 'bad.yaml'], { files, terminal: { out: true, err: false } });
    expect(err).not.toMatch(colour);
    const piped = await run(['check', noFan], { terminal: { out: false, err: true } });
    expect(piped.out).not.toMatch(colour);
  });

  test('carries no meaning: taken away, the text is what it is without', async () => {
    // biome-ignore lint/suspicious/noControlCharactersInRegex: escapes are what colours are made of
    const colours = /\u001b\[\d+m/g;
    for (const args of [
      ['check', noFan],
      ['validate', hood],
      ['expect', hood],
      ['trace', hood, 'FAN'],
      ['pins', hood],
      ['faults', hood, '--state', 'lamp', '--min-isolable', '100'],
    ]) {
      const coloured = await run([...args, '--color']);
      expect(coloured.out.replace(colours, '')).toBe((await run(args)).out);
    }
    expect((await run(['check', noFan, '--color'])).out).toMatch(colour);
  });

  test('never gets into JSON', async () => {
    const { out } = await run(['check', noFan, '--format', 'json', '--color'], {
      terminal: { out: true, err: true },
    });
    expect(out).not.toMatch(colour);
  });
});

const humanCalls: readonly (readonly string[])[] = [
  ['validate', hood, oven],
  ['expect', hood],
  ['expect', hood, '--state', 'lamp', '--fault', 'LAMP:shorted'],
  ['expect', hood, '--state', 'speed-1', '--fault', 'B1.2-CTL.1:crossed=B2.2-CTL.2'],
  ['expect', hood, '--state', 'power=off'],
  ['expect', hood, '--state', 'unplugged=J3'],
  ['expect', oven, '--state', 'bake-hot'],
  ['expect', oven, '--state', 'bake', '--fault', 'MAINS.line2:missing'],
  ['trace', hood, 'FAN'],
  ['trace', oven, 'BAKE'],
  ['trace', hood, 'CTL.uv-lamp'],
  ['pins', hood],
  ['faults', oven],
  ['check', noFan],
  ['check', lampOut, '--circuit', hood],
  ['check', 'examples/wall-oven/lost-leg.readings.yaml'],
  ['check', 'examples/range-hood/start-wire-one-pin-over.readings.yaml'],
];

/** Lines wider than the terminal whose words could have been broken; a path or a name of one word can't be. */
function wideLines(text: string, width: number): string[] {
  return text.split('\n').filter((line) => [...line].length > width && /\S +\S/.test(line.trim()));
}

describe('width', () => {
  test.each([40, 80, 120])('%d columns hold every line of an answer', async (width) => {
    for (const args of humanCalls) {
      const { out } = await run(args, { columns: width });
      // Nothing is cut off in a table, so that it can be searched.
      expect([args, wideLines(out, width), out.includes('…')]).toEqual([args, [], false]);
    }
    const asked = await run(['check', noFan, '--width', `${width}`], { columns: 200 });
    expect(asked).toEqual(await run(['check', noFan], { columns: width }));
  });

  test('80 columns hold long titles, jobs, labels and states', async () => {
    const long = 'a button that is pressed with the thumb of the left hand while the door is held open';
    const text = hoodText
      .replace('title: button, speed 1', `title: ${long}`)
      .replace('job: fan turns', `job: ${long}`)
      .replace('label: speed 1', `label: ${long}`)
      .replace('behind: lamp lens', `behind: ${long}`)
      .replace('title: speed control', `title: ${long}`)
      .replace('colour: orange', `colour: ${long}`)
      .replace('title: Range hood, four speeds by push-button', `title: ${long}`);
    const files = { 'c.yaml': text, 'r.yaml': noFanText };
    for (const args of [
      ['validate', 'c.yaml'],
      ['expect', 'c.yaml', '--state', 'speed-1'],
      ['trace', 'c.yaml', 'FAN'],
      ['pins', 'c.yaml'],
      ['faults', 'c.yaml', '--state', 'LS=on'],
      ['check', 'r.yaml', '--circuit', 'c.yaml'],
    ]) {
      const { out } = await run(args, { files });
      expect([args, wideLines(out, 80)]).toEqual([args, []]);
    }
  });

  test('where the terminal does not know its width, 80', async () => {
    const expected = await run(['check', noFan]);
    for (const columns of [undefined, 0]) expect(await run(['check', noFan], { columns })).toEqual(expected);
  });
});

describe('ASCII', () => {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the whole of ASCII
  const ascii = /^[\u0000-\u007f]*$/;

  test('--ascii, a locale that is not UTF-8 and an old console get no other sign', async () => {
    const text = hoodText
      .replace('title: speed control', 'title: "Gebläsesteuerung — 4 Stufen, µC, 40 Ω"')
      .replace('job: fan turns', 'job: "dreht ±"');
    const files = {
      'c.yaml': text,
      'r.yaml': noFanText,
      'bad.yaml': text.replace('kind: motor', 'kind: "mötör"'),
    };
    const calls = [
      ['validate', 'c.yaml', 'bad.yaml'],
      ['expect', 'c.yaml', '--state', 'speed-1'],
      ['trace', 'c.yaml', 'FAN'],
      ['pins', 'c.yaml'],
      ['faults', 'c.yaml', '--state', 'LS=on'],
      ['check', 'r.yaml', '--circuit', 'c.yaml'],
      ['expect', 'bad.yaml'],
      ['expect', 'c.yaml', '--fault', 'mötör'],
    ];
    for (const args of calls) {
      const asked = await run([...args, '--ascii'], { files });
      expect([args, ascii.test(asked.out), ascii.test(asked.err)]).toEqual([args, true, true]);
      for (const env of [
        { LANG: 'de_DE.ISO-8859-1' },
        { TERM: 'linux' },
        { LC_ALL: 'en_US.ISO-8859-15', LANG: 'en_US.UTF-8' },
      ]) {
        if (args[0] !== 'expect') continue;
        expect([args, await run(args, { files, env })]).toEqual([args, asked]);
      }
    }
  });

  test('a UTF-8 locale keeps rules and signs', async () => {
    const { out } = await run(['expect', hood], { env: { LANG: 'en_US.UTF-8' } });
    expect(out).toContain('─');
    expect((await run(['expect', hood], { env: { LANG: 'C' } })).out).toBe(out);
  });
});
