import { describe, expect, test } from 'vitest';
import { exchanged, hood, hoodText, noFan, noFanText } from './example-files.js';
import { type Ran, run } from './run.js';
import { hums } from './small-circuits.js';

/** What a terminal or a build log would obey, or a reader be tricked by. */
const payloads = {
  'clear screen': '\u001b[2J',
  'cursor up': 'x\u001b[1A\u001b[7mOK',
  'window title': '\u001b]0;owned\u0007',
  'fake link': '\u001b]8;;http://example.invalid\u001b\\here\u001b]8;;\u001b\\',
  clipboard: '\u001b]52;c;b3duZWQ=\u0007',
  'unterminated title': '\u001b]0;',
  'device control': '\u001bP1$r0m\u001b\\',
  'C1 introducer': '\u009b2J\u009d0;owned\u009c',
  bell: '\u0007\u0007\u0007',
  delete: 'abc\u007f\u007f\u007f',
  backspace: 'not valid\b\b\b\b\b\b\b\b\bvalid',
  'carriage return': 'not valid\rvalid',
  bidi: '\u202egnp.exe\u202c\u2066x\u2069',
  'zero width': 'va\u200blid\u200d\u2060\ufeff',
  'line separators': 'a\u2028b\u2029c\u0085d',
  'log command': 'a\n::error file=x::owned\n::add-mask::x',
  'log command at once': '::warning::owned',
  'log command in brackets': '\n##[error]owned',
  'lone surrogate': 'a\ud800b',
} as const;

const all: string = Object.values(payloads).join(' ');

/** Text in double quotes as YAML, in ASCII alone. */
function quoted(text: string): string {
  return JSON.stringify(text).replace(/[\u007f-\uffff]/g, (unit) => {
    return `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`;
  });
}

const signs =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
  /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]/u;

/** Those of them that act, and not only hide: what a machine is given may hold the others. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
const acting = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069\ud800-\udfff]/u;

/** The seven sequences that our own colours are made of. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: escapes are what colours are made of
const ours = /\u001b\[(?:1|2|22|31|32|33|39)m/g;

function expectHarmless({ out, err, written }: Ran, coloured = false): void {
  for (const text of [out, err, ...written.values()]) {
    const plain = coloured ? text.replace(ours, '') : text;
    const found = (plain.startsWith('{') ? acting : signs).exec(plain);
    const around = found === null ? '' : JSON.stringify(plain.slice(found.index - 30, found.index + 30));
    expect([found?.[0], around]).toEqual([undefined, '']);
    expect(plain).not.toMatch(/^[ \t]*::/m);
    // Inside a JSON text it stands behind a quote, where no log looks for it.
    if (!plain.startsWith('{')) expect(plain).not.toMatch(/##\[/);
  }
  expect(err).not.toContain('a defect in loadside,');
}

interface Planted {
  readonly circuit?: (payload: string) => string;
  readonly readings?: (payload: string) => string;
}

const circuitWith =
  (from: string, to: (text: string) => string) =>
  (payload: string): string =>
    exchanged(hoodText, from, to(quoted(payload)));
const readingsWith =
  (from: string, to: (text: string) => string) =>
  (payload: string): string =>
    exchanged(noFanText, from, to(quoted(payload)));

/** Every place of a file that may hold text of a person's own. */
const places: Readonly<Record<string, Planted>> = {
  title: { circuit: circuitWith('Range hood, four speeds by push-button', (text) => text) },
  about: {
    circuit: circuitWith(
      'Invented practice appliance with an electronic speed control and a tapped fan motor.',
      (text) => text,
    ),
  },
  'title of a part': { circuit: circuitWith('title: speed control', (text) => `title: ${text}`) },
  job: { circuit: circuitWith('job: fan turns', (text) => `job: ${text}`) },
  'job of an output': { circuit: circuitWith('job: indicator blinks', (text) => `job: ${text}`) },
  label: { circuit: circuitWith('label: speed 1', (text) => `label: ${text}`) },
  colour: { circuit: circuitWith('colour: orange', (text) => `colour: ${text}`) },
  behind: { circuit: circuitWith('behind: lamp lens', (text) => `behind: ${text}`) },
  hazard: { circuit: circuitWith('hazard: high-voltage\n', (text) => `hazard: ${text}\n`) },
  'id of a wire': { circuit: circuitWith('colour: orange', (text) => `id: ${text}`) },
  'name of a part': { circuit: circuitWith('\n  LAMP:\n', (text) => `\n  ${text}:\n`) },
  'name of a state': { circuit: circuitWith('\n  lamp: {', (text) => `\n  ${text}: {`) },
  'name of a node': { circuit: circuitWith('to: CTL.1,', (text) => `to: ${text},`) },
  position: { circuit: circuitWith('positions: [off, on]', (text) => `positions: [off, on, ${text}]`) },
  'position that is none': { circuit: circuitWith('closed-in: [on]', (text) => `closed-in: [${text}]`) },
  'a key': { circuit: circuitWith('title: speed control', (text) => `${text}: x`) },
  'a section': { circuit: circuitWith('\nprotectors:', (text) => `\n${text}:`) },
  'a quantity': { circuit: circuitWith('voltage: 120 V\n', (text) => `voltage: ${text}\n`) },
  'a unit': {
    circuit: (payload) => exchanged(hoodText, 'voltage: 120 V\n', `voltage: ${quoted(`120 ${payload}`)}\n`),
  },
  'a kind': { circuit: circuitWith('kind: motor', (text) => `kind: ${text}`) },
  'a value of reads': { circuit: circuitWith('reads: 62.8 V', (text) => `reads: ${text}`) },
  'a state of an expectation': { circuit: circuitWith('in: speed-2, red', (text) => `in: ${text}, red`) },
  note: { readings: readingsWith('note: at the outlet', (text) => `note: ${text}`) },
  'the circuit of readings': {
    readings: readingsWith('circuit: range-hood.circuit.yaml', (text) => `circuit: ${text}`),
  },
  'a lead': { readings: readingsWith('red: CTL.5', (text) => `red: ${text}`) },
  'a reading': { readings: readingsWith('reads: 0.1 V', (text) => `reads: ${text}`) },
  'a state': { readings: readingsWith('in: speed-3, red', (text) => `in: ${text}, red`) },
  'a load of a symptom': { readings: readingsWith('load: CTL.indicator', (text) => `load: ${text}`) },
  'a supply': { readings: readingsWith('{ MAINS: 121.3 V }', (text) => `{ ${text}: 121.3 V }`) },
};

const commands = (circuit: string, readings: string): readonly (readonly string[])[] => [
  ['validate', circuit],
  ['expect', circuit, '--state', 'speed-1'],
  ['trace', circuit, 'FAN'],
  ['pins', circuit],
  ['faults', circuit, '--state', 'LS=on'],
  ['check', readings, '--circuit', circuit],
  ['next', readings, '--circuit', circuit],
  ['sheet', circuit, '--load', 'FAN', '--part', 'CTL'],
];

describe('text of a file acts on nothing', () => {
  test.each(Object.entries(places))('%s', async (place, { circuit, readings }) => {
    const files = {
      'c.yaml': circuit?.(all) ?? hoodText,
      'r.yaml': readings?.(all) ?? noFanText,
    };
    const touched =
      circuit === undefined
        ? [
            ['check', 'r.yaml', '--circuit', 'c.yaml'],
            ['check', 'r.yaml'],
            ['next', 'r.yaml', '--circuit', 'c.yaml'],
          ]
        : commands('c.yaml', 'r.yaml');
    for (const args of touched) {
      const [command] = args;
      // Slow, and what it tells of is parts: it is asked where those are spoilt.
      if (command === 'faults' && !place.includes('part')) continue;
      // The two slow ones end with the same proposal: one is asked for each form.
      if (command !== 'check' || circuit === undefined)
        expectHarmless(await run([...args, '--format', 'json'], { files }));
      if (command !== 'next') expectHarmless(await run([...args, '--color'], { files }), true);
    }
  });

  test.each(Object.entries(payloads))('%s by itself, in words and in a name', async (_, payload) => {
    for (const place of ['title of a part', 'name of a part'] as const) {
      const files = { 'c.yaml': places[place]!.circuit!(payload), 'r.yaml': noFanText };
      for (const command of place === 'name of a part' ? ['trace', 'check'] : ['trace']) {
        const args = commands('c.yaml', 'r.yaml').find(([name]) => name === command)!;
        expectHarmless(await run(args, { files }));
      }
    }
  });

  test('raw signs in a file are told where they stand and are not shown', async () => {
    for (const payload of Object.values(payloads)) {
      const files = {
        'c.yaml': exchanged(hoodText, 'title: speed control', `title: x${payload}`),
        'r.csv': `in,red,black,on,reads,input,note\n,CTL.L,CTL.N,,121 V,,"x${payload}"\n`,
      };
      expectHarmless(await run(['validate', 'c.yaml'], { files }));
      expectHarmless(await run(['check', 'r.csv', '--circuit', hood], { files }));
    }
  });

  test('a row of a table stays one row', async () => {
    const files = { 'c.yaml': places['label']!.circuit!('one\ntwo\r\nthree') };
    const { out } = await run(['pins', 'c.yaml', '--width', '200'], { files });
    expect(out.split('\n').filter((line) => line.startsWith('CTL.'))).toHaveLength(4);
    expect(out).toContain('(one two');
  });
});

/** Every other one: all of them would be too long for a name of a file. */
const half = (first: number) =>
  Object.values(payloads)
    .filter((_, index) => index % 2 === first)
    .join(' ');

/** In every place: all at once, and what acts only where a line begins. Each by itself in a third of the places. */
const typed: readonly (readonly [name: string, payload: string, turn: number | undefined])[] = [
  ['one half of all', half(0), undefined],
  ['the other half', half(1), undefined],
  ['log command at once, everywhere', payloads['log command at once'], undefined],
  ...Object.entries(payloads).map(([name, payload], turn) => [name, payload, turn] as const),
];

describe('nor does text of the command line', () => {
  test.each(typed)('%s', async (_, payload, turn) => {
    // A name of a file: the files given to a run are in no folders.
    const named = `${payload.replaceAll('/', '')}.yaml`;
    const files = {
      [named]: hums,
      'r.csv': 'in,red,black,reads\n,OL.2,S.N,0 V\n',
      [`bad-${named}`]: 'loadside: x\n',
    };
    const everywhere: readonly (readonly string[])[] = [
      [payload],
      ['help', payload],
      [`--${payload}`],
      ['check', noFan, payload],
      ['check', noFan, `--${payload}`],
      ['check', noFan, `--quiet=${payload}`],
      ['check', noFan, '--format', payload],
      ['check', noFan, '--width', payload],
      ['check', `nowhere-${named}`],
      ['check', noFan, '--circuit', `nowhere-${named}`],
      ['check', 'r.csv', '--circuit', named],
      ['validate', named],
      ['validate', `bad-${named}`],
      ['validate', `bad-${named}`, named, `nowhere-${named}`],
      ['validate', `bad-${named}`, '--format', 'json'],
      ['expect', named, '--format', 'json'],
      ['expect', hood, '--state', payload],
      ['expect', hood, '--state', `B1=${payload}`],
      ['expect', hood, '--state', `${payload}=in`],
      ['expect', hood, '--state', `removed=${payload}`],
      ['expect', hood, '--fault', payload],
      ['expect', hood, '--fault', `B1:${payload}`],
      ['expect', hood, '--black', payload],
      ['expect', hood, '--input', payload],
      ['trace', hood, payload],
      ['pins', hood, payload],
    ];
    const calls = everywhere.filter((_, place) => turn === undefined || (place + turn) % 3 === 0);
    for (const args of calls) expectHarmless(await run(args, { files }));
    for (const args of calls.filter(([command]) => command === 'validate')) {
      expectHarmless(await run([...args, '--color'], { files }), true);
    }
  });
});
