import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { columnsOf } from '../../src/report/columns.js';
import { overlaps, readSvg } from '../draw/svg-geometry.js';
import { exampleCircuits, exchanged, hood, hoodText, oven } from './example-files.js';
import { type Ran, root, run } from './run.js';

/** UPDATE_GOLDEN=1 writes the pictures anew; look at each as a picture before you keep it. */
const update = process.env['UPDATE_GOLDEN'] === '1';

const bracketed = 'examples/wall-oven/broil-wire-or-contact.readings.yaml';

/** The readings on their circuit, drawn once for all that is asked of it. */
let once: Promise<Ran> | undefined;
function drawn(): Promise<Ran> {
  once ??= run(['draw', oven, '--readings', bracketed]);
  return once;
}

const pictures: Readonly<Record<string, readonly string[]>> = {
  'hood-wiring': [hood],
  'range-control-bake': ['examples/range-control/range-control.circuit.yaml', '--state', 'bake'],
  'oven-bracket': [oven, '--readings', bracketed],
};

/** All that may stand in a picture (SEC-14). */
const allowedElements = ['svg', 'title', 'g', 'rect', 'line', 'path', 'circle', 'text'];
const allowedAttributes = [
  ...[
    'xmlns',
    'viewBox',
    'width',
    'height',
    'role',
    'font-family',
    'font-size',
    'font-weight',
    'text-anchor',
  ],
  ...['x', 'y', 'x1', 'x2', 'y1', 'y2', 'cx', 'cy', 'r', 'd', 'transform'],
  ...['fill', 'stroke', 'stroke-width', 'stroke-dasharray', 'stroke-linecap'],
];

/** Breaking out of text, of an attribute in either quotes, of CDATA and comments; entities; what terminals obey. */
const payloads = [
  '</text><script>alert(1)</script>',
  '" onload="alert(1) &lt;b&gt; &#60; & &unknown;',
  "' onload='alert(1) ]]> <![CDATA[ <!-- -->",
  '<?xml version="1.0"?><!DOCTYPE x> \u202egnp.exe\u202c',
  '\u001b[2J\u009b2J\u0007',
] as const;

function inYaml(text: string): string {
  return JSON.stringify(text).replace(/[\u007f-\uffff]/g, (unit) => {
    return `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`;
  });
}

describe('draw as SVG', () => {
  test.each(Object.entries(pictures))('%s', async (name, args) => {
    const { out, err, status } = await (args.includes(bracketed) ? drawn() : run(['draw', ...args]));
    expect([err, status]).toEqual(['', 0]);
    const file = join(root, 'tests/golden', `draw-${name}.svg`);
    if (update) writeFileSync(file, out);
    expect(existsSync(file) ? readFileSync(file, 'utf8') : '').toBe(out);
  });

  test('what bounds the fault is hatched, the next leads are ringed, readings stand where they were taken', async () => {
    const { out } = await drawn();
    const { words, texts, lines, symbols } = readSvg(out);
    expect(words).toEqual(
      expect.arrayContaining(['red 2: 0.0 V \u2260', 'black 3', 'NEXT: red', 'NEXT: black']),
    );
    expect(words.join('\n')).toContain('The fault is bounded by SEL and SEL.3-BROIL.1.');
    expect(words.join('\n')).toContain('ringed: where the leads go next');
    // The contacts of SEL, and the wire: a dashed frame each, and one in the key.
    expect(out.match(/stroke-dasharray="5 2"/g)).toHaveLength(3 + 1 + 1);
    expect([overlaps(texts, texts), overlaps(texts, lines), overlaps(texts, symbols)]).toEqual([[], [], []]);
  });

  test('live, neutral and floating differ in width and dashes, not in colour alone', async () => {
    const { out } = await run(['draw', oven, '--state', 'bake-hot', '--fault', 'TBo.2-LAMP.2:open']);
    const strokes = [
      ...out.matchAll(/<line [^>]*stroke="(#\w+)" stroke-width="([\d.]+)"(?: stroke-dasharray="([^"]+)")?/g),
    ];
    const looks = new Map(
      strokes.map(([, colour, width, dash]) => [colour, `${Math.min(Number(width), 2.6)} ${dash ?? ''}`]),
    );
    expect(new Set(looks.values()).size).toBe(looks.size);
  });

  test('dark is the same drawing in other colours', async () => {
    const [light, dark] = [await run(['draw', hood]), await run(['draw', hood, '--theme', 'dark'])];
    const bare = (svg: string) => svg.replaceAll(/#[0-9a-f]{6}/g, '#');
    expect(dark.out).not.toBe(light.out);
    expect(bare(dark.out)).toBe(bare(light.out));
  });

  test('nothing but attributes: no style, no id, no link', async () => {
    const { elements, attributes } = readSvg((await drawn()).out);
    expect([...elements].filter((name) => !allowedElements.includes(name))).toEqual([]);
    expect([...attributes].filter((name) => !allowedAttributes.includes(name))).toEqual([]);
  });

  test('markup and escapes in titles, colours, jobs and names stay text', async () => {
    const { elements: usual } = readSvg((await run(['draw', hood])).out);
    const told = (payload: string) => inYaml(`x ${payload}`);
    const [one, two, three, four, five] = payloads;
    const text = [
      ['title: Range hood, four speeds by push-button', `title: ${told(one)}`],
      ['title: cooktop lamp', `title: ${told(two)}`],
      ['job: lamp lights', `job: ${told(three)}`],
      ['title: lamp switch', `title: ${told(four)}`],
      ['from: LS.2, to: LAMP.1, colour: black', `from: LS.2, to: LAMP.1, colour: ${told(five)}`],
    ].reduce((circuit, [from = '', to = '']) => exchanged(circuit, from, to), hoodText);
    const files = { 'c.yaml': text };
    const svg = await run(['draw', 'c.yaml', '--state', 'lamp'], { files });
    const terminal = await run(['draw', 'c.yaml', '--state', 'lamp', '--format', 'terminal'], { files });
    for (const { out, err, status } of [svg, terminal]) {
      expect([err, status]).toEqual(['', 0]);
      // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
      expect(out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/);
    }
    const { elements, attributes, words } = readSvg(svg.out);
    expect([...elements].sort()).toEqual([...usual].sort());
    expect([...attributes].filter((name) => !allowedAttributes.includes(name))).toEqual([]);
    expect(words.join(' ')).toContain('<script>alert(1)</script>');
  });

  test('to a file', async () => {
    const { out, written, status } = await run(['draw', hood, '--output', 'hood.svg']);
    expect([out, status]).toEqual(['', 0]);
    expect(written.get('hood.svg')).toBe((await run(['draw', hood])).out);
  });
});

describe('draw in characters', () => {
  test.each(exampleCircuits)('%s keeps to the width, in Unicode and in ASCII', async (_, path) => {
    for (const [width, more] of [
      [80, []],
      [60, ['--ascii', '--width', '60']],
    ] as const) {
      const { out, status } = await run(['draw', path, '--format', 'terminal', ...more]);
      expect(status).toBe(0);
      const wide = out.split('\n').filter((line) => columnsOf(line) > width);
      expect(wide).toEqual([]);
      if (more.length > 0) expect(out).toMatch(/^[\x20-\x7e\n]*$/);
    }
  });

  test('names every terminal and every part with a symbol', async () => {
    const { out } = await run(['draw', oven, '--format', 'terminal']);
    for (const name of ['TBo.1', 'TF.2', 'SEL.L2', 'BROIL.2', 'SEL broil', 'TB:3', 'LAMP'])
      expect(out).toContain(name);
  });
});

describe('calls', () => {
  test('readings are of a sound circuit: no fault beside them', async () => {
    const { err, status } = await run(['draw', oven, '--readings', bracketed, '--fault', 'F1:open']);
    expect([status, err]).toEqual([2, expect.stringContaining('Leave out --fault or --readings.')]);
  });

  test('a state given goes before that of the first discrepancy', async () => {
    const { out } = await run(['draw', oven, '--readings', bracketed, '--state', 'bake']);
    expect(out).toContain('State: bake.');
  });

  test('other commands have no pictures', async () => {
    const { err, status } = await run(['expect', hood, '--format', 'svg']);
    expect([status, err]).toEqual([2, expect.stringContaining('expect has no format svg, but table, json')]);
  });

  test.each([
    [['draw', hood, '--state', 'spede-1'], 'speed-1'],
    [['draw', hood, '--fault', 'F2:open'], 'F2:open is no fault'],
  ] as const)('%j names what was meant', async (args, meant) => {
    const { err, status } = await run(args);
    expect([status, err]).toEqual([2, expect.stringContaining(meant)]);
  });

  test('a state in which the supply is shorted has no volts', async () => {
    const { out, status } = await run(['draw', hood, '--state', 'lamp', '--fault', 'LAMP:shorted']);
    expect(status).toBe(0);
    expect(out).toContain('no volts are shown');
    expect(readSvg(out).words.filter((each) => /^\d.* V$/.test(each))).toEqual([]);
  });
});

describe('the heat map of faults', () => {
  test('has in each field the states that the JSON answer has', async () => {
    const args = ['faults', oven, '--state', 'door-open'];
    const { out, err, status } = await run([...args, '--format', 'svg']);
    expect([err, status]).toEqual(['', 0]);
    const { elements, attributes, texts, words, symbols } = readSvg(out);
    expect([...elements].filter((name) => !allowedElements.includes(name))).toEqual([]);
    expect([...attributes].filter((name) => !allowedAttributes.includes(name))).toEqual([]);
    expect(overlaps(texts, texts)).toEqual([]);
    expect(words).toEqual(expect.arrayContaining(['DS.2', 'LAMP.1', 'what works']));
    const row = texts.find(({ what }) => what.startsWith('DS does not close'));
    const fields = texts.filter(({ top, what }) => what === '1' && Math.abs(top - (row?.top ?? 0)) < 2);
    const told = JSON.parse((await run([...args, '--format', 'json'])).out);
    const open = told.effects.find(
      ({ fault }: { fault: { part: string; mode: string } }) =>
        fault.part === 'DS' && fault.mode === 'stuck-open',
    );
    const points = open.readings.filter(({ black }: { black: string }) => black === 'MAINS.N');
    expect(points.length).toBeGreaterThan(0);
    expect([fields.length, symbols.length > 10]).toEqual([points.length + 1, true]);
  });
});
