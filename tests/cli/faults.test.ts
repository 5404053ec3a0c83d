import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { hood, oven, textOf } from './example-files.js';
import { type Answer, jsonOf, run } from './run.js';
import { buzzer, hums } from './small-circuits.js';

const schema = new Ajv({ strict: true, allErrors: true, allowUnionTypes: true }).compile(
  JSON.parse(textOf('schemas/report.schema.json')),
);

test('an oven is told in 80 columns and as JSON, and both say the same', async () => {
  const table = await run(['faults', oven]);
  expect([table.status, table.err]).toEqual([0, '']);
  expect(table.out.split('\n').filter((line) => line.length > 80)).toEqual([]);
  expect(table.out).not.toMatch(/NaN|Infinity|undefined|\[object|null\b/);
  const ran = await run(['faults', oven, '--format', 'json']);
  expect((await run(['faults', oven, '--format', 'json'])).out).toBe(ran.out);
  const answer = jsonOf(ran);
  expect([ran.status, schema(answer), schema.errors]).toEqual([0, true, null]);
  const { tally, lookedIn, effects, groups, extraPoint } = answer;
  const words = table.out.replace(/\s+/g, ' ');
  expect(words).toContain(`${tally.detectable} of ${tally.faults} single faults`);
  expect(words).toContain(`${tally.isolable} (${Math.floor((100 * tally.isolable) / tally.faults)} %) can`);
  expect([answer.states, effects.length]).toEqual([lookedIn.length, tally.faults]);
  expect(table.out.match(/^\d+\. /gm) ?? []).toHaveLength(groups.length);
  if (extraPoint !== null) expect(words).toContain(`help most: ${extraPoint.node}.`);
  const hidden = effects.filter((each: Answer) => !each.detectable);
  for (const { fault } of hidden) expect(words).toMatch(new RegExp(`Show nowhere:.*${fault.part} `));
  const valued = effects.filter(({ fault }: Answer) => fault.value !== undefined);
  expect(valued.length).toBeGreaterThan(20);
  for (const { fault } of valued) expect(fault.value.low).toBe(fault.value.high);
});

const motor = { files: { 'h.yaml': hums } };

describe('thresholds', () => {
  // 18 of 22 show, and 8 of them can be told from every other part's.
  test.each([
    [['--min-detectable', '81'], 0, 'Met: 18 of 22'],
    [['--min-detectable', '82'], 1, 'which takes 19'],
    [['--min-isolable', '36.3'], 0, 'Met: 8 of 22'],
    [['--min-isolable', '36.4'], 1, 'which takes 9'],
    [['--min-detectable', '50', '--min-isolable', '100'], 1, 'which takes 22'],
    [['--min-detectable', '0'], 0, 'at least 0 % were asked for'],
  ])('%j: %i', async (options, status, told) => {
    const table = await run(['faults', 'h.yaml', ...options], motor);
    expect([table.status, table.err]).toEqual([status, '']);
    expect(table.out.replace(/\s+/g, ' ')).toContain(told);
    const ran = await run(['faults', 'h.yaml', ...options, '--format', 'json'], motor);
    expect([ran.status, jsonOf(ran).thresholds.every((each: Answer) => each.holds)]).toEqual([
      status,
      status === 0,
    ]);
  });

  test.each(['101', '-1', '90%', '9e1', 'NaN', '', '1,5', ' 5', '0x10'])(
    '%j is no percentage',
    async (percent) => {
      for (const option of ['--min-detectable', '--min-isolable']) {
        const { status, out, err } = await run(['faults', oven, `${option}=${percent}`]);
        expect([status, out]).toEqual([2, '']);
        expect(err).toContain('A number of percent from 0 to 100 is needed');
      }
    },
  );
});

describe('--state', () => {
  test('narrows it to the one state', async () => {
    const answer = jsonOf(await run(['faults', hood, '--state', 'lamp', '--format', 'json']));
    expect(answer.lookedIn).toEqual([{ in: { LS: 'on' } }]);
    const lamp = answer.effects.find(
      ({ fault }: Answer) => fault.part === 'LAMP' && fault.mode === 'shorted',
    );
    expect(lamp.outcomes).toEqual([{ state: 0, outcome: expect.any(String), protector: 'F1' }]);
    const button = answer.effects.find(
      ({ fault }: Answer) => fault.part === 'B1' && fault.mode === 'stuck-open',
    );
    expect(button).toMatchObject({ detectable: false, hidden: 'stands-so' });
  });

  test('with a name that leads nowhere is a call that can not be carried out', async () => {
    const { status, out, err } = await run(['faults', hood, '--state', 'lmap']);
    expect([status, out]).toEqual([2, '']);
    expect(err).toContain('lamp');
  });

  test('in which nothing holds still even in the sound circuit leaves nothing to say', async () => {
    const ran = await run(['faults', 'b.yaml', '--min-detectable', '0'], { files: { 'b.yaml': buzzer } });
    expect(ran.status).toBe(3);
    expect(ran.out.replace(/\s+/g, ' ')).toContain(
      'nothing holds still to be read even in the sound circuit',
    );
  });
});

test('a protector that opens, and what has no test point to be read at, are told', async () => {
  const unreachable = `${hums}nodes: { S.N: { reachable: false }, S.L: { reachable: false }, OL.2: { reachable: false }, W.1: { reachable: false } }\n`;
  const { status, out } = await run(['faults', 'h.yaml'], { files: { 'h.yaml': unreachable } });
  expect(status).toBe(0);
  expect(out).toContain('OL opens');
  expect(out.replace(/\s+/g, ' ')).toContain('volts at 0 test points, and');
});

test('progress is told where a person waits, and only there', async () => {
  let time = 0;
  const now = () => {
    time += 100;
    return time;
  };
  const ran = await run(['faults', 'h.yaml'], { ...motor, now, terminal: { out: true, err: true } });
  expect(ran.err).toMatch(/ of 22 faults \(\d+ %\)/);
  expect((await run(['faults', 'h.yaml', '--quiet'], { ...motor, now, terminal: { err: true } })).err).toBe(
    '',
  );
});
