import {
  compare,
  floatsIn,
  type Probe,
  probeKey,
  probeOf,
  type Reading,
  type TestStand,
} from '../../meter/meter.js';
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
export function curveOf(stand: TestStand, reading: Reading, look: Look): ReadCurve | 'any' | 'contradicts' {
  const { shown } = reading;
  if (shown.kind === 'blank') return 'any';
  const probe = probeOf(reading);
  const curve = shown.kind === 'over-range' ? 'floats' : curveAt(probe, look);
  if (curve !== 'floats') return curve;
  return compare(reading, stand.expectIn(look.view, probe)) === 'differs' ? 'contradicts' : 'any';
}

const kept = new WeakMap<Look, Map<string, ReadCurve | 'any' | 'floats'>>();

/** The curve of a probe hangs on nothing that was read, and is kept as long as the look is. */
function curveAt(probe: Probe, look: Look): ReadCurve | 'any' | 'floats' {
  const known = kept.get(look) ?? new Map<string, ReadCurve | 'any' | 'floats'>();
  kept.set(look, known);
  const key = probeKey(probe);
  const curve = known.get(key) ?? workOut(probe, look);
  known.set(key, curve);
  return curve;
}

function workOut(probe: Probe, { view, curves }: Look): ReadCurve | 'any' | 'floats' {
  const { where, unit, meter, current } = probe;
  if (floatsIn(view, probe)) return 'floats';
  if (where.kind === 'around') {
    const [only, second] = liveAt(view, ...view.ends(where.branch));
    if (only === undefined || second !== undefined) return 'any';
    return { curve: curves.amps(only, where.branch), signed: false };
  }
  const { red, black } = where;
  if (unit === 'ohm') return { curve: curves.ohms(red, black), signed: false };
  const dc = current === undefined ? isDcBetween(view, red, black) : current === 'dc';
  // Where both are there, which of them a meter is set to may change with the value.
  const other = current === undefined ? liveAt(view, red, black) : [];
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
