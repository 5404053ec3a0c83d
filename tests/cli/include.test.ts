import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { jsonOf, problemsIn, run } from './run.js';

/** A lamp on a switch, and whatever is included. */
const top = (include: string, more = '') => `loadside: circuit/1
title: Plate warmer
include: ${include}
supplies:
  MAINS: { system: single-phase, voltage: 230 V, frequency: 50 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
conditions:
  air: { unit: degC, rest: 20, from: 0, to: 100 }
switches:
  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [on] }
loads:
  LAMP: { kind: lamp, between: [LAMP.1, LAMP.2], rated: { voltage: 230 V, power: 10 W } }
wires:
  - { from: MAINS.L, to: SW.1 }
  - { from: SW.2, to: LAMP.1 }
  - { from: LAMP.2, to: MAINS.N }
${more}`;

const heater = `loadside: assembly/1
conditions:
  heat: { unit: degC, rest: 20, from: 0, to: 100 }
switches:
  TH: { follows: heat, between: [TH.1, TH.2], opens-above: 60 degC, closes-below: 50 degC }
loads:
  HEAT: { kind: heating-element, between: [HEAT.1, N], rated: { voltage: 230 V, power: 500 W } }
wires:
  - { from: TH.2, to: HEAT.1 }
nodes:
  HEAT.1: { hazard: hot-surfaces }
states:
  hot: { heat: 80 }
expectations:
  - { in: {}, on: TH.2-HEAT.1, reads: 0 A }
priors:
  load: { open: 0.4 }
`;

const joined = 'joins: { TH.1: SW.2, N: MAINS.N, heat: air }';
const one = `[{ file: heater.assembly.yaml, prefix: H, ${joined} }]`;

async function validate(files: Readonly<Record<string, string>>, name = 'c.circuit.yaml') {
  return run(['validate', name, '--json'], { files });
}

/** Codes with their files, and the lines that include those. */
async function found(files: Readonly<Record<string, string>>): Promise<readonly string[]> {
  return problemsIn(await validate(files)).map(
    ({
      code,
      file,
      line,
      related = [],
    }: ReturnType<typeof problemsIn>[number] & { related?: { file: string; line: number }[] }) =>
      [`${code} ${file}:${line}`, ...related.map((each) => `${each.file}:${each.line}`)].join(' < '),
  );
}

describe('what is included', () => {
  test('is part of the circuit, name by name, and both copies of a piece are', async () => {
    const twice = `[{ file: heater.assembly.yaml, prefix: A, ${joined} }, { file: heater.assembly.yaml, prefix: B, ${joined} }]`;
    const expectations = `expectations:
  - { in: { SW: on }, load: A-HEAT, works: yes }
  - { in: [{ SW: on }, B-hot], load: A-HEAT, works: no }
  - { in: { SW: on, air: 80 }, load: B-HEAT, works: no }
`;
    const files = { 'c.circuit.yaml': top(twice, expectations), 'heater.assembly.yaml': heater };
    const ran = await validate(files);
    expect([ran.status, problemsIn(ran)]).toEqual([0, []]);
    const [file] = jsonOf(ran).files;
    expect(file.expectations).toHaveLength(5);
    const { out } = await run(['expect', 'c.circuit.yaml', '--state', 'SW=on', '--json'], { files });
    const { points, neverProbed, loads } = JSON.parse(out);
    expect(points.map(({ node }: { node: string }) => node)).toContain('A-TH.2');
    expect(neverProbed.map(({ node }: { node: string }) => node)).toEqual(['A-HEAT.1', 'B-HEAT.1']);
    expect(loads.map(({ load }: { load: string }) => load)).toEqual(['LAMP', 'A-HEAT', 'B-HEAT']);
    expect(jsonOf(ran).inputs.map(({ path }: { path: string }) => path)).toEqual([
      'c.circuit.yaml',
      'heater.assembly.yaml',
    ]);
  });

  test('reads and works as if it stood in one file', async () => {
    const flat = top('[]', '')
      .replace('include: []\n', '')
      .replace(
        'loads:',
        'loads:\n  H-HEAT: { kind: heating-element, between: [H-HEAT.1, MAINS.N], rated: { voltage: 230 V, power: 500 W } }',
      )
      .replace(
        'switches:',
        'switches:\n  H-TH: { follows: air, between: [SW.2, H-TH.2], opens-above: 60 degC, closes-below: 50 degC }',
      )
      .replace(
        'wires:',
        'nodes:\n  H-HEAT.1: { hazard: hot-surfaces }\nwires:\n  - { from: H-TH.2, to: H-HEAT.1 }',
      );
    const files = { 'c.circuit.yaml': top(one), 'heater.assembly.yaml': heater, 'flat.circuit.yaml': flat };
    const ran = await run(['diff', 'flat.circuit.yaml', 'c.circuit.yaml', '--json'], { files });
    const { difference } = jsonOf(ran);
    // The named state is one that the other file can be put in as well.
    expect([ran.status, difference.parts, difference.readings, difference.compared]).toEqual([0, [], [], 5]);
  });

  test('may include pieces of its own, from its own folder', async () => {
    const outer = `loadside: assembly/1\ninclude: [{ file: inner/heater.assembly.yaml, prefix: I, joins: { TH.1: LINE, N: NEUTRAL, heat: warmth } }]\nconditions:\n  warmth: { unit: degC, rest: 20, from: 0, to: 100 }\nprotectors:\n  F1: { kind: fuse, between: [IN, LINE], rating: 5 A }\npassives:\n  R1: { kind: resistor, between: [LINE, NEUTRAL], resistance: 10 kohm }\n`;
    const include =
      '[{ file: boards/outer.assembly.yaml, prefix: O, joins: { IN: SW.2, NEUTRAL: MAINS.N, warmth: air } }]';
    const files = {
      'c.circuit.yaml': top(
        include,
        'expectations:\n  - { in: { SW: on }, load: O-I-HEAT, works: yes }\n  - { in: O-I-hot, load: O-I-HEAT, works: no }\n',
      ),
      'boards/outer.assembly.yaml': outer,
      'boards/inner/heater.assembly.yaml': heater,
    };
    expect(await found(files)).toEqual([]);
    const broken = { ...files, 'boards/inner/heater.assembly.yaml': heater.replace('60 degC', '40 degC') };
    expect(await found(broken)).toEqual([
      'threshold-order boards/inner/heater.assembly.yaml:5 < boards/outer.assembly.yaml:2 < c.circuit.yaml:3',
    ]);
  });

  test('is told with its own places, shape and all, beside what is wrong in the circuit', async () => {
    const files = {
      'c.circuit.yaml': top(one, 'nodes:\n  LAMP.9: { access: 4 min }\n').replace(
        'power: 10 W',
        'power: 10 V',
      ),
      'heater.assembly.yaml': heater
        .replace('kind: heating-element', 'kind: heating-elemnt')
        .replace('50 degC', '50 V'),
    };
    expect(await found(files)).toEqual([
      'quantity-unit c.circuit.yaml:11',
      'reference-unknown c.circuit.yaml:17',
      'state-value heater.assembly.yaml:5 < c.circuit.yaml:3',
      'value-choice heater.assembly.yaml:7 < c.circuit.yaml:3',
    ]);
  });

  test.each([
    ['joins: { TH.1: SW.2, N: MAINS.N, heat: air, TH.9: SW.1 }', ['reference-unknown c.circuit.yaml:3']],
    ['joins: { TH.1: SW.22, N: MAINS.N, heat: air }', ['reference-unknown c.circuit.yaml:3']],
    ['joins: { TH.1: SW.2, N: MAINS.N, heat: LAMP.1 }', ['reference-unknown c.circuit.yaml:3']],
    ['joins: { TH.1: SW.2, N: MAINS.N, HEAT: LAMP }', ['reference-unknown c.circuit.yaml:3']],
  ])('%s: what is joined is there on both sides', async (joins, codes) => {
    const include = `[{ file: heater.assembly.yaml, prefix: H, ${joins} }]`;
    const all = await found({ 'c.circuit.yaml': top(include), 'heater.assembly.yaml': heater });
    expect(all.filter((each) => each.startsWith('reference-unknown c.'))).toEqual(codes);
  });

  test('two of one prefix, or a name that is there already, are told', async () => {
    const heaterFile = { 'heater.assembly.yaml': heater };
    const same = `[{ file: heater.assembly.yaml, prefix: H, ${joined} }, { file: heater.assembly.yaml, prefix: H, ${joined} }]`;
    expect(await found({ 'c.circuit.yaml': top(same), ...heaterFile })).toEqual([
      'name-duplicate c.circuit.yaml:3',
    ]);
    const taken = top(one).replace('  LAMP: {', '  H-HEAT: {');
    expect(await found({ 'c.circuit.yaml': taken, ...heaterFile })).toContain(
      'name-duplicate heater.assembly.yaml:7 < c.circuit.yaml:3',
    );
  });
});

describe('what may be included', () => {
  let home = '';
  beforeEach(() => {
    home = mkdtempSync(join(tmpdir(), 'loadside-'));
  });
  afterEach(() => rmSync(home, { recursive: true, force: true }));

  function put(files: Readonly<Record<string, string>>): void {
    for (const [name, text] of Object.entries(files)) {
      mkdirSync(dirname(join(home, name)), { recursive: true });
      writeFileSync(join(home, name), text);
    }
  }

  /** The one problem of a circuit that includes this, and what is printed of it. */
  async function refusal(file: string, setUp: () => void = () => {}) {
    put({ 'lib/c.circuit.yaml': top(`[{ file: ${JSON.stringify(file)}, prefix: H }]`) });
    setUp();
    const json = await run(['validate', 'lib/c.circuit.yaml', '--json'], { folder: home });
    const table = await run(['validate', 'lib/c.circuit.yaml'], { folder: home });
    expect([json.status, json.err, table.status, table.err]).toEqual([1, '', 1, '']);
    expect(json.out + table.out).not.toContain('opensesame');
    return problemsIn(json).map(({ code, message }) => `${code}: ${message}`);
  }

  test.each([
    ['../secret.assembly.yaml', 'leads out of the folder'],
    ['a/../../secret.assembly.yaml', 'leads out of the folder'],
    ['..', 'leads out of the folder'],
    ['/etc/passwd', 'root of the disk'],
    ['C:/secret.yaml', 'names a drive'],
    ['C:secret.yaml', 'names a drive'],
    ['\\\\server\\share\\x.yaml', 'another machine'],
    ['//server/share/x.yaml', 'another machine'],
    ['boards\\x.yaml', 'backslash'],
    ['http://example.invalid/x.yaml', 'an address'],
    ['file:///etc/passwd', 'an address'],
    ['a\u0000.assembly.yaml', 'control character'],
  ])('not %j', async (file, why) => {
    const setUp = () => put({ 'secret.assembly.yaml': 'loadside: assembly/1\ntitle: opensesame\n' });
    const [only, second] = await refusal(file, setUp);
    expect([only?.startsWith('include-path: '), second]).toEqual([true, undefined]);
    expect(only).toContain(why);
  });

  test('a link out of the folder, to a file or to a folder, is no way out', async () => {
    put({ 'out/x.assembly.yaml': 'loadside: assembly/1\ntitle: opensesame\n', 'lib/a': '' });
    symlinkSync('../out/x.assembly.yaml', join(home, 'lib/link.assembly.yaml'));
    symlinkSync('../out', join(home, 'lib/folder'));
    for (const file of ['link.assembly.yaml', 'folder/x.assembly.yaml'])
      expect(await refusal(file)).toEqual([
        `include-path: ${file} can't be included: it leads out of the folder of the circuit through a link`,
      ]);
  });

  test('a link within it is followed, one in a circle leads nowhere', async () => {
    put({ 'lib/boards/h.assembly.yaml': heater, 'lib/c.circuit.yaml': top(one) });
    symlinkSync('boards/h.assembly.yaml', join(home, 'lib/heater.assembly.yaml'));
    const ran = await run(['validate', 'lib/c.circuit.yaml', '--json'], { folder: home });
    expect([ran.status, problemsIn(ran)]).toEqual([0, []]);
    symlinkSync('loop.yaml', join(home, 'lib/loop.yaml'));
    expect(await refusal('loop.yaml')).toEqual([
      "include-missing: loop.yaml can't be included: its links lead in a circle",
    ]);
  });

  test('a folder, a pipe, or nothing is no file', async () => {
    put({ 'lib/boards/h.assembly.yaml': heater });
    execFileSync('mkfifo', [join(home, 'lib/pipe')]);
    expect(await refusal('boards')).toEqual([
      "include-missing: boards can't be included: it is no ordinary file",
    ]);
    expect(await refusal('pipe')).toEqual([
      "include-missing: pipe can't be included: it is no ordinary file",
    ]);
    expect(await refusal('gone')).toEqual(["include-missing: gone can't be included: there is no such file"]);
  });

  test.each([
    ['another file of a person', 'password: opensesame\n'],
    ['what is no YAML', '{{{ opensesame'],
    ['what is no text', '\u0000opensesame'],
    ['a circuit', 'loadside: circuit/1\ntitle: opensesame\n'],
    ['an assembly in its words only', 'title: |\n  loadside: assembly/1 opensesame\n'],
  ])('of %s nothing is shown', async (_, text) => {
    expect(await refusal('x.yaml', () => put({ 'lib/x.yaml': text }))).toEqual([
      "include-kind: x.yaml can't be included: it does not say that it is an assembly",
    ]);
  });
});

describe('limits', () => {
  const piece = (include: string) =>
    `loadside: assembly/1\ninclude: ${include}\npassives:\n  R: { kind: resistor, between: [R.1, R.2], resistance: 1 kohm }\n`;

  test('a circle is told with all its files', async () => {
    const files = {
      'c.circuit.yaml': top('[{ file: a.assembly.yaml, prefix: A }]'),
      'a.assembly.yaml': piece('[{ file: b.assembly.yaml, prefix: B }]'),
      'b.assembly.yaml': piece('[{ file: a.assembly.yaml, prefix: A }]'),
    };
    const [only] = problemsIn(await validate(files)).filter(({ code }) => code === 'include-loop');
    expect(only?.message).toContain('a.assembly.yaml and b.assembly.yaml');
    expect(await found(files)).toContain(
      'include-loop b.assembly.yaml:2 < a.assembly.yaml:2 < c.circuit.yaml:3',
    );
  });

  test('sixteen files deep, and no more', async () => {
    const chain = (length: number) =>
      Object.fromEntries([
        ['c.circuit.yaml', top('[{ file: p1.yaml, prefix: P }]')],
        ...Array.from({ length }, (_, index) => [
          `p${index + 1}.yaml`,
          piece(index + 1 === length ? '[]' : `[{ file: p${index + 2}.yaml, prefix: P }]`),
        ]),
      ]);
    expect((await found(chain(16))).join()).not.toContain('limit-exceeded');
    expect((await found(chain(17))).join()).toContain('limit-exceeded p16.yaml:2');
  });

  test('pieces that double with every step come to an end', async () => {
    const double = (next: string) => piece(`[{ file: ${next}, prefix: A }, { file: ${next}, prefix: B }]`);
    const files = Object.fromEntries([
      ['c.circuit.yaml', top('[{ file: p1.yaml, prefix: P }]')],
      ...Array.from({ length: 12 }, (_, index) => [
        `p${index + 1}.yaml`,
        index === 11 ? piece('[]') : double(`p${index + 2}.yaml`),
      ]),
    ]);
    const { status, out } = await validate(files);
    expect(status).toBe(1);
    expect(out).toContain('256 are read');
  });

  test('bytes of all files together', async () => {
    const big = `${piece('[]')}# ${'x'.repeat(600_000)}\n`;
    const files = {
      'c.circuit.yaml': top('[{ file: p.yaml, prefix: A }, { file: p.yaml, prefix: B }]'),
      'p.yaml': big,
    };
    expect((await found(files)).join()).toContain('limit-exceeded c.circuit.yaml:3');
  });
});
