import { describe, expect, test } from 'vitest';
import { hood, oven } from './example-files.js';
import { type Answer, jsonOf, run } from './run.js';

const washer = 'examples/washer/washer.circuit.yaml';
const all = ['--all-states', '--format', 'json'] as const;

describe('every state of a circuit', () => {
  test('is every combination of positions and of the values beside a threshold, each once', async () => {
    const { sweep, complete } = jsonOf(await run(['expect', oven, ...all]));
    // Three positions, three temperatures, a door open or shut.
    expect([sweep.length, complete]).toEqual([18, true]);
    expect(new Set(sweep.map((each: Answer) => JSON.stringify(each.in))).size).toBe(18);
  });

  test('says the same of a state as asking for it alone', async () => {
    const { sweep } = jsonOf(await run(['expect', oven, ...all]));
    const bake = sweep.find((each: Answer) => JSON.stringify(each.in) === '{"SEL":"bake"}');
    const alone = jsonOf(await run(['expect', oven, '--state', 'bake', '--format', 'json']));
    expect(bake.points).toEqual(alone.points);
    expect(bake.loads).toEqual(alone.loads);
  });

  test('has one position for those in which every contact stands alike, and says so', async () => {
    const { alike } = jsonOf(await run(['expect', washer, ...all]));
    expect(alike.TIMER).toContainEqual(['1', '3', '6']);
    const { out } = await run(['expect', washer, '--all-states']);
    expect(out).toContain('TIMER = 1 stands for 1, 3, 6.');
  });

  test('has what is lifted and unplugged in each of them', async () => {
    const args = ['expect', oven, ...all, '--disconnect', 'BAKE.1', '--unplug', 'TB'];
    const { sweep } = jsonOf(await run(args));
    for (const each of sweep) {
      expect(each.in).toMatchObject({ disconnected: ['BAKE.1'], unplugged: ['TB'] });
      expect(each.loads.every((load: Answer) => load.works === false)).toBe(true);
    }
  });

  test('is cut short where there are too many, and says so', async () => {
    const switches = Array.from(
      { length: 13 },
      (_, k) => `  S${k}: { positions: [off, on], between: [M.L, S${k}.2], closed-in: [on] }\n`,
    );
    const loads = Array.from(
      { length: 13 },
      (_, k) => `  L${k}: { kind: lamp, between: [S${k}.2, M.N], resistance: ${k + 100} ohm }\n`,
    );
    const text = `loadside: circuit/1\nsupplies:\n  M: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: M.L, neutral: M.N } }\nswitches:\n${switches.join('')}loads:\n${loads.join('')}`;
    const { out } = await run(['expect', 'c.yaml', '--all-states'], { files: { 'c.yaml': text } });
    expect(out.replace(/\s+/g, ' ')).toContain('The first 4096 states: there are more.');
  });

  test('is not one state', async () => {
    const ran = await run(['expect', hood, '--all-states', '--state', 'speed-1']);
    expect([ran.status, ran.out]).toEqual([2, '']);
    expect(ran.err).toContain('--all-states');
  });

  test('keeps within the width it is given', async () => {
    const { out } = await run(['expect', hood, '--all-states']);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });
});

describe('how far a sweep is', () => {
  const slow = () => {
    let now = 0;
    return () => {
      now += 400;
      return now;
    };
  };

  test('is told at a terminal once it takes long, and wiped away', async () => {
    const { err, out } = await run(['expect', oven, '--all-states'], {
      terminal: { err: true },
      now: slow(),
    });
    expect(err).toMatch(/\r\d+ of 18 states \(\d+ %\)/);
    expect(err.endsWith('\r\u001b[K')).toBe(true);
    expect(out).not.toContain('states (');
  });

  test.each([
    ['no terminal', {}, []],
    ['a build', { terminal: { err: true }, env: { CI: 'true' } }, []],
    ['a dumb terminal', { terminal: { err: true }, env: { TERM: 'dumb' } }, []],
    ['--quiet', { terminal: { err: true } }, ['--quiet']],
  ])('is not told with %s', async (_, outside, more) => {
    const { err } = await run(['expect', oven, '--all-states', ...more], { ...outside, now: slow() });
    expect(err).toBe('');
  });
});

describe('a fault of a value', () => {
  test.each([
    ['SEL.bake:high-resistance=0.5 ohm', 0],
    ['MAINS:low-voltage=96 V', 0],
    ['BAKE:low-resistance=12 ohm', 0],
  ])('%s is planted', async (fault, status) => {
    const ran = await run(['expect', oven, '--state', 'bake', '--fault', fault, '--format', 'json']);
    expect([ran.status, ran.err]).toEqual([status, '']);
    const [told] = jsonOf(ran).faults;
    expect(told.value.low).toBe(told.value.high);
  });

  test.each([
    ['BAKE:low-resistance=120 ohm', 'below 23'],
    ['BAKE:high-resistance=-3 ohm', 'above 23'],
    ['BAKE:high-resistance', 'a value in ohm'],
    ['MAINS:low-voltage=500 V', 'below 120 V'],
    ['MAINS:low-voltage=96 ohm', 'a value in V'],
  ])('%s is refused with what it takes', async (fault, says) => {
    const ran = await run(['expect', oven, '--fault', fault]);
    expect([ran.status, ran.out]).toEqual([2, '']);
    expect(ran.err).toContain(says);
  });
});

test('a pin that several timer positions reach belongs to all of them', async () => {
  const text = `loadside: circuit/1
supplies:
  M: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: M.L, neutral: M.N } }
switches:
  T: { positions: [off, 1-12], rest: off, between: [M.L, C.1], closed-in: [2-4, 9] }
modules:
  C: { supply: { between: [M.L, M.N] }, inputs: { go: { between: [C.1, M.N], impedance: 100 kohm } }, outputs: { run: { when: [go], job: runs } } }
`;
  const { pins } = jsonOf(await run(['pins', 'c.yaml', '--format', 'json'], { files: { 'c.yaml': text } }));
  expect(pins[0].requires).toEqual({ T: ['2', '3', '4', '9'] });
});

test('what went before can be told on the command line and in CSV', async () => {
  const dryer = 'examples/dryer/dryer.circuit.yaml';
  const option = ['--state', 'TIMER=2', '--state', 'after=start-pressed'];
  const { loads } = jsonOf(await run(['expect', dryer, ...option, '--format', 'json']));
  expect(loads.find((load: Answer) => load.load === 'MOTOR').works).toBe(true);
  const csv = 'in,red,black,on,reads,input,note\nTIMER=2;after=start-pressed,CENT.R,MOTOR.N,,120 V,,\n';
  const ran = await run(['check', 'r.csv', '--circuit', dryer], { files: { 'r.csv': csv } });
  expect(ran.err).toBe('');
});
