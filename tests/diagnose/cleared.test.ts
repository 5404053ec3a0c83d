import { describe, expect, test } from 'vitest';
import { faultName, stateKey } from '../../src/circuit/circuit.js';
import { type Clearance, clearanceOf } from '../../src/diagnose/clearing/cleared.js';
import { observationsOf } from '../../src/diagnose/clearing/observation.js';
import { suppositionsOn } from '../../src/diagnose/clearing/suppositions.js';
import { checkJob } from '../../src/diagnose/diagnose.js';
import { statesOf } from '../../src/diagnose/states.js';
import { holdReading, holdSymptom } from '../../src/diagnose/suspects/evidence.js';
import { measuredSupplies, TestStand } from '../../src/meter/meter.js';
import { jobFrom } from '../meter/open.js';
import { lampAndHeater as circuit } from './lamp-and-heater.js';

async function jobOf(body: string) {
  const { job, told } = await jobFrom(circuit, body);
  expect(told).toEqual([]);
  return job;
}

/** What one part is cleared of by a job, everything being held against it. */
async function clear(name: string, body: string): Promise<Clearance> {
  const job = await jobOf(`supply: { MAINS: 120 V }\n${body}`);
  const stand = new TestStand(circuit, measuredSupplies(circuit, job));
  const observations = observationsOf(
    job.readings.map((reading) => holdReading(stand, reading, [])),
    job.symptoms.map((symptom) => holdSymptom(stand, symptom, [])),
  );
  const states = statesOf(circuit, job);
  const ground = { stand, observations, states, widths: new Map(), suppose: suppositionsOn(stand, states) };
  return clearanceOf(ground, circuit.parts.get(name)!);
}

const left = async (name: string, body: string) => (await clear(name, body)).left.map(faultName);
const check = async (body: string) => checkJob(circuit, await jobOf(`supply: { MAINS: 120 V }\n${body}`));
const by = ({ by: all }: Clearance) => all.map(({ witness }) => `${witness.kind} ${witness.index}`);

describe('a part is cleared when each of its faults contradicts something', () => {
  const lit = 'readings:\n  - { in: a, red: A.1, black: A.2, reads: 119.8 V }\n';

  test('one fault that nothing contradicts is left, and the part is not cleared', async () => {
    expect(await left('S1', lit)).toEqual(['S1:stuck-closed', 'S1:high-resistance']);
    const off = `${lit}  - { in: {}, red: A.1, black: A.2, reads: 0.0 V }\n`;
    expect(await left('S1', off)).toEqual(['S1:high-resistance']);
  });

  test('each reading is named that it took, the good before the bad', async () => {
    const cut = `readings:
  - { in: a, red: A.1, black: A.2, reads: 0.1 V }
  - { in: a, red: A.1, black: MAINS.N, reads: 119.9 V }
`;
    const clearance = await clear('F1', cut);
    expect(clearance.left).toEqual([]);
    // Open, it would take line away from A.1; a little burnt, it would not take it from the lamp.
    expect(by(clearance)).toEqual(['reading 2', 'reading 1']);
    expect(clearance.by.map(({ faults }) => faults.map(faultName))).toEqual([['F1:open'], []]);
  });

  test('a value between two that were tried is not passed over', async () => {
    // 24 ohm in front of the heater of 24 ohm: half the voltage. At 10 ohm it reads 85 V, at 100 ohm 23 V.
    const half = 'readings:\n  - { in: b, red: B.1, black: B.2, reads: 60.0 V }\n';
    expect(await left('W4', half)).toEqual(['W4:high-resistance']);
    const third = half.replace('60.0', '40.0').replace('in: b', 'in: a');
    expect(await left('W4', third)).toEqual([]);
  });

  test('the states it has been in are told apart by what went before them', async () => {
    const body = 'symptoms:\n  - { in: { after: [a, { S1: on, S2: on }], S2: on }, load: B, works: yes }\n';
    const states = statesOf(circuit, await jobOf(body));
    const keys = states.map((state) => [stateKey(state), state.before.length]);
    expect(keys).toEqual([
      ['{"S1":"on"}', 0],
      ['{"S1":"on","S2":"on","after":[{"S1":"on"}]}', 1],
      ['{"S2":"on","after":[{"S1":"on"},{"S1":"on","S2":"on"}]}', 2],
      ['{}', 0],
      ['{"S2":"on"}', 0],
    ]);
  });

  test('before it blew the fuse, a shorted load left a good reading as it is', async () => {
    // In b it blows F1. What was read at rest may have been read before that.
    const before = 'readings:\n  - { in: {}, red: F1.2, black: MAINS.N, reads: 119.9 V }\n';
    expect(await left('B', before)).toContain('B:shorted');
    const during = 'readings:\n  - { in: b, red: F1.2, black: MAINS.N, reads: 119.9 V }\n';
    expect(await left('B', during)).not.toContain('B:shorted');
    // Nor does it clear it that F1 is dead: it may have blown.
    const after = 'readings:\n  - { in: {}, red: F1.2, black: MAINS.N, reads: 0.0 V }\n';
    expect(await left('B', after)).toContain('B:shorted');
  });
});

describe('next to the bracket', () => {
  test('parts on either side of it, on the neutral side', async () => {
    const { cleared, firstDiscrepancy } = await check(`readings:
  - { in: a, red: A.1, black: MAINS.N, reads: 119.9 V }
  - { in: a, red: A.2, black: MAINS.N, reads: 119.7 V }
  - { in: b, red: B.1, black: B.2, reads: 119.5 V }
`);
    expect(firstDiscrepancy).toMatchObject({ lastGood: 'SP', firstBad: 'A.2', between: ['W5'] });
    expect(cleared.map((each) => [each.part, by(each), each.left.map(faultName)])).toEqual([
      ['MAINS', ['reading 1', 'reading 2'], []],
      ['W7', ['reading 3', 'reading 2'], []],
    ]);
  });

  test('a suspect is never among them', async () => {
    const { cleared, suspects } = await check(
      'symptoms:\n  - { in: a, load: A, works: no }\n  - { in: b, load: B, works: yes }\n',
    );
    const parts = suspects.flatMap(({ faults }) => faults.map(({ part }) => part));
    expect(parts).toContain('S1');
    expect(cleared.map(({ part }) => part).filter((part) => parts.includes(part))).toEqual([]);
    expect(cleared.map(({ part }) => part)).toContain('F1');
  });

  test('nothing is told where a fault comes and goes', async () => {
    const { verdict, cleared } = await check(`readings:
  - { in: a, red: A.1, black: A.2, reads: 119.8 V }
  - { in: a, red: A.1, black: A.2, reads: 0.0 V }
`);
    // The same reading twice, and not the same: what comes and goes clears nothing.
    expect([verdict, cleared]).toEqual(['ambiguous', []]);
  });
});

describe('where all agrees', () => {
  const walk = `symptoms:
  - { in: a, load: A, works: yes }
  - { in: b, load: A, works: no }
readings:
  - { in: a, red: F1.2, black: MAINS.N, reads: 119.9 V }
`;

  test('a load is proven by a person who saw it work, or by its voltage across it while it should', async () => {
    const names = async (body: string) => (await check(body)).proven?.notProven.map(({ name }) => name);
    expect(await names(walk)).toEqual(['B']);
    expect(await names(`${walk}  - { in: b, red: B.2, black: B.1, reads: 119.4 V }\n`)).toEqual([]);
    // Not by a place that is not its own, nor by a voltage that is not there.
    expect(await names(`${walk}  - { in: b, red: B.1, black: SP, reads: 119.5 V }\n`)).toEqual(['B']);
    expect(await names(`${walk}  - { in: a, red: B.1, black: B.2, reads: 0.0 V }\n`)).toEqual(['B']);
  });

  test('places that no reading was taken at are left', async () => {
    const { proven } = await check(walk);
    expect(proven?.notRead.map(({ name }) => name).sort()).toEqual(
      ['MAINS.L', 'F1.1', 'S1.1', 'S1.2', 'S2.1', 'S2.2', 'A.1', 'A.2', 'B.1', 'B.2', 'SP'].sort(),
    );
  });

  test('a part is cleared, but not while one of its faults could be', async () => {
    const cleared = async (body: string) =>
      (await check(body)).proven?.cleared.map(({ part }) => part).sort();
    // Lit with S1 and dark without: its faults and the lamp's own would show. W1, W2 and W7 feed the heater too, and
    // 12 ohm there would stop it and not the lamp; in F1 and W0 the reading behind them would show that.
    expect(await cleared(walk)).toEqual(['A', 'F1', 'S1', 'W0', 'W3', 'W5']);
    expect(await cleared(walk.replace('  - { in: b, load: A, works: no }\n', ''))).not.toContain('S1');
  });

  test('nothing is told of it where something is amiss', async () => {
    expect((await check(walk.replace('A, works: yes', 'A, works: no'))).proven).toBeUndefined();
  });
});
