import type { TestStand } from '../../meter/meter.js';
import { explainedBy, type Group } from './evidence.js';
import type { Explain } from './explained.js';

/** A fault that comes and goes explains less than one that stays (judgement, no source). */
const atTimesShare = 0.5;

/**
 * A job held against faults that come and go: each observation must be what the circuit gives with them, or what the
 * sound one gives, and one at least must need them.
 */
export function explainerAtTimes(stand: TestStand, groups: readonly Group[]): Explain {
  const single = groups.flatMap((group) => [
    ...group.readings.map((reading): Group => ({ ...group, symptoms: [], readings: [reading] })),
    ...group.symptoms.map((symptom): Group => ({ ...group, symptoms: [symptom], readings: [] })),
  ]);
  const amiss = single.filter((each) => explainedBy(stand, [each], []) === undefined);
  return (faults) =>
    amiss.length > 0 && amiss.every((each) => explainedBy(stand, [each], faults) !== undefined)
      ? { share: atTimesShare }
      : undefined;
}
