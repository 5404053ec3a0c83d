import type { Ratio } from '../circuit/circuit.js';
import {
  branchFigures,
  type Complex,
  type CutOff,
  cutOff,
  driverHertz,
  highestVolts,
  impedanceSpread,
  rmsVolts,
  type View,
} from '../solve/solve.js';
import { displayError, type Instrument } from './instrument.js';

export type Unit = 'V' | 'A' | 'ohm';

/**
 * What a sound circuit (or one with a supposed fault) gives for a reading. `driven`: a band, with the value at
 * nominal parts. `floating`: no conducting path ties the probed place down; `high` is the most a stray voltage
 * could show on this input, and for ohms there is no path between the leads at all (the display says OL).
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
      readonly high: number;
      readonly unit: Unit;
      readonly cause: readonly CutOff[];
    };

/** Volts a low-impedance input may still show on a floating conductor: tests/published/handbook.yaml H157-H176 computes 0.1 to 0.4 V. */
const lowInputStrayVolts = 0.5;

/**
 * The most of a live voltage that strays onto a floating conductor at a high-impedance input: 50 to 85 % is seen
 * (tests/published/handbook.yaml H154, common practice). More than that is a connection.
 */
const strayShare = 0.85;

/** Resistances above this show as OL on the usual meter (common practice, no source). */
const overRangeOhms = 40e6;

/**
 * Volts from the red lead to the black one, the meter's own load included. AC is read as RMS, without sign; dc
 * with its sign. `supplySpread` is how far the supplies may be from what was solved. The band is the sum of that
 * spread, of each part's tolerance taken one at a time, and of the meter's error: exact to first order in the
 * tolerances.
 */
export function expectVolts(
  view: View,
  red: number,
  black: number,
  meter: Instrument,
  supplySpread: Ratio,
  current?: 'ac' | 'dc',
): Expected {
  if (view.island(red) !== view.island(black)) return floating(view, red, black, meter);
  const ac = current === undefined ? driverHertz(view, red) !== 0 : current === 'ac';
  let square = 0;
  let up = 0;
  let down = 0;
  let signed = 0;
  for (const [frequency, phasor] of view.point.phasors.entries()) {
    if ((phasor.hertz === 0) === ac) continue;
    const open = view.volts(frequency, red, black);
    const inner = view.transfer(frequency, red, black, red, black);
    const loading = meter.inputOhms / Math.hypot(meter.inputOhms + inner.re, inner.im);
    const size = Math.hypot(open.re, open.im) * loading;
    const spread = impedanceSpread(view, frequency, red, black);
    square += size * size;
    up += spread.up * loading;
    down += spread.down * loading;
    signed += open.re * loading;
  }
  const nominal = ac ? Math.sqrt(square) : signed;
  const drift = Math.abs(nominal) * supplySpread;
  return driven(nominal, nominal - drift - down, nominal + drift + up, meter, 'V', ac);
}

/** Share of the highest supply voltage by which tolerances and drops together never move a reading. */
const farShare = 0.6;

/**
 * Whether volts shown are too far from what the leads have with no meter on them for any tolerance to make up: a first
 * look that saves the rest of the sum. It says so only where a high-impedance input loads nothing worth speaking of.
 */
export function isFarOff(view: View, red: number, black: number, meter: Instrument, shown: number): boolean {
  const { circuit, widestOhms } = view.point.plan;
  if (meter.input !== 'high-impedance' || widestOhms > meter.inputOhms / 10) return false;
  const open = rmsVolts(view, red, black);
  if (open === undefined) return false;
  let highest = 0;
  for (const supply of circuit.supplies.values()) highest = Math.max(highest, supply.volts);
  return Math.abs(Math.abs(shown) - open) > farShare * highest + displayError(meter.accuracy, shown);
}

function floating(view: View, red: number, black: number, meter: Instrument): Expected {
  const cause = [red, black].flatMap((node) => cutOff(view, node));
  const high =
    meter.input === 'low-impedance' ? lowInputStrayVolts : strayShare * highestVolts(view, red, black);
  return { kind: 'floating', high: high + displayError(meter.accuracy, high), unit: 'V', cause };
}

/** Amps a clamp around one conductor reads (RMS, without sign). */
export function expectAmps(view: View, branch: number, meter: Instrument, supplySpread: Ratio): Expected {
  const { amps = 0 } = branchFigures(view, branch);
  // Series parts decide a load's current: its tolerance is that of what the current flows through.
  const drift = amps * (supplySpread + branchTolerance(view));
  return driven(amps, amps - drift, amps + drift, meter, 'A', true);
}

/** The widest tolerance of any load: an honest bound for the current in a conductor. */
function branchTolerance(view: View): Ratio {
  return Math.max(0, ...view.point.plan.circuit.branches.map((branch) => branch.impedance.tolerance));
}

/** Ohms between the leads in a dead network, every parallel path included; `view` is solved at 0 Hz without power. */
export function expectOhms(view: View, red: number, black: number, meter: Instrument): Expected {
  const none: Expected = { kind: 'floating', high: 0, unit: 'ohm', cause: [] };
  if (view.island(red) !== view.island(black)) return none;
  const { re: ohms }: Complex = view.transfer(0, red, black, red, black);
  if (ohms > overRangeOhms) return none;
  const spread = ohms * branchTolerance(view);
  return driven(ohms, ohms - spread, ohms + spread, meter, 'ohm', true);
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
