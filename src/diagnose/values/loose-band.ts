import { displayError, probeOf, type Reading, type TestStand } from '../../meter/meter.js';
import type { Interval, Intervals } from '../../solve/solve.js';
import { type ReadCurve, shownBy } from './reading-curve.js';

/** The sound circuit's band of a reading, worked out once for all faults: how wide, and around what. */
export type Widths = Map<Reading, Width>;

export interface Width {
  readonly width: number;
  readonly nominal: number;
}

export function widthOf(stand: TestStand, reading: Reading, widths: Widths): Width {
  const known = widths.get(reading);
  if (known !== undefined) return known;
  const sound = stand.expect(reading.state, probeOf(reading), []);
  const driven = sound.kind === 'driven' ? sound : { low: 0, nominal: 0, high: 0 };
  const found = { width: driven.high - driven.low, nominal: Math.abs(driven.nominal) };
  widths.set(reading, found);
  return found;
}

/** Nominal values beyond which no tolerance could give what was shown: wide, to be narrowed where it matters. */
export function looseBand(
  stand: TestStand,
  reading: Reading,
  read: ReadCurve,
  over: Intervals,
  { width, nominal }: Width,
): Interval {
  const { shown, meter } = reading;
  const value = shown.kind === 'value' ? (read.signed ? shown.value : Math.abs(shown.value)) : 0;
  const { widestTolerance, steps } = stand.plan('running');
  const share = stand.supplies.spread + (steps ? 4 : 2) * widestTolerance;
  const error = displayError(meter.accuracy, value);
  if (shown.kind !== 'value' || shown.unit !== 'V') {
    const least = Math.max(0.05, 1 - share);
    return { low: (value - error) / (1 + share), high: (value + error) / least };
  }
  const ends = over.flatMap(({ low, high }) => [low, high].map((x) => Math.abs(shownBy(read, x))));
  // A place that is dead in the sound circuit says nothing of how far tolerances move it when it is not.
  const usual = nominal < leastTelling ? share : Math.min(share, width / nominal);
  const most = looseness * (width + usual * Math.max(Math.abs(value), ...ends)) + error;
  return { low: value - most, high: value + most };
}

/** A fault may widen a band beyond the sound one's, and beyond its share of the volts; by more than this it never was. */
const looseness = 2;

/** Volts above which the width of a sound band is mostly tolerances, and not the meter's last digits. */
const leastTelling = 5;
