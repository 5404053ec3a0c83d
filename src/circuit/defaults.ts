import type { QuantityRange } from '../text/text.js';
import type { Ohms, Ratio, Volts } from './units.js';

/**
 * Values a circuit file need not state. All are common practice, no source, unless a source is named.
 * A repair never hangs on them: they are small beside any load, and a file may state its own.
 */
export const defaultOhms: Readonly<
  Record<'contact' | 'pin' | 'protector' | 'wire' | 'supplyLeg' | 'shorted', Ohms>
> = {
  contact: 0.02,
  pin: 0.005,
  protector: 0.05,
  wire: 0.01,
  supplyLeg: 0.05,
  /** A winding or element burnt together, or a contact welded shut. */
  shorted: 0.001,
};

/** No conductor is better than this: below a micro-ohm a value in a file is a slip. */
export const leastOhms: Ohms = 1e-6;
export const mostOhms: Ohms = 1e12;

/** Values outside these are slips of the pen or hostile; inside them every computation stays finite. */
export const plausible: Readonly<
  Record<'voltage' | 'current' | 'power' | 'frequency' | 'gauge' | 'length', QuantityRange>
> = {
  voltage: { least: 1e-3, most: 1e6 },
  current: { least: 1e-6, most: 1e6 },
  power: { least: 1e-6, most: 1e9 },
  frequency: { least: 0.01, most: 1e6 },
  /** mm2 */
  gauge: { least: 1e-3, most: 1e4 },
  /** m */
  length: { least: 1e-3, most: 1e5 },
};

export const defaultSupplyTolerance: Ratio = 0.1;

/** Resistivity of annealed copper at 20 degC: 1/58 ohm mm2/m, the IACS value (tests/published/handbook.yaml H054). */
export const copperOhmMetres: number = 1 / 58e6;

export type LoadKind = 'heating-element' | 'lamp' | 'motor' | 'solenoid' | 'igniter' | 'other';

interface LoadDefaults {
  /** Share of rated voltage from which it does its job. */
  readonly worksFrom: Ratio;
  readonly tolerance: Ratio;
  readonly job: string | undefined;
}

export const loadDefaults: Readonly<Record<LoadKind, LoadDefaults>> = {
  'heating-element': { worksFrom: 0.5, tolerance: 0.1, job: 'heats' },
  lamp: { worksFrom: 0.5, tolerance: 0.1, job: 'lights' },
  motor: { worksFrom: 0.7, tolerance: 0.15, job: 'turns' },
  solenoid: { worksFrom: 0.8, tolerance: 0.1, job: 'pulls in' },
  igniter: { worksFrom: 0.8, tolerance: 0.15, job: 'glows' },
  other: { worksFrom: 0.7, tolerance: 0.1, job: undefined },
};

/** Electronic inputs and supplies are specified loosely. */
export const moduleTolerance: Ratio = 0.2;

/** Where the file says nothing of access, a point behind no cover. */
export const defaultAccessMinutes = 1;

/** The voltages a person would call the nominal ones of a supply, smallest first. */
export function nominalVolts(system: string, volts: Volts): readonly Volts[] {
  if (system === 'split-phase') return [volts, 2 * volts];
  if (system === 'three-phase') return [volts, Math.sqrt(3) * volts];
  return [volts];
}
