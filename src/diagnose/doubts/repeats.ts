import { stateKey } from '../../circuit/circuit.js';
import { displayError, type Job, type Reading } from '../../meter/meter.js';

/** Readings of one place in one state, with one function and input, that can't all be of one steady circuit. */
export interface Disagreement {
  /** In file order. */
  readonly readings: readonly Reading[];
}

/** Repeats that differ by more than the meter's own error both ways, or of which one is beyond range and one is not. */
export function disagreements(job: Job): readonly Disagreement[] {
  const places = new Map<string, Reading[]>();
  for (const reading of job.readings) {
    if (reading.shown.kind === 'blank') continue;
    const key = placeOf(reading);
    places.set(key, [...(places.get(key) ?? []), reading]);
  }
  return [...places.values()].filter(differ).map((readings) => ({ readings }));
}

function placeOf({ state, where, shown, meter }: Reading): string {
  const leads =
    where.kind === 'around' ? `${where.branch}` : [where.red, where.black].sort((a, b) => a - b).join(' ');
  const current = shown.kind === 'value' ? (shown.current ?? '') : '';
  return [stateKey(state), leads, shown.kind === 'blank' ? '' : shown.unit, current, meter.input].join('|');
}

function differ(readings: readonly Reading[]): boolean {
  const values = readings.flatMap(({ shown }) => (shown.kind === 'value' ? Math.abs(shown.value) : []));
  if (values.length === 0) return false;
  if (values.length < readings.length) return true;
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return readings.some(
    ({ meter }) => high - low > displayError(meter.accuracy, low) + displayError(meter.accuracy, high),
  );
}
