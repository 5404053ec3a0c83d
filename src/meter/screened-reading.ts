import type { Branch, Circuit, Ratio } from '../circuit/circuit.js';
import type { FaultWalk, SeenNetwork, Sums } from '../solve/solve.js';
import {
  type FarBand,
  farBandOf,
  isBeyond,
  lowInputStrayVolts,
  overRangeOhms,
  strayShare,
} from './expected.js';
import { displayError } from './instrument.js';
import type { Reading } from './readings.js';
import type { SupplyKnowledge } from './test-stand.js';

/** Whether a reading is plainly impossible in the network where a walk has ended. */
export type Impossible = (seen: SeenNetwork) => boolean;

const never: Impossible = () => false;

/** By how much what parts move, summed up to the first order and over both ends of their tolerance, is taken to be more. */
const safety = 1.5;
/** The same where capacitors meet coils, and volts may rise as they fall. */
const resonantSafety = 3;
/** Impedances this near the end of a meter's range may be on either side of it. */
const nearRange = 0.1;

interface Toleranced {
  readonly branch: number;
  readonly place: number;
  /** Width of its tolerance, as a share. */
  readonly width: Ratio;
}

/** What all readings of one network have in common. */
export interface ReadingScreen {
  readonly walk: FaultWalk;
  readonly circuit: Circuit;
  readonly supplies: SupplyKnowledge;
  readonly parts: readonly Toleranced[];
  readonly hasCapacitors: boolean;
  /** By frequency: whether one supply scales all there is, where two may work against one another. */
  readonly isAlone: readonly boolean[];
  /** All that supplies could add up to. */
  readonly driven: number;
  /** Shares of its value from which on, and up to which, any part of the dead network is. */
  readonly ohms: { readonly least: Ratio; readonly most: Ratio };
}

const kept = new WeakMap<FaultWalk, ReadingScreen>();

/** What readings of this network have in common; a walk is of one stand, with one knowledge of its supplies. */
export function readingScreen(walk: FaultWalk, supplies: SupplyKnowledge): ReadingScreen {
  const screen = kept.get(walk) ?? makeScreen(walk, supplies);
  kept.set(walk, screen);
  return screen;
}

function makeScreen(walk: FaultWalk, supplies: SupplyKnowledge): ReadingScreen {
  const { circuit, purpose } = walk.plan;
  const parts = circuit.branches.flatMap((branch): Toleranced[] => {
    const tolerance = Math.max(branch.impedance.tolerance, branch.atRest?.impedance.tolerance ?? 0);
    if (tolerance === 0 || purpose === 'dead') return [];
    const width = 1 / (1 - tolerance) - 1 / (1 + tolerance);
    return [{ branch: branch.index, place: walk.place([branch.from, branch.to]), width }];
  });
  const shares = circuit.branches.map(ohmsShares);
  const supplied = [...circuit.supplies.values()];
  return {
    walk,
    circuit,
    supplies,
    parts,
    isAlone: walk.plan.frequencies.map((hertz) => supplied.filter((each) => each.hertz === hertz).length < 2),
    driven: supplied.reduce((sum, { stated, volts }) => sum + Math.max(stated, 2 * volts), 0),
    hasCapacitors: circuit.branches.some(({ impedance }) => impedance.farads !== undefined),
    ohms: {
      least: Math.min(1, ...shares.map(([least]) => least)),
      most: Math.max(1, ...shares.map(([, most]) => most)),
    },
  };
}

/** How far the resistance of a dead part may be from what is solved for. */
function ohmsShares({ impedance, atRest }: Branch): readonly [least: Ratio, most: Ratio] {
  const all = [impedance, ...(atRest === undefined ? [] : [atRest.impedance])];
  const each = all.map(({ tolerance, dead }): readonly [Ratio, Ratio] =>
    dead === undefined
      ? [1 - tolerance, 1 + tolerance]
      : [Math.min(1 - tolerance, dead.least / dead.ohms), Math.max(1 + tolerance, dead.most / dead.ohms)],
  );
  return [Math.min(...each.map(([least]) => least)), Math.max(...each.map(([, most]) => most))];
}

/**
 * How a reading is looked at in reading space; a blank, or a display beyond range in volts, never is impossible.
 * What is said to be impossible is so by `expectVolts`, `expectAmps` or `expectOhms` and `compare`, whatever the tolerances.
 */
export function impossibleReading(screen: ReadingScreen, reading: Reading): Impossible {
  const { where, shown } = reading;
  if (shown.kind === 'blank') return never;
  if (where.kind === 'around') {
    if (shown.kind !== 'value' || shown.unit !== 'A') return never;
    return impossibleAmps(screen, reading, where.branch, shown.value);
  }
  const place = screen.walk.place([where.red, where.black]);
  if (shown.unit === 'ohm') {
    const value = shown.kind === 'value' ? shown.value : undefined;
    return impossibleOhms(screen, reading, place, value);
  }
  return shown.kind === 'value' && shown.unit === 'V'
    ? impossibleVolts(screen, reading, place, [where.red, where.black], shown.value, shown.current)
    : never;
}

/** A resistance between two places moves by no larger share than the part that moves most (Rayleigh's monotonicity law). */
function impossibleOhms(
  { ohms: { least, most } }: ReadingScreen,
  { meter: { accuracy } }: Reading,
  place: number,
  value: number | undefined,
): Impossible {
  return (seen) => {
    const known = seen.look(place);
    if (known === 'unknown') return false;
    if (known === 'floating') return value !== undefined;
    seen.lookOhms(place);
    const ohms = seen.ohmsRe;
    if (ohms > overRangeOhms * (1 + nearRange)) return value !== undefined;
    if (ohms > overRangeOhms * (1 - nearRange)) return false;
    if (value === undefined) return true;
    const [low, high] = [ohms * least, ohms * most];
    const slack = 1e-6 * ohms + 1e-6;
    return (
      value < low - displayError(accuracy, low) - slack || value > high + displayError(accuracy, high) + slack
    );
  };
}

function impossibleVolts(
  screen: ReadingScreen,
  reading: Reading,
  place: number,
  leads: readonly [red: number, black: number],
  shown: number,
  current: 'ac' | 'dc' | undefined,
): Impossible {
  const magnitude = Math.abs(shown);
  const band = farBandOf(screen.walk.plan, reading.meter, magnitude, current, screen.supplies.spread);
  return (seen) => {
    const known = seen.look(place);
    if (known === 'unknown') return false;
    if (known === 'floating') return isNoStray(screen, reading, seen, leads, magnitude, current);
    return isFarFrom(screen, reading, seen, place, magnitude, current, band);
  };
}

/** Whether more is shown than could stray onto a place that floats. */
function isNoStray(
  { supplies, hasCapacitors, walk }: ReadingScreen,
  { meter }: Reading,
  seen: SeenNetwork,
  leads: readonly [red: number, black: number],
  magnitude: number,
  current: 'ac' | 'dc' | undefined,
): boolean {
  const allDc = walk.plan.frequencies.every((hertz) => hertz === 0);
  const dc = current === 'dc' || (current === undefined && allDc);
  if ((dc && hasCapacitors) || magnitude <= displayError(meter.accuracy, 0)) return false;
  const isMore = (high: number) => magnitude > (high + displayError(meter.accuracy, high)) * (1 + 1e-6);
  if (meter.input === 'low-impedance') return isMore(lowInputStrayVolts);
  if (dc) return isMore(0);
  const share = (1 + supplies.spread) * strayShare;
  // A place with as many volts settles it, and the rest is not looked for.
  const enough = magnitude / share;
  return leads.every((node) => isMore(share * seen.highestVolts(seen.space.place(node), enough)));
}

/** Whether what is shown is further from what the leads have than all tolerances together make up for. */
function isFarFrom(
  screen: ReadingScreen,
  { meter }: Reading,
  seen: SeenNetwork,
  place: number,
  magnitude: number,
  current: 'ac' | 'dc' | undefined,
  band: FarBand | undefined,
): boolean {
  const hertz = screen.walk.plan.frequencies[seen.seenAt];
  if (hertz === undefined) return false;
  const open = Math.sqrt(seen.re * seen.re + seen.im * seen.im);
  // What `isFarOff` says at once, where it may.
  if (band !== undefined && isBeyond(band, open)) return true;
  // Told to be of a kind that is not there, it is nothing.
  const other = current !== undefined && (current === 'dc') !== (hertz === 0);
  seen.lookOhms(place);
  const volts = other ? 0 : (open * meter.inputOhms) / size(meter.inputOhms + seen.ohmsRe, seen.ohmsIm);
  const off = Math.abs(magnitude - volts);
  const error = displayError(meter.accuracy, Math.max(magnitude, volts));
  if (off <= error) return false;
  const drift = screen.supplies.spread * (screen.isAlone[seen.seenAt] === true ? volts : screen.driven);
  const from = drift + movedBy(screen, seen, place, open / meter.inputOhms, off - error - drift);
  // Phasors that nearly cancel may do so altogether.
  if (magnitude < volts && from > volts / 2) return false;
  return off > from + error;
}

/** Volts that all parts together can move a reading by, and more; once they are more than enough, no more are looked at. */
function movedBy(
  screen: ReadingScreen,
  seen: SeenNetwork,
  place: number,
  drawn: number,
  enough: number,
): number {
  const by = screen.hasCapacitors ? resonantSafety : safety;
  const { sums } = seen;
  const moved =
    sums === undefined
      ? summed(screen, seen, place, drawn, enough / by)
      : (sums[place] ?? summed(screen, seen, place, 0, Number.POSITIVE_INFINITY));
  if (sums !== undefined) sums[place] = moved;
  return by * (moved.volts + drawn * moved.ohms);
}

function summed(
  { parts }: ReadingScreen,
  seen: SeenNetwork,
  place: number,
  drawn: number,
  enough: number,
): Sums {
  seen.fix(place);
  let volts = 0;
  let ohms = 0;
  for (const { branch, place: own, width } of parts) {
    if (volts + drawn * ohms > enough) break;
    if (!seen.conducts(branch) || seen.look(own) !== 'known') continue;
    const z = seen.transferToFixed(own);
    if (z === 0) continue;
    const share = z * seen.siemens(branch) * width;
    volts += share * Math.sqrt(seen.re * seen.re + seen.im * seen.im);
    ohms += share * z;
  }
  return { volts, ohms };
}

/** `Math.hypot` takes ten times as long. */
function size(re: number, im: number): number {
  return Math.sqrt(re * re + im * im);
}

function impossibleAmps(
  screen: ReadingScreen,
  { meter: { accuracy } }: Reading,
  branch: number,
  shown: number,
): Impossible {
  const { walk, supplies } = screen;
  // Beside windings amps may be what is left of much larger ones, which part tolerances move by more than is summed here.
  if (screen.circuit.transformers.length > 0) return never;
  const { emf } = screen.circuit.branches[branch] ?? {};
  const place = walk.placeOf(branch);
  const magnitude = Math.abs(shown);
  return (seen) => {
    if (!seen.conducts(branch)) {
      // A wire that was moved carries what it carries elsewhere.
      return !walk.moves(branch) && magnitude > displayError(accuracy, 0) * (1 + 1e-6);
    }
    if (emf !== undefined || walk.touches(branch)) return false;
    if (seen.look(place) !== 'known') return false;
    if (screen.isAlone[seen.seenAt] !== true) return false;
    const siemens = seen.siemens(branch);
    const amps = siemens * Math.sqrt(seen.re * seen.re + seen.im * seen.im);
    const off = Math.abs(magnitude - amps);
    const error = displayError(accuracy, Math.max(magnitude, amps));
    if (off <= error) return false;
    const drift = supplies.spread * amps;
    const moved = siemens * movedBy(screen, seen, place, 0, (off - error - drift) / siemens) + drift;
    if (magnitude < amps && moved > amps / 2) return false;
    return off > moved + error;
  };
}
