import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { opened, sealed, sealingKey } from '../../src/cli/seal.js';
import { faultClasses } from '../../src/practice/draw.js';
import { textOf } from './example-files.js';
import { jsonOf, type Outside, type Ran, run } from './run.js';

const warmer = 'tests/cli/dish-warmer.circuit.yaml';
const exerciseName = 'warmer.exercise.yaml';
const exercise = textOf('tests/cli/dish-warmer.exercise.yaml');
const files = { [exerciseName]: exercise };

/** A practice command on the exercise, with what learners wrote so far. */
function practice(args: readonly string[], outside: Outside = {}): Promise<Ran> {
  return run(['practice', ...args], { ...outside, files: { ...files, ...outside.files } });
}

const across = ['--state', 'warming', '--red', 'HEAT.1', '--black', 'HEAT.2'] as const;
const recordName = 'kim.record.yaml';

/** A record after a reading and the answer. */
async function begun(): Promise<string> {
  const first = await practice(['measure', exerciseName, ...across, '--record', recordName]);
  const after = { files: { [recordName]: first.written.get(recordName) ?? '' } };
  const second = await practice(['answer', exerciseName, 'TF', '--record', recordName], after);
  return second.written.get(recordName) ?? '';
}

const subcommands = ['new', 'measure', 'try', 'swap', 'answer', 'grade'] as const;

describe('help', () => {
  test.each(subcommands)('of practice %s leads with two examples, in 80 columns', async (command) => {
    const { status, out, err } = await run(['practice', command, '--help']);
    expect([status, err]).toEqual([0, '']);
    expect(await run(['practice', 'help', command])).toMatchObject({ status: 0, out });
    const examples = out.split('\n').filter((line) => /^ {2}loadside practice [a-z]/.test(line));
    expect(examples.length).toBe(2);
    expect(out.split('\n').filter((line) => line.length > 80 && !/^ {2}loadside /.test(line))).toEqual([]);
  });

  test('of practice lists its commands', async () => {
    const { out } = await run(['practice', '--help']);
    for (const command of subcommands) expect(out).toMatch(new RegExp(`^ {2}${command} `, 'm'));
    expect(out.split('\n').filter((line) => line.length > 80 && !/^ {2}loadside /.test(line))).toEqual([]);
  });

  test('lists the classes there are', async () => {
    const { out } = await run(['practice', 'new', '--help']);
    expect(out.replace(/\s+/g, ' ')).toContain(`(${faultClasses.join(', ')})`);
  });
});

test('the same acts give the same record, and it replays to the same grade', async () => {
  const record = await begun();
  expect(await begun()).toBe(record);
  const grade = ['grade', exerciseName, '--record', recordName, '--format', 'json'];
  const first = await practice(grade, { files: { [recordName]: record } });
  expect(first.status).toBe(0);
  expect(await practice(grade, { files: { [recordName]: record } })).toEqual(first);
});

describe('a record that is not as it was written', () => {
  const damaged: readonly (readonly [
    what: string,
    change: (text: string) => string,
    line: RegExp,
    words: RegExp,
  ])[] = [
    [
      'a value changed',
      (text) => text.replace('reads: 0.1 V', 'reads: 0.2 V'),
      /:5:\d+: error/,
      /line 1 .* not as it was written/,
    ],
    ['a line taken out', (text) => text.replace(/^ {2}- .*measure.*\n/m, ''), /:5:\d+: error/, /line 1 /],
    ['a line twice', (text) => text.replace(/^( {2}- .*measure.*\n)/m, '$1$1'), /:6:\d+: error/, /line 2 /],
    [
      'of another exercise',
      (text) => text.replace(/exercise: .*/, `exercise: "${'0'.repeat(32)}"`),
      /:3:\d+: error/,
      /another exercise/,
    ],
    ['a key misspelt', (text) => text.replace('black:', 'blak:'), /:5:\d+: error/, /did you mean black/],
    ['no YAML', (text) => `${text}  - { act`, /:\d+:\d+: error/, /./],
  ];
  test.each(damaged)('%s', async (_, change, line, words) => {
    const record = change(await begun());
    for (const args of [
      ['measure', exerciseName, ...across, '--record', recordName],
      ['grade', exerciseName, '--record', recordName],
    ]) {
      const { status, out, err, written } = await practice(args, { files: { [recordName]: record } });
      expect([status, out, written.size]).toEqual([2, '', 0]);
      expect(err).toMatch(line);
      expect(err).toMatch(words);
    }
  });

  test('nothing is added behind an answer', async () => {
    const { status, err } = await practice(['measure', exerciseName, ...across, '--record', recordName], {
      files: { [recordName]: await begun() },
    });
    expect([status, err]).toEqual([2, expect.stringContaining('has its answer')]);
  });
});

describe('an exercise that was changed', () => {
  test.each([
    ['its complaint', (text: string) => text.replace('does not get hot', 'gets too hot')],
    ['its circuit', (text: string) => text.replace('power: 400 W', 'power: 500 W')],
    ['its symptoms', (text: string) => text.replace('load: HEAT, works: no', 'load: HEAT, works: yes')],
    ['what is sealed', (text: string) => text.replace(/bench: (.{20})./, 'bench: $1A')],
    ['whether it is locked', (text: string) => text.replace('passphrase: no', 'passphrase: yes')],
  ])('%s', async (_, change) => {
    const changed = change(exercise);
    expect(changed).not.toBe(exercise);
    const ran = await practice(['measure', exerciseName, ...across], { files: { [exerciseName]: changed } });
    expect([ran.status, ran.out]).toEqual([2, '']);
    expect(ran.err).toMatch(/:\d+:\d+: error: the seal does not fit/);
  });

  test("comments, line ends and notes of one's own are no change", async () => {
    const same = `# for Tuesday\n${exercise.replaceAll('\n', '\r\n')}x-class: evening\r\n`;
    const ran = await practice(['measure', exerciseName, ...across], { files: { [exerciseName]: same } });
    expect([ran.status, ran.err]).toEqual([0, '']);
  });
});

describe('the bench at a terminal', () => {
  test('asks until it has the answer, and tells slips without ending', async () => {
    const typed = [
      'sate warming',
      'state warming',
      'red HEAT.9',
      'red HEAT.1',
      'read',
      'black HEAT.2',
      'read',
      'undo',
      'answer TF',
      'read',
    ];
    const { status, out, err, written } = await practice(['try', exerciseName, '--record', recordName], {
      typed,
    });
    expect(status).toBe(0);
    expect(err).toContain('Did you mean state?');
    expect(err).toContain('HEAT.9 is no place of this circuit. Did you mean HEAT.1?');
    expect(err).toContain('nothing says where the black lead goes.\nblack NODE puts it there.');
    expect(out).toContain('0.1 V\nwarming, power on: red on HEAT.1, black on HEAT.2');
    expect(out.endsWith('Right: TF (thermal cut-out).\n')).toBe(true);
    expect(written.get(recordName)?.match(/^ {2}- /gm)?.length).toBe(2);
  });

  test('ends quietly with the input, and is wrong with a wrong answer', async () => {
    expect((await practice(['try', exerciseName], { typed: ['state warming'] })).status).toBe(0);
    expect((await practice(['try', exerciseName], { typed: ['answer HEAT'] })).status).toBe(1);
  });

  test('an unsafe request is refused, and the bench goes on', async () => {
    const typed = ['red TF.1', 'black TF.2', 'ohms', 'read', 'power off', 'read', 'quit'];
    const { err, out } = await practice(['try', exerciseName], { typed });
    expect(err).toContain('refused, as unsafe: ohms with the power on');
    expect(out).toContain('kohm');
  });
});

describe('in JSON', () => {
  const validate = new Ajv({ strict: true, allErrors: true, allowUnionTypes: true }).compile(
    JSON.parse(textOf('schemas/report.schema.json')),
  );

  test.each([
    ['measure', exerciseName, ...across],
    [
      'measure',
      exerciseName,
      '--state',
      'power=off',
      '--red',
      'TF.1',
      '--black',
      'TF.2',
      '--function',
      'ohm',
    ],
    ['measure', exerciseName, ...across, '--function', 'ohm'],
    ['swap', exerciseName, 'TF'],
    ['answer', exerciseName, 'HEAT:open'],
    ['try', exerciseName, '--do', 'red TF.1', '--do', 'black TF.2', '--do', 'read', '--do', 'answer TF'],
    ['grade', exerciseName, '--record', recordName],
    ['measure', 'none.yaml'],
  ])('practice %s: one document that fits its schema', async (...args) => {
    const outside = { files: { [recordName]: await begun(), 'none.yaml': 'loadside: x' } };
    const ran = await practice([...args, '--format', 'json'], outside);
    const told = jsonOf(ran);
    validate(told);
    expect((validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`)).toEqual(
      [],
    );
    expect(told.command).toBe(`practice ${args[0]}`);
  });

  test('an exercise that was written, without the fault in it', async () => {
    const args = ['new', warmer, '--fault', 'LAMP:open', '--output', 'e.yaml', '--format', 'json'];
    const ran = await practice(args);
    validate(jsonOf(ran));
    expect(validate.errors ?? []).toEqual([]);
    expect(ran.out).not.toMatch(/open"|LAMP/);
    expect(ran.written.get('e.yaml')).toContain('loadside: exercise/1');
  });
});

describe('a call that can not be carried out: exit 2, with what would be right', () => {
  test.each([
    [['new', warmer, '--seeds', '5..1', '--output', 'x'], /upwards/],
    [['new', warmer, '--class', 'opne'], /open, closed/],
    [['new', warmer, '--fault', 'TF:open', '--difficulty', 'easy'], /Leave --fault out/],
    [['measure', exerciseName, '--on', 'BLUE', '--red', 'TF.1'], /clamp and leads/],
    [['measure', exerciseName, '--on', 'BLUE', '--function', 'V'], /clamp reads amps/],
    [['measure', exerciseName, '--on', 'BLEU'], /Did you mean BLUE/],
    [['measure', exerciseName, '--red', 'TF.1', '--black', 'TF.1'], /nothing to read/],
    [['measure', '-', ...across], /files, not standard input/],
    [['answer', exerciseName, 'TF:opne'], /Did you mean open/],
    [['grade', exerciseName, '--format', 'csv', '--record', 'nowhere.yaml'], /no such file/],
    [['measure', exerciseName, ...across, '--format', 'csv'], /has no format csv/],
    [['try', exerciseName], /--do/],
  ])('%j', async (args, words) => {
    const { status, out, err, written } = await practice(args);
    expect([status, out, written.size]).toEqual([2, '', 0]);
    expect(err).toMatch(words);
  });
});

test('a seal opens with its own key only, and its length tells nothing', () => {
  const key = sealingKey('around', 'answer', 'three blue lamps');
  const text = JSON.stringify({ fault: 'TF:open', seed: 1 });
  expect(opened(key, sealed(key, text))).toBe(text);
  for (const other of [
    sealingKey('around', 'answer', 'three blue lamp'),
    sealingKey('around', 'answer'),
    sealingKey('around', 'bench', 'three blue lamps'),
    sealingKey('Around', 'answer', 'three blue lamps'),
  ])
    expect(opened(other, sealed(key, text))).toBeUndefined();
  expect(sealed(key, 'short').length).toBe(sealed(key, text).length);
  expect(opened(key, 'AAAA')).toBeUndefined();
});
