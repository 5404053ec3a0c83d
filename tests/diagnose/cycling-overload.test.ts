/** A connection so bad that a motor can't start, behind an overload that opens and closes again. */
import { expect, test } from 'vitest';
import { checkJob } from '../../src/diagnose/diagnose.js';
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
