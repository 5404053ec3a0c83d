import { compare, floatsIn, probeOf, type Reading, type TestStand } from '../../meter/meter.js';
import {
  type Interval,
  type Intervals,
  intersect,
  isDcBetween,
  type ValueCurve,
  type View,
  valueAt,
  whereAtLeast,
  whereAtMost,
  whereBetween,
} from '../../solve/solve.js';
import type { Look } from './regimes.js';

/** What a display shows as a fault's value goes. */
export interface ReadCurve {
  readonly curve: ValueCurve;
  readonly signed: boolean;
}

/** What a reading shows as the value goes; `any` where it proves nothing, or several frequencies are read as one. */
export function curveOf(
  stand: TestStand,
  reading: Reading,
  { view, curves }: Look,
): ReadCurve | 'any' | 'contradicts' {
  const { where, shown, meter } = reading;
  if (shown.kind === 'blank') return 'any';
  const probe = probeOf(reading);
  if (shown.kind === 'over-range' || floatsIn(view, probe))
    return compare(reading, stand.expectIn(view, probe)) === 'differs' ? 'contradicts' : 'any';
  if (where.kind === 'around') {
    const [only, second] = liveAt(view, ...view.ends(where.branch));
    if (only === undefined || second !== undefined) return 'any';
    return { curve: curves.amps(only, where.branch), signed: false };
  }
  const { red, black } = where;
  if (shown.unit === 'ohm') return { curve: curves.ohms(red, black), signed: false };
  const dc = shown.current === undefined ? isDcBetween(view, red, black) : shown.current === 'dc';
  // Where both are there, which of them a meter is set to may change with the value.
  const other = shown.current === undefined ? liveAt(view, red, black) : [];
  const read = [...view.point.phasors.entries()].flatMap(([frequency, { hertz }]) =>
    (hertz === 0) === dc && view.joined(frequency, red, black) ? frequency : [],
  );
  const [only, second] = new Set([...read, ...other]);
  if (only === undefined || second !== undefined) return 'any';
  return { curve: curves.volts(only, red, black, meter.inputOhms), signed: dc };
}

/** Frequencies at which there are volts between two places. */
export function liveAt(view: View, a: number, b: number): number[] {
  return [...view.point.phasors.keys()].filter((frequency) => {
    if (!view.joined(frequency, a, b)) return false;
    const { re, im } = view.volts(frequency, a, b);
    return Math.hypot(re, im) > 1e-6;
  });
}

/** Values with which what is shown lies in a band. */
export function within({ curve, signed }: ReadCurve, { low, high }: Interval): Intervals {
  if (signed) return whereBetween(curve, { low, high });
  return intersect(whereAtMost(curve, high), whereAtLeast(curve, low));
}

/** The value of a curve that a display shows. */
export function shownBy({ curve, signed }: ReadCurve, x: number): number {
  const { re, im } = valueAt(curve, x);
  return signed ? re : Math.hypot(re, im);
}
