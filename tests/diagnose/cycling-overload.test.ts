/** A connection so bad that a motor can't start, behind an overload that opens and closes again. */
import { expect, test } from 'vitest';
import { checkJob, proposeNext } from '../../src/diagnose/diagnose.js';
import { exampleCircuits } from '../bench/example-circuits.js';
import { jobFrom } from '../meter/open.js';

/** What the refrigerator shows with this wire at 12.87 ohm, parts and supply off nominal and the meter not exact. */
const hums = `supply: { MAINS: 118.5 V }
symptoms:
  - { in: cooling, load: COMP, works: no }
  - { in: defrost, load: HTR, works: yes }
  - { in: door-open, load: COMP, works: no }
  - { in: door-open, load: LAMP, works: yes }
readings:
  - { in: { power: off }, red: DT.3, black: DT.2, reads: 38.2 ohm }
  - { in: { power: off }, red: SD.1, black: SD.2, reads: 3.7 ohm }
  - { in: { power: off }, red: CC.2, black: DT.3, reads: 12.5 ohm }
`;

test('values with which an overload comes and goes are not given up', async () => {
  const [[, refrigerator] = []] = exampleCircuits('refrigerator');
  const { job, told } = await jobFrom(refrigerator!, hums);
  expect(told).toEqual([]);
  const { suspects, verdict } = checkJob(refrigerator!, job);
  expect([verdict, suspects.map(({ faults: [fault] }) => fault?.part)]).toEqual(['bounded', ['CC.2-DT.3']]);
  const { low, high } = suspects[0]!.faults[0]!.value!;
  expect([low < 12.87, high > 12.87, high < 14]).toEqual([true, true, true]);
});

/** The washer with its start capacitor open, as it was hunted for: hums until the overload opens. */
const stands = `supply: { MAINS: 119.6 V }
symptoms:
  - { in: { TIMER: 1 }, load: TM, works: yes }
  - { in: { TIMER: 1, level: 220 }, load: MOTOR, works: no }
  - { in: { TIMER: 2, level: 220 }, load: MOTOR, works: no }
  - { in: { TIMER: 9 }, load: MOTOR, works: no }
  - { in: { TIMER: 9 }, load: PUMP, works: yes }
readings:
  - { in: { TIMER: 1, level: 220, power: off }, red: MAINS.N, black: MAINS.L, reads: 2.3 ohm }
  - { in: { TIMER: 1, level: 220, power: off }, red: START.1, black: MAINS.L, reads: 9.4 ohm }
  - { in: { TIMER: 1, level: 220, power: off }, red: CENT.2, black: MAINS.L, reads: 0.2 ohm }
`;

test('what is to be read with the overload closed and with it open are both told', async () => {
  const [[, washer] = []] = exampleCircuits('washer');
  const { job, told } = await jobFrom(washer!, stands);
  expect(told).toEqual([]);
  const { proposals } = proposeNext(washer!, job, checkJob(washer!, job), { most: 12 });
  const live = proposals.filter((each) => each.live);
  const shown = live.flatMap(({ shows }) =>
    shows.flatMap(({ suspect, shows: each }) => (suspect.faults[0]!.part === 'SC' ? [each] : [])),
  );
  expect(shown.some(([closed, open]) => closed !== undefined && open !== undefined)).toBe(true);
});
