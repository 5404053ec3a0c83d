import type { Ratio, Volts } from '../circuit/circuit.js';
import {
  ampsSpread,
  branchFigures,
  type Complex,
  type CutOff,
  cutOff,
  isDcBetween,
  isPresent,
  magnitudes,
  ohmsSpread,
  type Plan,
  rmsVolts,
  type SupplySpreads,
  strayOn,
  type View,
  voltsSpread,
} from '../solve/solve.js';
import { displayError, type Instrument } from './instrument.js';
import type { Where } from './readings.js';

export type Unit = 'V' | 'A' | 'ohm';

/**
 * What a sound circuit (or one with a supposed fault) gives for a reading. `driven`: a band, with the value at
 * nominal parts. `floating`: no conducting path ties the probed place down; `high` is the most a stray voltage
 * could show on this input, `likely` what its wires alone would couple, and for ohms there is no path between the leads at all (the display says OL).
 */
export type Expected =
  | {
      readonly kind: 'driven';
      readonly low: number;
      readonly nominal: number;
      readonly high: number;
      readonly unit: Unit;
      /** Dc volts: the sign says which lead is the positive one. Elsewhere a meter shows none. */
      readonly signed?: true;
    }
  | {
      readonly kind: 'floating';
      /** Volts that coupling along its wires would show on this input, as far as is known. */
      readonly likely: number;
      readonly high: number;
      readonly unit: Unit;
      readonly cause: readonly CutOff[];
    };

/** Volts a low-impedance input may still show on a floating conductor: tests/published/handbook.yaml H157-H176 computes 0.1 to 0.4 V. */
export const lowInputStrayVolts = 0.5;

/**
 * The most of a live voltage that strays onto a floating conductor at a high-impedance input: 50 to 85 % is seen
 * (tests/published/handbook.yaml H154, common practice). More than that is a connection.
 */
export const strayShare = 0.85;

/** Resistances above this show as OL on the usual meter (common practice, no source). */
export const overRangeOhms = 40e6;

/**
 * Volts from the red lead to the black one, the meter's own load included. AC is read as RMS, without sign; dc
 * with its sign. `spreads` is how far the supplies may be from what was solved. The band is what the tolerances of parts
 * and supplies make possible (`voltsSpread`: the corners, exactly, where all is resistive), and the meter's error.
 */
export function expectVolts(
  view: View,
  red: number,
  black: number,
  meter: Instrument,
  spreads: SupplySpreads,
  current?: 'ac' | 'dc',
): Expected {
  const dc =
    current === 'dc' || (current === undefined && view.point.phasors.every(({ hertz }) => hertz === 0));
  if (view.island(red) !== view.island(black)) return floating(view, red, black, meter, spreads, dc);
  const shown = shownAt(view, red, black, current);
  // A capacitor alone joins them, and dc volts across it are anything it was left with.
  if (shown === undefined) return floating(view, red, black, meter, spreads, true);
  const { ac, frequencies } = shown;
  let [square, signed, low, high] = [0, 0, 0, 0];
  for (const frequency of frequencies) {
    const volts = loaded(view, frequency, red, black, meter);
    const spread = voltsSpread(view, frequency, red, black, meter.inputOhms, spreads);
    const { low: least, high: most } = ac ? magnitudes(spread) : spread;
    square += volts.re ** 2 + volts.im ** 2;
    signed += volts.re;
    // One frequency is the rule. Where there are several, their ends are squared like their volts.
    low = frequencies.length === 1 ? least : Math.hypot(low, Math.max(0, least));
    high = frequencies.length === 1 ? most : Math.hypot(high, most);
  }
  return driven(ac ? Math.sqrt(square) : signed, low, high, meter, 'V', ac);
}

/** Whether it is ac or dc that is read, and the frequencies that are; undefined where no path fixes dc volts. */
function shownAt(
  view: View,
  red: number,
  black: number,
  current: 'ac' | 'dc' | undefined,
): { readonly ac: boolean; readonly frequencies: readonly number[] } | undefined {
  const ac = current === undefined ? !isDcBetween(view, red, black) : current === 'ac';
  const { phasors } = view.point;
  const wanted = [...phasors.keys()].filter((frequency) => (phasors[frequency]?.hertz === 0) !== ac);
  const frequencies = wanted.filter((frequency) => view.joined(frequency, red, black));
  return wanted.length > 0 && frequencies.length === 0 ? undefined : { ac, frequencies };
}

/** Volts at the leads with the meter on them. */
function loaded(view: View, frequency: number, red: number, black: number, meter: Instrument): Complex {
  const open = view.volts(frequency, red, black);
  const inner = view.transfer(frequency, red, black, red, black);
  const share = meter.inputOhms / ((meter.inputOhms + inner.re) ** 2 + inner.im ** 2);
  const [re, im] = [share * (meter.inputOhms + inner.re), -share * inner.im];
  return { re: open.re * re - open.im * im, im: open.re * im + open.im * re };
}

/**
 * Whether volts shown are what nominal parts and supplies give, within the meter's error alone: a first look, for no
 * tolerance could make them wrong.
 */
export function isAsNominal(view: View, first: FirstLook): boolean {
  const { meter, shown } = first;
  const had = atLeads(view, first);
  had.read ??= readAt(view, first) ?? 'unknown';
  if (had.read === 'unknown') return false;
  const { ac, nominal } = had.read;
  return Math.abs((ac ? Math.abs(shown) : shown) - nominal) <= displayError(meter.accuracy, nominal);
}

function readAt(view: View, { red, black, meter, current }: FirstLook): Read | undefined {
  if (view.island(red) !== view.island(black)) return undefined;
  const read = shownAt(view, red, black, current);
  const [frequency, second] = read?.frequencies ?? [];
  if (read === undefined || frequency === undefined || second !== undefined) return undefined;
  const { re, im } = loaded(view, frequency, red, black, meter);
  return { ac: read.ac, nominal: read.ac ? Math.hypot(re, im) : re };
}

interface Read {
  readonly ac: boolean;
  readonly nominal: number;
}

/** What two leads have in a view, as first looks ask for it time and again; made when it is asked for. */
interface AtLeads {
  /** With no meter on them; undefined while it was not asked for. */
  open?: number | 'none';
  /** What nominal parts give one kind of meter, where it reads one frequency. */
  read?: Read | 'unknown';
}

const lookedAt = new WeakMap<View, Map<number, AtLeads>>();

function atLeads(view: View, { red, black, meter, current }: FirstLook): AtLeads {
  const known = lookedAt.get(view) ?? new Map<number, AtLeads>();
  lookedAt.set(view, known);
  const kind = (meter.input === 'high-impedance' ? 0 : 3) + ['ac', 'dc'].indexOf(current ?? '') + 1;
  const key = (red * view.point.structure.nodeCount + black) * 6 + kind;
  const had = known.get(key) ?? {};
  known.set(key, had);
  return had;
}

/**
 * Whether volts shown are too far from what the leads have with no meter on them for any tolerance to make up: a first
 * look that saves the rest of the sum. With t the widest tolerance of a part and s that of a supply, a voltage in a
 * network of resistances and coils moves by no more than about (s + 2 t) of the highest there is. It says so only where
 * one kind of current is there, a high-impedance input loads nothing worth speaking of, and nothing can step volts up.
 */
export function isFarOff(view: View, first: FirstLook): boolean {
  const { red, black, meter, shown, current, spread } = first;
  const { plan } = view.point;
  if (!tellsFarOff(plan, meter, current)) return false;
  const had = atLeads(view, first);
  had.open ??= rmsVolts(view, red, black) ?? 'none';
  return had.open !== 'none' && isBeyond(farBand(plan, meter, Math.abs(shown), spread), had.open);
}

/** The volts there may be where so much is shown: off by no more than so large a share of the highest there is, and the meter's error. */
export interface FarBand {
  readonly shown: Volts;
  readonly share: Ratio;
  readonly highest: Volts;
  readonly error: Volts;
}

/** The same for many networks, that have one kind of current; undefined where it can't be said of this circuit and this meter. */
export function farBandOf(
  plan: Plan,
  meter: Instrument,
  shown: Volts,
  current: 'ac' | 'dc' | undefined,
  spread: Ratio,
): FarBand | undefined {
  return tellsFarOff(plan, meter, current) ? farBand(plan, meter, shown, spread) : undefined;
}

function tellsFarOff(plan: Plan, meter: Instrument, current: 'ac' | 'dc' | undefined): boolean {
  if (current !== undefined || plan.frequencies.length > 1 || plan.steps) return false;
  return meter.input === 'high-impedance' && plan.widestOhms <= meter.inputOhms / 10;
}

function farBand(
  { circuit, widestTolerance }: Plan,
  meter: Instrument,
  shown: Volts,
  spread: Ratio,
): FarBand {
  let highest = 0;
  for (const { stated, volts } of circuit.supplies.values()) highest = Math.max(highest, stated, 2 * volts);
  return {
    shown,
    share: spread + 2 * widestTolerance,
    highest,
    error: displayError(meter.accuracy, shown),
  };
}

/** Whether the volts between the leads, with no meter on them, are outside such a band. */
export function isBeyond({ shown, share, highest, error }: FarBand, open: Volts): boolean {
  return Math.abs(shown - open) > share * Math.max(highest, open) + error;
}

/** Volts that no two places of a circuit can have between them, whatever is wrong; no such limit where something steps volts up. */
export function mostVolts({ circuit, steps }: Plan, spread: Ratio): Volts {
  if (steps) return Number.POSITIVE_INFINITY;
  const all = [...circuit.supplies.values()].map(({ stated, volts }) => Math.max(stated, 2 * volts));
  return (1 + spread) * all.reduce((sum, each) => sum + each, 0);
}

/** Where leads are, and what is read there. */
interface Leads {
  readonly where: Where;
  readonly unit: Unit;
  readonly current?: 'ac' | 'dc';
}

/** Whether a meter finds nothing that joins its leads, or more ohms than it shows. */
export function floatsIn(view: View, { where, unit, current }: Leads): boolean {
  if (where.kind === 'around') return false;
  const { red, black } = where;
  if (view.island(red) !== view.island(black)) return true;
  if (unit === 'ohm') return view.transfer(0, red, black, red, black).re > overRangeOhms;
  return shownAt(view, red, black, current) === undefined;
}

/** What nominal parts and supplies give, with no band around it and no cause of floating: for a table of many states. */
export function nominalVolts(view: View, red: number, black: number, meter: Instrument): Expected {
  const shown = view.island(red) === view.island(black) ? shownAt(view, red, black, undefined) : undefined;
  if (shown === undefined) return { kind: 'floating', likely: 0, high: 0, unit: 'V', cause: [] };
  const volts = shown.frequencies.map((frequency) => loaded(view, frequency, red, black, meter));
  const nominal = shown.ac
    ? Math.hypot(...volts.flatMap(({ re, im }) => [re, im]))
    : volts.reduce((sum, { re }) => sum + re, 0);
  return { kind: 'driven', low: nominal, nominal, high: nominal, unit: 'V' };
}

/** A reading of volts, and how far supplies may be off. */
export interface FirstLook {
  readonly red: number;
  readonly black: number;
  readonly meter: Instrument;
  readonly shown: number;
  readonly current?: 'ac' | 'dc' | undefined;
  readonly spread: Ratio;
}

function floating(
  view: View,
  red: number,
  black: number,
  meter: Instrument,
  spreads: SupplySpreads,
  dc: boolean,
): Expected {
  const cause = [red, black].flatMap((node) => cutOff(view, node));
  const stray = strayOn(view, red, black, unstatedMetres);
  const up = 1 + Math.max(0, ...spreads.values());
  const most = up * (dc ? leftOnCapacitors(view, red, black) : strayShare * stray.volts);
  const high = meter.input === 'low-impedance' ? lowInputStrayVolts : most;
  const likely = Math.min(
    dc ? 0 : strayShare * stray.volts,
    strayVolts(stray.volts, stray.hertz, faradsPerMetre * stray.metres, meter.inputOhms),
  );
  return { kind: 'floating', likely, high: high + displayError(meter.accuracy, high), unit: 'V', cause };
}

/** What a capacitor may have been left with: the peak of the highest voltage there is; nothing where there is none. */
function leftOnCapacitors(view: View, red: number, black: number): number {
  const { circuit } = view.point.plan;
  const floats = new Set([red, black].map((node) => view.island(node)));
  const holds = circuit.branches.some(
    ({ impedance, index }) =>
      impedance.farads !== undefined && view.ends(index).some((end) => floats.has(view.island(end))),
  );
  if (!holds) return 0;
  return (
    Math.SQRT2 *
    Math.max(0, ...[...circuit.supplies.values()].map(({ stated, volts }) => Math.max(stated, 2 * volts)))
  );
}

/** Coupling between wires that lie together (tests/published/handbook.yaml H152), and the length of a wire of no stated one. */
const faradsPerMetre = 100e-12;
const unstatedMetres = 1;

/**
 * What an input shows of a live voltage behind a capacitance, with nothing to any other conductor: V R / |R + 1/jwC|
 * (tests/published/handbook.yaml H157 to H174). Volts, hertz, farads, ohms.
 */
export function strayVolts(volts: number, hertz: number, farads: number, inputOhms: number): number {
  if (hertz === 0 || farads === 0) return 0;
  return (volts * inputOhms) / Math.hypot(inputOhms, 1 / (2 * Math.PI * hertz * farads));
}

/** Amps a clamp around one conductor reads (RMS, without sign). */
export function expectAmps(view: View, branch: number, meter: Instrument, spreads: SupplySpreads): Expected {
  const { amps } = branchFigures(view, branch);
  let [low, high] = [0, 0];
  for (const frequency of isPresent(view, branch) ? view.point.phasors.keys() : []) {
    const spread = ampsSpread(view, frequency, branch, spreads);
    low = Math.hypot(low, spread.low);
    high = Math.hypot(high, spread.high);
  }
  return driven(amps, low, high, meter, 'A', true);
}

/** Ohms between the leads in a dead network, every parallel path included; `view` is solved at 0 Hz without power. */
export function expectOhms(view: View, red: number, black: number, meter: Instrument): Expected {
  const none: Expected = { kind: 'floating', likely: 0, high: 0, unit: 'ohm', cause: [] };
  if (view.island(red) !== view.island(black)) return none;
  const { re: ohms } = view.transfer(0, red, black, red, black);
  if (ohms > overRangeOhms) return none;
  const { low, high } = ohmsSpread(view, red, black);
  return driven(ohms, low, high, meter, 'ohm', true);
}

function driven(
  nominal: number,
  low: number,
  high: number,
  meter: Instrument,
  unit: Unit,
  unsigned: boolean,
): Expected {
  const least = low - displayError(meter.accuracy, low);
  const most = high + displayError(meter.accuracy, high);
  if (!unsigned) return { kind: 'driven', low: least, nominal, high: most, unit, signed: true };
  return { kind: 'driven', low: Math.max(0, least), nominal, high: most, unit };
}
