import type { State } from '../../circuit/circuit.js';
import type { Expected, Probe, TestStand } from '../../meter/meter.js';
import { branchFigures, rmsVolts, strayOn, type View } from '../../solve/solve.js';
import { viewsOf } from '../suspects/views.js';
import type { Ballot, Range } from './outcomes.js';

/** One state as each sample of each hypothesis would have it. */
export interface Scene {
  readonly state: State;
  readonly dead: boolean;
  /** The circuit as drawn. */
  readonly sound: View | undefined;
  /** The hypotheses by what there is to be seen: of a sample with an overload that opens and closes again, either. */
  readonly ballot: Ballot;
  /** By sample of that ballot; undefined where nothing would hold still to be read. */
  readonly views: readonly (View | undefined)[];
  /** Share of belief in what this state would short, or blow for good. */
  readonly blows: number;
}

export function sceneOf(stand: TestStand, all: Ballot, state: State, dead: boolean): Scene {
  const sound = stand.look(state, [], dead);
  let blows = 0;
  const samples: Ballot['samples'][number][] = [];
  const views: (View | undefined)[] = [];
  for (const sample of all.samples) {
    const seen = viewsOf(stand, state, sample.faults, dead);
    if (seen === undefined || (!dead && isReset(stand, state, sample))) blows += sample.weight;
    // Either as likely as the other: how long it takes to cool nobody says.
    const shown = seen === undefined || seen.length === 0 ? [undefined] : seen;
    for (const view of shown) {
      samples.push({ ...sample, weight: sample.weight / shown.length });
      views.push(view);
    }
  }
  const ballot = { ...all, samples };
  return { state, dead, sound: sound.kind === 'steady' ? sound.view : undefined, ballot, views, blows };
}

/** The building's protector is what the short opened: whoever goes on with the work sets it again first. */
function isReset(stand: TestStand, state: State, { first, faults }: Ballot['samples'][number]): boolean {
  if (faults.length === first.length) return false;
  const opened = faults.at(-1)?.part ?? '';
  if (!stand.circuit.supplies.has(opened) || !stand.mayShortUnder(state, first)) return false;
  return stand.look(state, first).kind === 'short';
}

/** The most of a live voltage that a floating place shows on a high-impedance input, and on a low one, volts, roughly. */
const strayShare = 0.85;
const lowInputStrayVolts = 0.8;

/** A meter shows OL above this. */
const overRangeOhms = 40e6;

/** What a view gives for a probe, without part tolerances and the meter's load: to choose what to work out in full. */
export function roughRange(stand: TestStand, view: View, probe: Probe): Range {
  const { where, unit, meter } = probe;
  const { share, counts, resolution } = meter.accuracy;
  const spread = stand.supplies.spread;
  if (where.kind === 'around') {
    const { amps } = branchFigures(view, where.branch);
    return around(amps, amps * (share + spread + view.point.plan.widestTolerance) + counts * resolution);
  }
  const { red, black } = where;
  if (unit === 'ohm') {
    const joined = view.island(red) === view.island(black);
    const ohms = joined ? view.ohms(0, red, black).re : Number.POSITIVE_INFINITY;
    if (ohms > overRangeOhms) return { low: Number.POSITIVE_INFINITY, high: Number.POSITIVE_INFINITY };
    return around(ohms, ohms * (share + view.point.plan.widestTolerance) + counts * resolution);
  }
  const volts = rmsVolts(view, red, black);
  if (volts !== undefined) return around(volts, volts * (share + spread) + counts * resolution);
  const high =
    meter.input === 'low-impedance' ? lowInputStrayVolts : (1 + spread) * strayVolts(view, red, black);
  return { low: 0, high: high * (1 + share) + counts * resolution };
}

/** Worked out once for each view, by the island that the stray is read against. */
const strays = new WeakMap<View, Map<number, number>>();

function strayVolts(view: View, red: number, black: number): number {
  const known = strays.get(view) ?? new Map<number, number>();
  strays.set(view, known);
  const island = view.island(view.isDriven(view.island(black)) ? black : red);
  const volts = known.get(island) ?? strayShare * strayOn(view, red, black, 0).volts;
  known.set(island, volts);
  return volts;
}

function around(value: number, half: number): Range {
  return { low: Math.max(0, value - half), high: value + half };
}

/** What each sample would have the meter show. Where two give the same to nine digits, one sum does for both. */
export function shownIn(stand: TestStand, { views }: Scene, probe: Probe): (Expected | undefined)[] {
  const known = new Map<string, Expected>();
  return views.map((view) => {
    if (view === undefined) return undefined;
    const { low, high } = roughRange(stand, view, probe);
    const key = `${(low + high).toPrecision(9)} ${(high - low).toPrecision(9)}`;
    const expected = known.get(key) ?? stand.expectIn(view, probe);
    known.set(key, expected);
    return expected;
  });
}
