import { describe, expect, test } from 'vitest';
import { complaint, hood, lampOut, readingsFiles } from './example-files.js';
import { type Answer, jsonOf, run } from './run.js';

const files = { 'r.yaml': complaint };
const ask = async (...more: string[]) =>
  run(['next', 'r.yaml', '--circuit', hood, '--format', 'json', ...more], { files });

describe('exit status', () => {
  test.each([
    ['a reading is proposed', complaint, 0],
    [
      'one part is left',
      `${complaint}readings:\n  - { in: speed-2, red: B2.1, black: B2.2, reads: 120 V }\n`,
      0,
    ],
    [
      'all agrees',
      'loadside: readings/1\nreadings:\n  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 120 V }\n',
      0,
    ],
    ['nothing was seen', 'loadside: readings/1\nreadings: []\n', 3],
  ])('%s', async (_, text, wanted) => {
    const { status, err } = await run(['next', 'r.yaml', '--circuit', hood], { files: { 'r.yaml': text } });
    expect([status, err]).toEqual([wanted, '']);
  });
});

describe('--skip', () => {
  test('is heeded, one after another, and there is always an alternative or none', async () => {
    const skipped: string[] = [];
    for (let turn = 0; turn < 4; turn += 1) {
      const { next, alternatives } = jsonOf(await ask(...skipped.flatMap((name) => ['--skip', name])));
      for (const each of [next, ...alternatives]) {
        expect(skipped).not.toContain(each.red);
        expect(skipped).not.toContain(each.black);
      }
      if (next.red !== undefined) skipped.push(next.red);
    }
    expect(skipped.length).toBeGreaterThan(1);
  });

  test('of a place that is none is a mistake in the call, with the nearest name', async () => {
    const { status, out, err } = await ask('--skip', 'CTL.22');
    expect([status, out]).toEqual([2, '']);
    expect(err).toContain('Did you mean CTL.2?');
  });
});

test('of everything that may be left out nothing is proposed', async () => {
  const { points } = jsonOf(await run(['expect', hood, '--format', 'json']));
  const all = [...points.map((point: Answer) => point.node), 'MAINS.N'].flatMap((name: string) => [
    '--skip',
    name,
  ]);
  const ran = await ask(...all);
  expect(ran.status).toBe(3);
  const { order, ...answer } = jsonOf(ran);
  expect(answer).toMatchObject({ next: null, alternatives: [], reason: 'alike' });
  // Shares are rounded, so that equals may differ in the last digit.
  const worth = order.map(({ share, minutes }: Answer) => Number((share / minutes).toPrecision(9)));
  expect(worth.length).toBeGreaterThan(3);
  expect(worth).toEqual([...worth].sort((a, b) => b - a));
});

describe('in JSON', () => {
  test('check proposes what next does', async () => {
    const some = readingsFiles.filter((path) =>
      /broil-wire|wont-drain|lamp-out|wall-oven.all-good/.test(path),
    );
    for (const path of some) {
      const circuit = path === lampOut ? ['--circuit', hood] : [];
      const [check, next] = await Promise.all(
        ['check', 'next'].map(async (name) =>
          jsonOf(await run([name, path, ...circuit, '--format', 'json'])),
        ),
      );
      expect([path, check!.next]).toEqual([path, next!.next]);
      expect(next!.next === null).toBe(next!.reason !== null);
    }
  });

  test('outcomes are apart from one another, likely in all, and each suspect reads within one', async () => {
    const { next } = jsonOf(await ask());
    const { outcomes, tells } = next as { outcomes: Answer[]; tells: Answer[] };
    // Beyond range stands without numbers.
    const beyond = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY] as const;
    const ends = ({ low, high }: Answer) => (typeof low === 'number' ? ([low, high] as const) : beyond);
    for (const [index, outcome] of outcomes.slice(1).entries())
      expect(ends(outcome)[0]).toBeGreaterThan(ends(outcomes[index])[1]);
    expect(outcomes.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
    for (const { left } of outcomes)
      expect(left.reduce((sum: number, { share }: Answer) => sum + share, 0)).toBeCloseTo(1, 9);
    for (const { shows } of tells)
      for (const [low, high] of shows.map(ends))
        expect(outcomes.map(ends).filter((each) => low >= each[0] && high <= each[1])).toHaveLength(1);
  });

  test('what it takes adds up', async () => {
    const { next, alternatives } = jsonOf(await ask());
    for (const { minutes, cost } of [next, ...alternatives]) {
      const items = cost.reduce((sum: number, each: Answer) => sum + each.minutes, 0);
      // Half a minute is for the reading itself.
      expect(minutes).toBeCloseTo(items + 0.5, 9);
    }
  });

  test('a live reading is told to be one, first of all', async () => {
    const { next, cautions } = jsonOf(await ask('--skip', 'MAINS.N'));
    expect(next.live).toBe(true);
    expect(cautions[0]).toMatch(/live parts/);
  });
});

describe('a complaint alone', () => {
  test('is sorted into what fails, what works and what that clears', async () => {
    const { triage } = jsonOf(
      await run(['check', 'r.yaml', '--circuit', hood, '--format', 'json'], { files }),
    );
    expect(triage).toEqual({
      fails: [{ load: 'FAN', in: [{ B2: 'in' }] }],
      works: [
        { load: 'FAN', in: [{ B1: 'in' }] },
        { load: 'LAMP', in: [{ LS: 'on' }] },
      ],
      // A neutral that touches metal shows in no load's working: it keeps the motor from being cleared.
      cleared: expect.arrayContaining(['F1']),
      start: { load: 'FAN', in: { B2: 'in' } },
    });
    // Stuck closed, the lamp switch would light the lamp all the same: nothing that works clears it.
    expect(triage.cleared).not.toContain('LS');
    // The buttons' feed serves speed 1 alone before button 1, and what is suspected is never cleared.
    for (const part of ['B2', 'CTL', 'CTL.6-J3h.3']) expect(triage.cleared).not.toContain(part);
  });

  test('and is no longer, once something was measured', async () => {
    const measured = `${complaint}readings:\n  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 120 V }\n`;
    const ran = await run(['check', 'r.yaml', '--circuit', hood, '--format', 'json'], {
      files: { 'r.yaml': measured },
    });
    expect(jsonOf(ran).triage).toBe(null);
  });
});
