import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { hood, lampOut, textOf } from '../example-files.js';
import { deepFiles, type HostileFile, unreadableFiles } from '../hostile-files.js';
import { type Answer, jsonOf, type Outside, type Ran, run } from '../run.js';
import { rail, railJob, shown } from './small-batch.js';

const linesIn = ({ out }: Ran): Answer[] =>
  out
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line));
const batch = (args: readonly string[], outside: Outside = {}) =>
  run(['batch', ...args], { ...outside, files: { ...shown, ...outside.files } });
const stream = (...jobs: readonly string[]) =>
  batch(['-'], { stdin: jobs.map((job) => `${job}\n`).join('') });
const cold = shown['cold-rail.readings.yaml'] ?? '';
const good =
  'loadside: readings/1\ncircuit: towel-rail.circuit.yaml\nreadings:\n  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 231 V }\n';

describe('answers', () => {
  test('are those of check, each with its job before it, in the order given', async () => {
    const ran = await batch(['cold-rail.readings.yaml', lampOut, 'good.readings.yaml', '-c', hood], {
      files: { 'good.readings.yaml': good },
    });
    const paths = ['cold-rail.readings.yaml', lampOut, 'good.readings.yaml'];
    expect(linesIn(ran).map(({ job }) => job)).toEqual(paths.map((path) => ({ path })));
    const [, answer] = linesIn(ran);
    const { job: _job, ...own } = answer;
    expect(own).toEqual(jsonOf(await run(['check', lampOut, '-c', hood, '-f', 'json'])));
  });

  test('fit their schema, whatever came of the job', async () => {
    const validate = new Ajv({ strict: true, allowUnionTypes: true }).compile(
      JSON.parse(textOf('schemas/report.schema.json')),
    );
    const ran = await stream(railJob('a', 231), '{', railJob(7, 12), '{"id":"x","readings":"nowhere.yaml"}');
    for (const answer of linesIn(ran)) {
      validate(answer);
      expect([answer.job, validate.errors]).toEqual([answer.job, null]);
    }
    expect(linesIn(ran).map(({ job, verdict }) => [job, verdict])).toEqual([
      [{ line: 1, id: 'a' }, 'agrees'],
      [{ line: 2 }, 'unusable'],
      [{ line: 3, id: 7 }, 'bounded'],
      [{ line: 4, id: 'x' }, 'unusable'],
    ]);
    expect(ran.err).toMatch(/\n4 jobs: 1 agrees, 1 bounded, 2 unusable\.\n$/);
  });

  test('are one line each, with nothing in them that acts on a terminal', async () => {
    const note = 'a\u009b2J\u2028\u202e';
    const job = JSON.parse(railJob(`x${note}`, 231));
    const { out } = await stream(
      JSON.stringify(job).replace(
        /[\u007f-\uffff]/g,
        (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`,
      ),
    );
    expect(out).toMatch(/^[\x20-\x7e]+\n$/);
    expect(JSON.parse(out).job.id).toBe(`x${note}`);
  });

  test('are the same of readings and circuits as data, as text and by path', async () => {
    const inText = { readings: cold, circuit: shown[rail] };
    const jobs = [
      { readings: 'cold-rail.readings.yaml' },
      { readings: cold },
      inText,
      { readings: 'cold-rail.readings.yaml', circuit: rail },
    ].map((job) => JSON.stringify(job));
    const answers = linesIn(await stream(...jobs)).map(({ job: _job, inputs: _inputs, ...rest }) => rest);
    expect(answers[0]?.verdict).toBe('bounded');
    for (const answer of answers) expect(answer).toEqual(answers[0]);
  });
});

describe('a bad job', () => {
  const at = (answer: Answer) =>
    answer.problems.map((each: Answer) => `${each.file}:${each.line}:${each.column} ${each.code}`);
  const data = (readings: object) =>
    JSON.stringify({ circuit: rail, readings: { loadside: 'readings/1', ...readings } });

  test.each([
    ['no JSON', '{id: 1}', 'standard input:2:2 json-syntax'],
    ['JSON that ends', '{"id":', 'standard input:2:7 json-syntax'],
    ['a list', '[1]', 'standard input:2:1 value-kind'],
    ['an unknown key', '{"redings":{}}', 'standard input:2:2 key-unknown'],
    ['no readings', '{"id":1}', 'standard input:2:2 key-missing'],
    ['a key twice', '{"readings":{"a":1,"a":2}}', 'standard input:2:20 yaml-duplicate-key'],
    ['not UTF-8', '\u0000', 'standard input:2:1 character-forbidden'],
    [
      'readings in data',
      data({ readings: [{ in: {}, red: 'TF.9', black: 'MAINS.N' }] }),
      'standard input:2:101 reference-unknown',
    ],
    [
      'readings as text',
      JSON.stringify({ circuit: rail, readings: 'loadside: readings/1\nreadngs: []\n' }),
      'readings of line 2:2:1 key-unknown',
    ],
    [
      'a named text',
      JSON.stringify({ circuit: rail, name: 'a.csv', readings: 'in,red\n,TF.1\n' }),
      'a.csv:1:1 key-missing',
    ],
    ['a file that is not there', '{"readings":"nowhere.yaml"}', 'nowhere.yaml:1:1 file-unusable'],
    ['a circuit that is not there', data({}).replace(rail, 'nowhere.yaml'), 'nowhere.yaml:1:1 file-unusable'],
    ['no circuit', '{"readings":{"loadside":"readings/1"}}', 'standard input:2:2 key-missing'],
    [
      'a bad circuit',
      JSON.stringify({ circuit: { loadside: 'circuit/1', lods: {} }, readings: 'cold-rail.readings.yaml' }),
      'standard input:2:36 key-unknown',
    ],
    ['standard input again', '{"readings":"-"}', '-:1:1 file-unusable'],
  ])('%s is told with its place, and the jobs beside it are answered as ever', async (_what, job, place) => {
    const ran = await stream(railJob(1, 231), job, railJob(3, 229));
    const [first, bad, third] = linesIn(ran);
    expect(at(bad)).toEqual([place]);
    expect([first.verdict, third.verdict, ran.status]).toEqual(['agrees', 'agrees', 2]);
    const [alone] = (await stream(railJob(1, 231))).out.split('\n');
    expect(ran.out.split('\n')[0]).toBe(alone);
    expect(ran.err.split('\n')[0]).toContain(place.split(' ')[0]);
  });

  test('ten hostile files, among good ones and in one circuit, change nothing else', async () => {
    const hostile: HostileFile[] = [...unreadableFiles.slice(0, 6), ...deepFiles.slice(-4)];
    const bad = Object.fromEntries(hostile.map(([, content], index) => [`h${index}.readings.yaml`, content]));
    const names = [...hostile.keys()].flatMap((index) => ['good.readings.yaml', `h${index}.readings.yaml`]);
    const alone = await batch(['good.readings.yaml'], { files: { 'good.readings.yaml': good } });
    const jobs = names.map((name) => JSON.stringify({ readings: name }));
    const ran = await batch(['-'], { stdin: jobs.join('\n'), files: { ...bad, 'good.readings.yaml': good } });
    const answers = linesIn(ran);
    expect(answers).toHaveLength(20);
    for (const [index, { job: _job, ...answer }] of answers.entries()) {
      const { job: _own, ...expected } = linesIn(alone)[0];
      if (index % 2 === 0) expect(answer).toEqual(expected);
      else expect([index, answer.verdict, answer.problems.length > 0]).toEqual([index, 'unusable', true]);
    }
    expect(ran.status).toBe(2);
  });
});

describe('the whole', () => {
  test('ends by the worst', async () => {
    const undecided = JSON.stringify({ circuit: rail, readings: { loadside: 'readings/1', readings: [] } });
    const cases: [string[], number][] = [
      [[railJob(1, 231)], 0],
      [[railJob(1, 231), undecided], 3],
      [[undecided, railJob(1, 12), railJob(1, 231)], 1],
      [['{', railJob(1, 12)], 2],
      [[], 2],
      [['', ' '], 2],
    ];
    for (const [jobs, status] of cases)
      expect([jobs.length, (await stream(...jobs)).status]).toEqual([jobs.length, status]);
    expect((await stream()).err).toBe('loadside: there is no job here.\n');
  });

  test('is the sum of its shards', async () => {
    const stdin = Array.from({ length: 7 }, (_, index) => `${railJob(index, 231)}\n`).join('');
    const all = (await batch(['-', '-q'], { stdin })).out.split('\n').slice(0, -1);
    const shards = await Promise.all(
      [1, 2, 3].map((index) => batch(['-', '--shard', `${index}/3`], { stdin })),
    );
    expect(shards.map(({ out }) => out.split('\n').length - 1)).toEqual([3, 2, 2]);
    const [one = [], two = [], three = []] = shards.map(({ out }) => out.split('\n'));
    expect([one[0], two[0], three[0], one[1], two[1], three[1], one[2]]).toEqual(all);
    const empty = await batch(['-', '--shard', '8/8'], { stdin });
    expect([empty.status, empty.out, empty.err]).toEqual([0, '', '0 jobs.\n']);
  });

  test('names each argument that leads nowhere, and answers the others', async () => {
    const ran = await batch(['nowhere.yaml', 'cold-rail.readings.yaml', 'no/*.readings.yaml']);
    expect(ran.status).toBe(2);
    expect(ran.err).toContain('loadside: nowhere.yaml: ');
    expect(ran.err).toContain('loadside: no/*.readings.yaml: ');
    expect(linesIn(ran)).toHaveLength(1);
  });

  test('goes into a file whole, and is quiet when asked', async () => {
    const ran = await batch(['cold-rail.readings.yaml', '-q', '-o', 'answers.ndjson']);
    expect([ran.status, ran.out, ran.err]).toEqual([1, '', '']);
    expect(ran.written.get('answers.ndjson')).toBe((await batch(['cold-rail.readings.yaml'])).out);
  });

  test.each(['0/3', '4/3', '1', 'a/b', '1/0'])('refuses the shard %s', async (shard) => {
    const { status, err, out } = await batch(['-', '--shard', shard]);
    expect([status, out]).toEqual([2, '']);
    expect(err).toContain('2/8');
  });

  test('refuses a circuit from standard input, and no workers', async () => {
    expect((await batch(['-', '-c', '-'])).status).toBe(2);
    expect((await batch(['-', '-j', '0'])).status).toBe(2);
  });
});

test('the page on it shows jobs that are answered', async () => {
  const [, jobs = ''] = /^```json\n([\s\S]*?)^```$/m.exec(textOf('docs/batch.md')) ?? [];
  const ran = await batch(['-'], { stdin: jobs });
  expect(linesIn(ran).map(({ job, verdict }) => [job.id, verdict])).toEqual([
    ['visit-1042', 'agrees'],
    ['visit-1043', 'bounded'],
    ['visit-1044', 'ambiguous'],
  ]);
  const schema = new Ajv({ allowUnionTypes: true }).compile(JSON.parse(textOf('schemas/job.schema.json')));
  for (const line of jobs.trim().split('\n')) expect(schema(JSON.parse(line))).toBe(true);
});
