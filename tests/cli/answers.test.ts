import { createHash } from 'node:crypto';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import {
  allGood,
  complaint,
  hood,
  hoodText,
  lampOut,
  lostLeg,
  noFan,
  noFanText,
  oven,
  ovenGood,
  readingsFiles,
  textOf,
} from './example-files.js';
import { type Answer, jsonOf, type Outside, type Ran, run } from './run.js';
import { buzzer, holder, hums, racers } from './small-circuits.js';

const circuits = [hood, oven] as const;
/** One of each kind of outcome; tests/cli/examples.test.ts runs them all. */
const someReadings = readingsFiles.filter((path) => /lamp-out|wall-oven.(?:all-good|broil-wire)/.test(path));

const csvHead = 'in,red,black,on,reads,input,note\n';

/** Calls of every command, with their outside where the disk is not enough. */
const calls: readonly (readonly [name: string, args: readonly string[], outside?: Outside])[] = [
  ...circuits.flatMap((circuit) => [
    [`validate ${circuit}`, ['validate', circuit]] as const,
    [`expect ${circuit}`, ['expect', circuit]] as const,
    [`pins ${circuit}`, ['pins', circuit]] as const,
  ]),
  ['validate two', ['validate', hood, oven]],
  ['validate one that is none', ['validate', 'bad.yaml', hood], { files: { 'bad.yaml': 'loadside: x\n' } }],
  [
    'validate one with a failed expectation',
    ['validate', 'c.yaml'],
    { files: { 'c.yaml': hoodText.replace('reads: 62.8 V', 'reads: 9 V') } },
  ],
  ['expect a state', ['expect', hood, '--state', 'speed-1']],
  ['expect a fault', ['expect', hood, '--state', 'speed-1', '--fault', 'SP2-CTL.N:open', '--input', 'low']],
  ['expect a black lead', ['expect', oven, '--state', 'bake', '--black', 'TBs.2']],
  ['expect power off', ['expect', oven, '--state', 'power=off', '--state', 'disconnected=BAKE.1']],
  ['expect a short', ['expect', hood, '--state', 'lamp', '--fault', 'LAMP:shorted']],
  [
    'expect crossed wires',
    ['expect', hood, '--state', 'speed-1', '--fault', 'B1.2-CTL.1:crossed=B2.2-CTL.2'],
  ],
  ['expect an unknown state', ['expect', hood, '--state', 'sped-1']],
  ['expect every state', ['expect', oven, '--all-states']],
  ['expect every state of a timer', ['expect', 'examples/washer/washer.circuit.yaml', '--all-states']],
  [
    'expect every state with a wire lifted and a plug pulled',
    ['expect', oven, '--all-states', '--disconnect', 'BAKE.1', '--unplug', 'TB'],
  ],
  [
    'expect a fault of a value',
    ['expect', hood, '--state', 'speed-1', '--fault', 'B1:high-resistance=50 ohm'],
  ],
  ['expect an overload', ['expect', 'h.yaml', '--fault', 'W:open'], { files: { 'h.yaml': hums } }],
  ['expect a relay that chatters', ['expect', 'b.yaml'], { files: { 'b.yaml': buzzer } }],
  ['expect relays that race', ['expect', 'b.yaml'], { files: { 'b.yaml': racers } }],
  ['expect a relay that could hold itself in', ['expect', 'b.yaml'], { files: { 'b.yaml': holder } }],
  ['trace behind a transformer', ['trace', 'examples/range-control/range-control.circuit.yaml', 'K1']],
  ['trace a load', ['trace', hood, 'FAN']],
  ['trace an output', ['trace', hood, 'CTL.uv-lamp']],
  ['trace an element between two legs', ['trace', oven, 'BAKE']],
  ['trace in a state where it is idle', ['trace', hood, 'LAMP', '--state', 'speed-1']],
  ['pins of one module', ['pins', hood, 'CTL']],
  ['draw the wiring', ['draw', hood]],
  ['draw a state', ['draw', 'examples/range-control/range-control.circuit.yaml', '--state', 'bake']],
  ['draw what chatters', ['draw', 'b.yaml', '--state', 'power=on'], { files: { 'b.yaml': buzzer } }],
  ['sheet of one load', ['sheet', hood, '--load', 'FAN']],
  ['sheet of every load, with relays', ['sheet', 'examples/range-control/range-control.circuit.yaml']],
  ['sheet of a part', ['sheet', hood, '--part', 'CTL', '--part', 'J3']],
  ['sheet where nothing holds still', ['sheet', 'b.yaml'], { files: { 'b.yaml': buzzer } }],
  ['report', ['report', lostLeg]],
  ['report with readings after the repair', ['report', lostLeg, '--after', ovenGood]],
  ['faults in one state', ['faults', oven, '--state', 'bake']],
  ['faults below a threshold', ['faults', oven, '--state', 'door-open', '--min-isolable', '99.5']],
  ['faults that open an overload', ['faults', 'h.yaml'], { files: { 'h.yaml': hums } }],
  ['faults where nothing holds still', ['faults', 'b.yaml'], { files: { 'b.yaml': buzzer } }],
  ['faults of a relay that can hold itself in', ['faults', 'b.yaml'], { files: { 'b.yaml': holder } }],
  ...someReadings.map((path) => {
    const circuit = path.endsWith('.csv') ? ['--circuit', hood] : [];
    return [`check ${path}`, ['check', path, ...circuit]] as const;
  }),
  ...someReadings.map((path) => {
    const circuit = path.endsWith('.csv') ? ['--circuit', hood] : [];
    return [`next ${path}`, ['next', path, ...circuit]] as const;
  }),
  ['next of a complaint', ['next', 'r.yaml', '--circuit', hood], { files: { 'r.yaml': complaint } }],
  ['check a complaint', ['check', 'r.yaml', '--circuit', hood], { files: { 'r.yaml': complaint } }],
  [
    'check nothing',
    ['check', 'r.csv', '--circuit', hood],
    { files: { 'r.csv': `${csvHead}speed-1,CTL.5,CTL.N,,,,\n` } },
  ],
  [
    'check OL',
    ['check', 'r.csv', '--circuit', hood],
    { files: { 'r.csv': `${csvHead}power=off,F1.1,F1.2,,OL,,\npower=off,LAMP.1,LAMP.2,,0.01 Mohm,,\n` } },
  ],
  [
    'check what nothing explains',
    ['check', 'r.csv', '--circuit', hood],
    { files: { 'r.csv': `${csvHead},CTL.L,CTL.N,,121 V,,\n,CTL.L,CTL.N,,0 V,,\n` } },
  ],
  [
    'check a misspelt node',
    ['check', 'r.csv', '--circuit', hood],
    { files: { 'r.csv': `${csvHead},CTL.LL,CTL.N,,121 V,,\n` } },
  ],
];

/** The same for a table of tests. */
const told = calls.map(([name, args, outside]) => ({ name, args, outside }));

const json = async (args: readonly string[], outside?: Outside): Promise<Ran> =>
  run([...args, '--format', 'json'], outside);

const restyled = ['--quiet', '--color', '--ascii', '--width', '40'];
const isSlow = ([command = '']: readonly string[]) => /^(?:check|next|faults)$/.test(command);
/** The slow ones are asked for one table only. How a table of theirs is without is in tests/golden. */
const styleOf = (args: readonly string[]) =>
  isSlow(args) ? restyled.filter((each) => each !== '--color') : [];

/** The answers to the calls above, run once for all that is asked of them. */
const answered = new Map<string, Promise<Ran>>();

function answer(format: 'table' | 'json', args: readonly string[], outside?: Outside): Promise<Ran> {
  const key = JSON.stringify([format, args, outside?.files]);
  const known =
    answered.get(key) ??
    run([...args, '--format', format, ...(format === 'json' ? [] : styleOf(args))], outside);
  answered.set(key, known);
  return known;
}

/** Every number, and every place where none should be. */
function numbersIn(value: unknown, path = ''): [string, number][] {
  if (typeof value === 'number') return [[path, value]];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, each]) => numbersIn(each, `${path}/${key}`));
}

describe('every answer as JSON', () => {
  const validate = new Ajv({ strict: true, allErrors: true, allowUnionTypes: true }).compile(
    JSON.parse(textOf('schemas/report.schema.json')),
  );

  test.each(told)('$name: one document that fits its schema', async ({ args, outside }) => {
    const ran = await answer('json', args, outside);
    const told = jsonOf(ran);
    validate(told);
    expect((validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`)).toEqual(
      [],
    );
    expect(ran.out.endsWith('}\n')).toBe(true);
    expect(told.command).toBe(args[0]);
  });

  test.each(told)('$name: numbers are numbers', async ({ args, outside }) => {
    const { out } = await answer('json', args, outside);
    expect(out).not.toMatch(/NaN|Infinity|[:[,]\s*-0(?:\.0+)?[\s,\]}]/);
    const odd = numbersIn(JSON.parse(out)).filter(
      ([, number]) => !Number.isFinite(number) || Object.is(number, -0),
    );
    expect(odd).toEqual([]);
  });

  test.each(told)('$name: the table says no such thing either', async ({ args, outside }) => {
    const { out, err } = await answer('table', args, outside);
    expect(out + err).not.toMatch(/NaN|Infinity|undefined|\[object|null\b|-0\.0+(?!\d)/);
  });

  test('the schema is stricter than anything goes', async () => {
    const { out } = await json(['check', noFan]);
    for (const [from, to] of [
      ['"verdict": "bounded"', '"verdict": "bound"'],
      ['"mode": "dead"', '"mode": "deadly"'],
      ['"kind": "driven"', '"kind": "drifting"'],
      ['"weight": ', '"heft": '],
      ['"loadside": "report/1"', '"loadside": "report/2"'],
    ] as const) {
      expect(out).toContain(from);
      expect([from, validate(JSON.parse(out.replace(from, to)))]).toEqual([from, false]);
    }
  });

  test('names each input with the SHA-256 of its bytes', async () => {
    const { inputs } = jsonOf(await json(['check', noFan]));
    const sha256 = (path: string) => createHash('sha256').update(textOf(path)).digest('hex');
    expect(inputs).toEqual([noFan, hood].map((path) => ({ path, sha256: sha256(path) })));
  });

  test('a floating place has no number for what is read', async () => {
    const { points } = jsonOf(await json(['expect', hood, '--state', 'disconnected=LAMP.1']));
    const floating = points.filter((point: Answer) => point.expected.kind === 'floating');
    expect(floating.map((point: Answer) => point.node)).toContain('LS.2');
    for (const { expected } of floating) {
      expect(Object.keys(expected).sort()).toEqual(['cause', 'high', 'kind', 'likely', 'unit']);
      expect(expected.cause).toMatch(/\w/);
    }
  });
});

describe('all forms of an answer say the same', () => {
  test.each(told)('$name: same exit status', async ({ args, outside }) => {
    const plain = await answer('table', args, outside);
    const other = isSlow(args) ? plain : await run([...args, ...restyled], outside);
    const statuses = [plain, await answer('json', args, outside), other].map(({ status }) => status);
    expect(new Set(statuses).size).toBe(1);
  });

  test.each(
    readingsFiles.filter((path) => /wall-oven|lamp-out|no-fan|\/(?:dryer|refrigerator)\/.*open/.test(path)),
  )('%s: same verdict for each reading, same suspects', async (path) => {
    const args = ['check', path, ...(path.endsWith('.csv') ? ['--circuit', hood] : []), '--width', '300'];
    const answer = jsonOf(await json(args));
    const { out } = await run(args);
    const verdicts = answer.readings.map((reading: Answer) => reading.verdict);
    const table = out.slice(out.search(/^# +state +red/m));
    const rows =
      table
        .split('\n\n')[0]
        ?.split('\n')
        .filter((line) => /^\d+ /.test(line)) ?? [];
    const words = { agrees: /OK$/, differs: /(?:HIGH|LOW|DIFFERS)$/, inconclusive: /proves nothing$/ };
    expect(rows).toHaveLength(verdicts.length);
    for (const [index, verdict] of verdicts.entries()) {
      expect(rows[index]).toMatch(words[verdict as keyof typeof words]);
    }
    for (const { faults } of answer.suspects.slice(0, 10)) expect(out).toContain(faults[0].part);
    if (answer.tried > 0) expect(out).toContain(`${answer.suspects.length} fit`);
  });

  test('a summary says how much was done', async () => {
    const { out } = await run(['validate', hood, oven]);
    const words = out.replace(/\s+/g, ' ');
    expect(words).toContain('46 parts, 47 nodes, all 32 states');
    expect(words).toContain('2 files, 2 valid');
  });
});

describe('the same call gives the same bytes', () => {
  test('and no others for another language, zone or time', async () => {
    for (const args of [
      ['check', noFan],
      ['expect', oven, '--format', 'json'],
    ]) {
      const here = await run(args);
      const there = await run(args, {
        env: { LANG: 'de_DE.UTF-8', LC_ALL: 'ar_EG.UTF-8', TZ: 'Asia/Kolkata' },
      });
      expect(there).toEqual(here);
    }
  });

  test('lines end in one LF, the last one too, and none in blanks', async () => {
    for (const [, args, outside] of calls) {
      const { out } = await answer('table', args, outside);
      expect(out).not.toMatch(/\r|[ \t]+\n|\n\n\n/);
      if (out !== '') expect(out).toMatch(/[^\n]\n$/);
    }
  });
});

/** Of what is slow one of each command; that a `check` or `next` says the same again is in golden.test.ts for each. */
const again = told.filter(
  ({ name, args: [command] }, index) =>
    !/unknown|misspelt/.test(name) &&
    (!isSlow([command!]) || told.findIndex(({ args }) => args[0] === command) === index),
);

describe('--output', () => {
  test.each(again)('$name: the same bytes when run again, in a file', async ({ args, outside }) => {
    for (const format of isSlow(args) ? (['json'] as const) : (['table', 'json'] as const)) {
      const plain = await answer(format, args, outside);
      const filed = await run([...args, '--format', format, '--output', 'answer'], outside);
      expect([filed.status, filed.out]).toEqual([plain.status, '']);
      expect(filed.written.get('answer')).toBe(plain.out);
    }
  });

  test('- is standard output', async () => {
    expect(await run(['pins', hood, '--output', '-'])).toEqual(await run(['pins', hood]));
  });

  test('no colours go into a file because the terminal has them', async () => {
    const { written } = await run(['check', noFan, '--output', 'a.txt'], {
      terminal: { out: true, err: true },
    });
    expect(written.get('a.txt')).toBe((await run(['check', noFan])).out);
  });

  test('nothing is written where nothing was answered', async () => {
    for (const args of [
      ['check', 'nowhere.yaml'],
      ['expect', hood, '--fault', 'x:y'],
      ['expect', hood, '--state', 'x'],
    ]) {
      expect((await run([...args, '--output', 'answer'])).written.size).toBe(0);
    }
  });

  test.each([
    ['the circuit of validate', ['validate', hood], hood],
    ['the circuit of expect', ['expect', hood], hood],
    ['the readings', ['check', noFan], noFan],
    ['the circuit that the readings name', ['check', noFan], hood],
    [
      'the circuit, by another way to it',
      ['pins', hood],
      'examples/wall-oven/../range-hood/range-hood.circuit.yaml',
    ],
  ])('never goes over an input: %s', async (_, args, output) => {
    const { status, err, written } = await run([...args, '--output', output]);
    expect([status, written.size]).toEqual([2, 0]);
    expect(err).toContain(output);
  });
});

test('readings are told in the order of the file and numbered from 1', async () => {
  for (const path of [allGood, lampOut]) {
    const answer = jsonOf(await json(['check', path, '--circuit', hood]));
    expect(answer.readings.map((reading: Answer) => reading.index)).toEqual(
      answer.readings.map((_: Answer, index: number) => index + 1),
    );
  }
});

test('the order of parts in the file changes no verdict and no voltage', async () => {
  const wires = /^wires:\n(?: {2}.*\n)*/m.exec(hoodText)?.[0] ?? '';
  const turned = `wires:\n${wires.split('\n').slice(1, -1).reverse().join('\n')}\n`;
  const files = { 'a.yaml': hoodText, 'b.yaml': hoodText.replace(wires, turned), 'r.yaml': noFanText };
  const voltages = async (name: string) => {
    const { points } = jsonOf(await json(['expect', name, '--state', 'speed-1'], { files }));
    const rounded = points.map((point: Answer) => [
      point.node,
      point.expected.kind,
      point.expected.nominal?.toFixed(6),
    ]);
    return new Map(rounded.sort());
  };
  expect(await voltages('b.yaml')).toEqual(await voltages('a.yaml'));
  const verdict = async (name: string) =>
    jsonOf(await json(['check', 'r.yaml', '--circuit', name], { files })).suspects;
  expect(await verdict('b.yaml')).toEqual(await verdict('a.yaml'));
});
