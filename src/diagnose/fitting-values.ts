import type { Fault, VariableFault } from '../circuit/circuit.js';
import {
  compare,
  displayError,
  type Expected,
  probeOf,
  type Reading,
  type Symptom,
  type TestStand,
  type Unsettled,
} from '../meter/meter.js';
import {
  everything,
  type Interval,
  type Intervals,
  intersect,
  isDcBetween,
  isPresent,
  unite,
  type ValueCurve,
  type View,
  valueAt,
  whereAtLeast,
  whereAtMost,
  whereBetween,
} from '../solve/solve.js';
import { explainedBy, type Group, isRuledOut } from './evidence.js';
import { faultOf, type Regime, regimesOf } from './value-regimes.js';

/**
 * The values of a fault, other faults being there too, with which no reading and no symptom is contradicted: solved for
 * in each reading's band and intersected over readings and states. Ends are good to a part in a thousand, outwards.
 */
export function fittingValues(
  stand: TestStand,
  groups: readonly Group[],
  variable: VariableFault,
  others: readonly Fault[],
  widths: Widths = new Map(),
): Intervals {
  let fitting: Intervals = [{ low: variable.range.least, high: variable.range.most }];
  // What is certain without solving leans on good conductors alone, and so holds at every value.
  const any = [...others, faultOf(variable, variable.range.most)];
  if (groups.some((group) => isRuledOut(stand, group, any))) return [];
  for (const group of groups) {
    fitting = intersect(fitting, fittingGroup(stand, group, variable, others, widths));
    if (fitting.length === 0) return [];
  }
  return fitting;
}

/** The sound circuit's band of a reading, worked out once for all faults: how wide, and around what. */
export type Widths = Map<Reading, Width>;

interface Width {
  readonly width: number;
  readonly nominal: number;
}

function widthOf(stand: TestStand, reading: Reading, widths: Widths): Width {
  const known = widths.get(reading);
  if (known !== undefined) return known;
  const sound = stand.expect(reading.state, probeOf(reading), []);
  const driven = sound.kind === 'driven' ? sound : { low: 0, nominal: 0, high: 0 };
  const found = { width: driven.high - driven.low, nominal: Math.abs(driven.nominal) };
  widths.set(reading, found);
  return found;
}

function fittingGroup(
  stand: TestStand,
  group: Group,
  variable: VariableFault,
  others: readonly Fault[],
  widths: Widths,
): Intervals {
  const { state, dead } = group;
  const whole = [{ low: variable.range.least, high: variable.range.most }];
  if (isWithoutEffect(stand, group, variable, others))
    return explainedBy(stand, [group], others) === undefined ? [] : whole;
  const regimes = regimesOf({ stand, state, dead, variable, others });
  return unite(regimes.flatMap((regime) => fittingRegime(stand, group, variable, others, regime, widths)));
}

/** A bad connection where no current flows does nothing that a meter sees, whatever its ohms. */
function isWithoutEffect(
  stand: TestStand,
  { state, dead }: Group,
  variable: VariableFault,
  others: readonly Fault[],
): boolean {
  // Where something remembers, a contact may have carried current on the way there.
  if (dead || stand.plan('running').remembers) return false;
  const sight = stand.look(state, others);
  if (sight.kind !== 'steady') return false;
  const { view } = sight;
  return variable.changes(variable.range.least).every((change) => {
    if (change.kind !== 'worn') return false;
    return !isPresent(view, change.branch);
  });
}

function fittingRegime(
  stand: TestStand,
  group: Group,
  variable: VariableFault,
  others: readonly Fault[],
  regime: Regime,
  widths: Widths,
): Intervals {
  let fitting: Intervals = [regime.values];
  for (const symptom of group.symptoms) {
    fitting = intersect(fitting, fittingSymptom(stand, symptom, regime));
    if (fitting.length === 0) return [];
  }
  const solvable = group.readings.map((reading) => ({ reading, curve: curveOf(stand, reading, regime) }));
  for (const { reading, curve } of solvable) {
    if (curve === 'contradicts') return [];
    if (curve === 'any') continue;
    fitting = intersect(
      fitting,
      within(curve, looseBand(stand, reading, curve, fitting, widthOf(stand, reading, widths))),
    );
    if (fitting.length === 0) return [];
  }
  const expect = (reading: Reading, value: number) =>
    stand.expect(group.state, probeOf(reading), [...others, faultOf(variable, value)]);
  for (const { reading, curve } of solvable) {
    if (typeof curve === 'string') continue;
    fitting = unite(
      fitting.flatMap((each) => narrowed(each, curve, reading, (value) => expect(reading, value))),
    );
    if (fitting.length === 0) return [];
  }
  return fitting;
}

/** A load's volts are a curve, and enough of them or not; what an actuator does is the same throughout a regime. */
function fittingSymptom(stand: TestStand, symptom: Symptom, { view, curves }: Regime): Intervals {
  const { load, works } = symptom;
  const { does } = load;
  const { overlay } = view.point;
  if (
    does.kind === 'actuator' ||
    !isPresent(view, does.branch) ||
    overlay.branches.has(does.branch) ||
    overlay.idleLoads.has(load.name) ||
    (does.actuator !== undefined && view.on[does.actuator] !== true)
  ) {
    const expected = stand.worksIn(view, symptom);
    return expected === 'marginal' || (expected === 'yes') === works ? everything : [];
  }
  const [from, to] = view.ends(does.branch);
  const [only, second] = liveAt(view, from, to);
  if (only === undefined) return works ? [] : everything;
  if (second !== undefined) return everything;
  const spread = stand.spreadIn(view);
  const level = does.atLeast / (works ? 1 + spread : 1 - spread);
  const volts = curves.volts(only, from, to, Number.POSITIVE_INFINITY);
  const met = works ? whereAtLeast(volts, level) : whereAtMost(volts, level);
  if (!overlay.worn.has(does.branch)) return met;
  // Its own resistance is what is wrong: it must carry what it should, too (`worksIn`).
  const { ohms, reactanceOhms } = stand.circuit.branches[does.branch]?.impedance ?? {
    ohms: 1,
    reactanceOhms: 0,
  };
  const amps = curves.amps(only, does.branch);
  const enough = level / Math.hypot(ohms, reactanceOhms);
  return works ? intersect(met, whereAtLeast(amps, enough)) : unite([...met, ...whereAtMost(amps, enough)]);
}

interface ReadCurve {
  readonly curve: ValueCurve;
  readonly signed: boolean;
}

/** What a reading shows as the value goes; `any` where it proves nothing, or several frequencies are read as one. */
function curveOf(stand: TestStand, reading: Reading, regime: Regime): ReadCurve | 'any' | 'contradicts' {
  const { where, shown, meter } = reading;
  const { view, curves } = regime;
  if (shown.kind === 'blank') return 'any';
  const expected = stand.expectIn(view, probeOf(reading));
  if (expected.kind === 'floating' || shown.kind === 'over-range')
    return compare(reading, expected) === 'differs' ? 'contradicts' : 'any';
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
  return { curve: curves.volts(only, red, black, meter.inputOhms), signed: expected.signed === true };
}

/** Frequencies at which there are volts between two places. */
function liveAt(view: View, a: number, b: number): number[] {
  return [...view.point.phasors.keys()].filter((frequency) => {
    if (!view.joined(frequency, a, b)) return false;
    const { re, im } = view.volts(frequency, a, b);
    return Math.hypot(re, im) > 1e-6;
  });
}

function within({ curve, signed }: ReadCurve, { low, high }: Interval): Intervals {
  if (signed) return whereBetween(curve, { low, high });
  return intersect(whereAtMost(curve, high), whereAtLeast(curve, low));
}

/** The value of a curve that a display shows. */
function shownBy({ curve, signed }: ReadCurve, x: number): number {
  const { re, im } = valueAt(curve, x);
  return signed ? re : Math.hypot(re, im);
}

/** Nominal values beyond which no tolerance could give what was shown: wide, to be narrowed where it matters. */
function looseBand(
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

/** Ends found anew from the exact band where the end before was; more than this many never were needed. */
const mostSteps = 10;

const endGap = 4e-6;

/** How near an end is found, and pushed outwards, as a share. */
const endShare = 1e-3;

/**
 * The part of an interval with which a reading is inside its exact band: the band's distance from nominal values changes
 * little from one value to the next, so that each end is solved for with that of the end before until it stays.
 */
function narrowed(
  interval: Interval,
  read: ReadCurve,
  reading: Reading,
  expect: (value: number) => Expected | Unsettled,
  halvings: number = mostHalvings,
): Intervals {
  const fits = (value: number) => {
    const there = expect(value);
    return there.kind !== 'driven' || compare(reading, there) !== 'differs';
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
  expect: (value: number) => Expected | Unsettled,
): number | undefined {
  const value = reading.shown.kind === 'value' ? reading.shown.value : 0;
  const shown = read.signed ? value : Math.abs(value);
  // At the very end of a regime something may move already.
  let at = interval[end] * (end === 'low' ? 1 + endGap : 1 - endGap);
  // Where the band at this end leaves nothing, that of the middle may, or that of the other end.
  const starts = [Math.sqrt(interval.low * interval.high), end === 'low' ? interval.high : interval.low];
  for (let step = 0; step < mostSteps; step += 1) {
    const expected = expect(at);
    if (expected.kind !== 'driven') return interval[end];
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
