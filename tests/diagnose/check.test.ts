import { describe, expect, test } from 'vitest';
import { faultName } from '../../src/circuit/circuit.js';
import { checkJob } from '../../src/diagnose/diagnose.js';
import { circuitOf, mains } from '../circuit/open.js';
import { jobFrom } from '../meter/open.js';
import { lampAndHeater as circuit } from './lamp-and-heater.js';

const check = async (body: string) => {
  const { job, told } = await jobFrom(circuit, body);
  expect(told).toEqual([]);
  const answer = checkJob(circuit, job);
  return { ...answer, names: answer.suspects.map(({ faults }) => faults.map(faultName).join('+')).sort() };
};

describe('what is suspected', () => {
  test('nothing, when all agrees', async () => {
    const { verdict, suspects, firstDiscrepancy } = await check(
      'readings:\n  - { in: a, red: A.1, black: A.2, reads: 119.8 V }\n',
    );
    expect([verdict, suspects, firstDiscrepancy]).toEqual(['agrees', [], undefined]);
  });

  test('everything that silences one load and not the other', async () => {
    const { names, verdict } = await check(
      'symptoms:\n  - { in: a, load: A, works: no }\n  - { in: b, load: B, works: yes }\n',
    );
    expect(verdict).toBe('ambiguous');
    expect(names).toEqual(['A:dead', 'A:open', 'S1:stuck-open', 'W3:open', 'W5:open'].sort());
  });

  test('what both loads share, when both are silent: a shorted load among them, for it blows the fuse', async () => {
    const { names } = await check(
      'symptoms:\n  - { in: a, load: A, works: no }\n  - { in: b, load: B, works: no }\n',
    );
    // Whatever is on the line side, chafed through to the metal, blows it too.
    expect(names.filter((each) => each.endsWith(':leaks-to-earth'))).toHaveLength(7);
    expect(names.filter((each) => !each.endsWith(':leaks-to-earth'))).toEqual(
      [
        'A:shorted',
        'B:shorted',
        'F1:open',
        'MAINS.line:missing',
        'MAINS.neutral:missing',
        'W0:open',
        'W1:open',
        'W7:open',
      ].sort(),
    );
  });

  test('one side only: full voltage on both ends of a load is an open neutral', async () => {
    const body = `readings:
  - { in: a, red: A.1, black: MAINS.N, reads: 119.9 V }
  - { in: a, red: A.2, black: MAINS.N, reads: 119.7 V }
  - { in: b, red: B.1, black: B.2, reads: 119.5 V }
`;
    const { names, verdict, firstDiscrepancy } = await check(body);
    expect([verdict, names]).toEqual(['bounded', ['W5:open']]);
    expect(firstDiscrepancy).toMatchObject({
      index: 2,
      side: { live: false },
      lastGood: 'SP',
      firstBad: 'A.2',
      bounds: ['W5'],
    });
  });

  test('a contact that does not open, when a load works that should not', async () => {
    const { names } = await check(
      'symptoms:\n  - { in: {}, load: B, works: yes }\n  - { in: {}, load: A, works: no }\n',
    );
    expect(names).toEqual(['S2:stuck-closed']);
  });

  test('a load that has its voltage and does not do its job', async () => {
    const body = `readings:
  - { in: a, red: A.1, black: A.2, reads: 119.8 V }
symptoms:
  - { in: a, load: A, works: no }
`;
    const { names, verdict, firstDiscrepancy, hasAllItNeeds } = await check(body);
    expect([verdict, names]).toEqual(['bounded', ['A:dead', 'A:open']]);
    expect(firstDiscrepancy).toMatchObject({ kind: 'symptom', index: 1, bounds: ['A'] });
    expect(hasAllItNeeds?.needs.map((need) => need.reading?.index)).toEqual([1]);
  });

  test('what comes and goes, when the same reading was taken twice and differs', async () => {
    const body = `readings:
  - { in: a, red: A.1, black: A.2, reads: 119.8 V }
  - { in: a, red: A.1, black: A.2, reads: 0.0 V }
`;
    const { names, supposed, disagreements } = await check(body);
    expect(supposed).toBe('intermittent');
    expect(disagreements.map(({ readings }) => readings.map(({ index }) => index))).toEqual([[1, 2]]);
    expect(names).toEqual(
      [
        'F1:open',
        'MAINS.line:missing',
        'MAINS.neutral:missing',
        'S1:stuck-open',
        'W0:open',
        'W1:open',
        'W3:open',
        'W5:open',
        'W7:open',
      ].sort(),
    );
  });

  test('two faults at once, where no single one fits', async () => {
    const body =
      'symptoms:\n  - { in: a, load: A, works: no }\n  - { in: b, load: B, works: no }\nreadings:\n  - { in: a, red: A.1, black: A.2, reads: 119.8 V }\n  - { in: b, red: B.1, black: B.2, reads: 119.7 V }\n';
    const { supposed, verdict, suspects } = await check(body);
    expect([supposed, verdict]).toEqual(['pair', 'bounded']);
    const pairs = suspects.map(({ faults }) => faults.map(faultName).sort().join(' and '));
    expect(pairs.sort()).toEqual([
      'A:dead and B:dead',
      'A:dead and B:open',
      'A:open and B:dead',
      'A:open and B:open',
    ]);
  });

  test('which reading stands against all others, and what it would be right for', async () => {
    const body = `readings:
  - { in: a, red: A.1, black: MAINS.N, reads: 119.8 V }
  - { in: a, red: S1.2, black: MAINS.N, reads: 119.9 V }
  - { in: a, red: F1.2, black: MAINS.N, reads: 119.9 V }
  - { in: a, red: A.1, black: A.2, reads: 300 V }
`;
    const { verdict, doubts } = await check(body);
    expect(verdict).toBe('unexplained');
    expect(doubts[0]).toMatchObject({ observation: { kind: 'reading', reading: { index: 4 } }, leaves: [] });
  });

  test('a switch that was in another position than the one written down', async () => {
    const body = `readings:
  - { in: a, red: A.1, black: MAINS.N, reads: 0.0 V, input: low-impedance }
  - { in: a, red: B.1, black: MAINS.N, reads: 119.6 V }
  - { in: a, red: S2.2, black: MAINS.N, reads: 119.7 V }
`;
    const { movedSwitches } = await check(body);
    expect(movedSwitches).toHaveLength(1);
    expect(movedSwitches[0]!.likelier.map(({ changes }) => changes)).toContainEqual({ S2: 'on' });
  });

  test('a shorted load and the fuse it blew are cause and effect', async () => {
    const body =
      'readings:\n  - { in: {}, red: F1.2, black: MAINS.N, reads: 120 V }\n  - { in: b, red: F1.2, black: MAINS.N, reads: 0 V }\n';
    const { suspects } = await check(body);
    const shorted = suspects.find(({ faults }) => faults.map(faultName).join() === 'B:shorted');
    expect(shorted?.opened).toMatchObject({ part: 'F1', mode: 'open' });
  });
});

test('nothing conclusive: blanks, and a floating place that strays', async () => {
  const floating = circuitOf(`${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [on] }
wires:
  - { from: S.2, to: END, length: 2 m }
nodes: { END: {} }
`);
  const { job } = await jobFrom(
    floating,
    'readings:\n  - { in: {}, red: END, black: MAINS.N, reads: 48 V }\n  - { in: {}, red: END, black: MAINS.N }\n',
  );
  const answer = checkJob(floating, job);
  expect(answer.verdict).toBe('undecided');
  expect(answer.readings.map((each) => each.verdict)).toEqual(['inconclusive']);
  expect(answer.blank.map(({ reading }) => reading.index)).toEqual([2]);
});

test('the first discrepancy is the first in file order, whatever bounds it', async () => {
  const body = `readings:
  - { in: b, red: B.1, black: B.2, reads: 119.5 V }
  - { in: a, red: S1.2, black: MAINS.N, reads: 0.0 V }
  - { in: a, red: S1.1, black: S1.2, reads: 119.9 V }
`;
  const { firstDiscrepancy, verdict } = await check(body);
  expect(verdict).toBe('bounded');
  expect(firstDiscrepancy).toMatchObject({
    index: 2,
    lastGood: 'S1.1',
    firstBad: 'S1.2',
    bounds: ['S1'],
    side: { live: true },
  });
});

test('a house at 114 V is no fault, and a drop against it is', async () => {
  const good =
    'readings:\n  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 114.2 V }\n  - { in: b, red: B.1, black: B.2, reads: 113.6 V }\n';
  expect((await check(good)).verdict).toBe('agrees');
  const bad = good.replace('113.6', '121.0');
  expect((await check(bad)).verdict).toBe('unexplained');
});

test('no weight is ever the whole truth, and all together leave room', async () => {
  const { suspects } = await check('symptoms:\n  - { in: a, load: A, works: no }\n');
  const sum = suspects.reduce((total, each) => total + each.weight, 0);
  expect(sum).toBeGreaterThan(0.5);
  expect(sum).toBeLessThan(1);
  const weights = suspects.map((each) => each.weight);
  expect(weights).toEqual([...weights].sort((a, b) => b - a));
});

describe('a load that works too weakly', () => {
  const weak = 'supply: { MAINS: 120 V }\nreadings:\n  - { in: b, red: B.1, black: B.2, reads: 90.0 V }\n';

  test('may be called not working by a person who wants its heat', async () => {
    const modes = async (body: string) => (await check(body)).names.map((each) => each.split('=')[0]);
    const alone = await modes(weak);
    const told = await modes(`symptoms:\n  - { in: b, load: B, works: no }\n${weak}`);
    expect(told.length).toBeGreaterThan(0);
    expect(told).toEqual(alone);
    expect(told.every((each) => /:(?:high-resistance|low-voltage)$/.test(each ?? ''))).toBe(true);
  });

  test('works where it has nearly all its volts: told not to, it is bad itself', async () => {
    const nearly = weak.replace('90.0', '119.0');
    const said = (works: string) => `symptoms:\n  - { in: b, load: B, works: ${works} }\n`;
    expect((await check(said('no') + nearly)).names).toEqual(['B:dead', 'B:open']);
    expect((await check(said('yes') + nearly)).verdict).toBe('agrees');
  });

  test('is a lamp that is lit, all the same', async () => {
    const { supposed } = await check(
      'symptoms:\n  - { in: a, load: A, works: no }\nreadings:\n  - { in: a, red: A.1, black: A.2, reads: 90.0 V }\n',
    );
    expect(supposed).toBe('pair');
  });
});
