import { compare, type Expected, type Reading } from '../../meter/meter.js';
import { type Interval, type Intervals, intersect } from '../../solve/solve.js';
import { type ReadCurve, within } from './reading-curve.js';

/** What a reading should be with a value; undefined where nothing stands still. */
export type ExpectAt = (value: number) => Expected | undefined;

/** Ends found anew from the exact band where the end before was; more than this many never were needed. */
const mostSteps = 10;

const endGap = 4e-6;

/** How near an end is found, and pushed outwards, as a share. */
const endShare = 1e-3;

/**
 * The part of an interval with which a reading is inside its exact band: the band's distance from nominal values changes
 * little from one value to the next, so that each end is solved for with that of the end before until it stays.
 */
export function narrowed(
  interval: Interval,
  read: ReadCurve,
  reading: Reading,
  expect: ExpectAt,
  halvings: number = mostHalvings,
): Intervals {
  const fits = (value: number) => {
    const there = expect(value);
    return there?.kind !== 'driven' || compare(reading, there) !== 'differs';
  };
  const middle = Math.sqrt(interval.low * interval.high);
  // Two phasors may come near one another and part again: both ends fit, and what is between does not.
  if (halvings > 0 && interval.high > interval.low * (1 + 4 * endShare) && !fits(middle)) {
    return [
      { low: interval.low, high: middle },
      { low: middle, high: interval.high },
    ].flatMap((half) => narrowed(half, read, reading, expect, halvings - 1));
  }
  const low = narrowedEnd(interval, 'low', read, reading, expect);
  const high = narrowedEnd(interval, 'high', read, reading, expect);
  if (low === undefined || high === undefined || low > high * (1 + 4 * endShare))
    return halved(interval, fits);
  return [
    {
      low: low === interval.low ? low : Math.max(interval.low, Math.min(low, high) * (1 - endShare)),
      high: high === interval.high ? high : Math.min(interval.high, Math.max(low, high) * (1 + endShare)),
    },
  ];
}

/** Where a curve is all but flat a little of band is much of value, and ends run past one another: then by halving. */
function halved({ low, high }: Interval, fits: (value: number) => boolean): Intervals {
  const scale = Array.from({ length: 9 }, (_, step) => low * (high / low) ** (step / 8));
  const inside = scale.filter(fits);
  const [first] = inside;
  const last = inside.at(-1);
  if (first === undefined || last === undefined) return [];
  const edge = (from: number, to: number) => {
    let [good, bad] = [from, to];
    while (Math.abs(bad - good) > endShare * good) {
      const middle = Math.sqrt(good * bad);
      if (fits(middle)) good = middle;
      else bad = middle;
    }
    return bad;
  };
  return [{ low: first === low ? low : edge(first, low), high: last === high ? high : edge(last, high) }];
}

/** An interval is looked at in parts at most this many times over. */
const mostHalvings = 3;

function narrowedEnd(
  interval: Interval,
  end: 'low' | 'high',
  read: ReadCurve,
  reading: Reading,
  expect: ExpectAt,
): number | undefined {
  const value = reading.shown.kind === 'value' ? reading.shown.value : 0;
  const shown = read.signed ? value : Math.abs(value);
  // At the very end of a regime something may move already.
  let at = interval[end] * (end === 'low' ? 1 + endGap : 1 - endGap);
  // Where the band at this end leaves nothing, that of the middle may, or that of the other end.
  const starts = [Math.sqrt(interval.low * interval.high), end === 'low' ? interval.high : interval.low];
  for (let step = 0; step < mostSteps; step += 1) {
    const expected = expect(at);
    if (expected?.kind !== 'driven') return interval[end];
    if (step === 0 && compare(reading, expected) !== 'differs') return interval[end];
    const band = {
      low: shown - (expected.high - expected.nominal),
      high: shown + (expected.nominal - expected.low),
    };
    const inside = intersect(within(read, band), [interval]);
    const next = end === 'low' ? inside[0]?.low : inside.at(-1)?.high;
    if (next === undefined) {
      const start = starts.shift();
      if (start === undefined) return undefined;
      at = start;
      continue;
    }
    if (Math.abs(next - at) <= endShare * at) return next;
    at = next;
  }
  return undefined;
}
