import type { QuantityRange, Raw } from '../text/text.js';
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

/**
 * From where on a changed value is looked for as a fault, and where another one begins (judgement, no source): ohms a
 * bad connection has beyond the sound one's, ohms that are as good as open, and by how many times a part drifts.
 */
export const faultRange: Readonly<
  Record<'wornOhms' | 'leakOhms' | 'leastOhms' | 'mostOhms' | 'drift', number>
> = {
  wornOhms: 0.1,
  /** Through less than this a leak of a line trips something, or as good as. */
  leakOhms: 10,
  /** Of a sensor, whose sound ohms go with its temperature. */
  leastOhms: 1,
  mostOhms: 1e6,
  drift: 1e3,
};

/** No conductor is better than this: below a micro-ohm a value in a file is a slip. */
export const leastOhms: Ohms = 1e-6;
export const mostOhms: Ohms = 1e12;

/** Values outside these are slips of the pen or hostile; inside them every computation stays finite. */
export const plausible: Readonly<
  Record<
    | 'voltage'
    | 'resistance'
    | 'current'
    | 'power'
    | 'frequency'
    | 'gauge'
    | 'length'
    | 'capacitance'
    | 'inductance'
    | 'temperature'
    | 'beta',
    QuantityRange
  >
> = {
  voltage: { least: 1e-3, most: 1e6 },
  resistance: { least: leastOhms, most: mostOhms },
  current: { least: 1e-6, most: 1e6 },
  power: { least: 1e-6, most: 1e9 },
  frequency: { least: 0.01, most: 1e6 },
  /** mm2 */
  gauge: { least: 1e-3, most: 1e4 },
  /** m */
  length: { least: 1e-3, most: 1e5 },
  capacitance: { least: 1e-12, most: 1 },
  inductance: { least: 1e-9, most: 1e6 },
  /** degC */
  temperature: { least: -270, most: 2000 },
  /** K */
  beta: { least: 100, most: 20_000 },
};

export const defaultSupplyTolerance: Ratio = 0.1;

/** Resistivity of annealed copper at 20 degC: 1/58 ohm mm2/m, the IACS value (tests/published/handbook.yaml H054). */
export const copperOhmMetres: number = 1 / 58e6;

export type LoadKind = Raw.Load['kind'];

interface LoadDefaults {
  /** Share of rated voltage from which it does its job. */
  readonly worksFrom: Ratio;
  /**
   * Share of its usual voltage below which it works so weakly that a person may call it not working: an element with 83 %
   * of its volts has 70 % of its heat. A lamp is seen to be lit, a motor to turn (judgement, no source).
   */
  readonly weakBelow: Ratio;
  readonly tolerance: Ratio;
  readonly job: string | undefined;
}

export const loadDefaults: Readonly<Record<LoadKind, LoadDefaults>> = {
  'heating-element': { worksFrom: 0.5, weakBelow: 0.83, tolerance: 0.1, job: 'heats' },
  lamp: { worksFrom: 0.5, weakBelow: 0, tolerance: 0.1, job: 'lights' },
  motor: { worksFrom: 0.7, weakBelow: 0, tolerance: 0.15, job: 'turns' },
  solenoid: { worksFrom: 0.8, weakBelow: 0, tolerance: 0.1, job: 'pulls in' },
  igniter: { worksFrom: 0.8, weakBelow: 0.85, tolerance: 0.15, job: 'glows' },
  other: { worksFrom: 0.7, weakBelow: 0, tolerance: 0.1, job: undefined },
};

/**
 * A motor or solenoid whose plate alone is known: its winding's resistance, as an ohmmeter reads it, lies somewhere
 * below the resistance it runs with. These shares of it bound what is met (judgement, no source).
 */
export const windingShare: { readonly least: Ratio; readonly usual: Ratio; readonly most: Ratio } = {
  least: 0.05,
  usual: 0.25,
  most: 1,
};

/** Share of its rated current at which the power factor of a motor that stands still is taken, where none is given. */
export const lockedPowerFactor = 0.7;

/** A start winding has this share of the motor's rated voltage or more while it helps (common practice, no source). */
export const startWindingShare: Ratio = 0.3;

/**
 * Coil voltages as shares of the nominal one: picks up at 80 %, drops out below 15 % for ac coils (IEC 61810-1, from
 * memory); coil resistance to 10 % (common practice, no source).
 */
export const relayDefaults: {
  readonly picksUpAt: Ratio;
  readonly dropsOutBelow: Ratio;
  readonly tolerance: Ratio;
} = {
  picksUpAt: 0.8,
  dropsOutBelow: 0.15,
  tolerance: 0.1,
};

/**
 * A small control transformer: each winding loses 5 % of its voltage at full load, the magnetising current is 10 % of
 * the rated one, and where no rating is given it is 40 VA (common practice, no source).
 */
export const transformerDefaults: {
  readonly lossShare: Ratio;
  readonly magnetisingShare: Ratio;
  readonly voltAmperes: number;
} = { lossShare: 0.05, magnetisingShare: 0.1, voltAmperes: 40 };

/** Of the value of the kind (common practice, no source); class B platinum is far better (IEC 60751, from memory). */
export const passiveTolerance: Readonly<Record<Raw.Passive['kind'], Ratio>> = {
  resistor: 0.05,
  inductor: 0.1,
  capacitor: 0.1,
  thermistor: 0.05,
  rtd: 0.01,
};

/**
 * Multiples of its rating from which a protector opens for certain: the conventional tripping current of a breaker is
 * 1.45 (IEC 60898-1), the fusing current of a small fuse up to 2.1 (IEC 60269-1 and 60127-2), all from memory; an
 * overload is taken like a breaker. Below that it may carry on for long, and nothing is claimed.
 */
export const opensAtMultiple: Readonly<Record<Raw.Protector['kind'], number>> = {
  fuse: 2.1,
  breaker: 1.45,
  overload: 1.45,
  'thermal-fuse': Number.POSITIVE_INFINITY,
};

/**
 * Multiple of its rated current at which a transformer burns out, or a fuse inside it goes, before any number read
 * there would be of use (judgement, no source).
 */
export const transformerOpensAt = 5;

/** Electronic inputs and supplies are specified loosely. */
export const moduleTolerance: Ratio = 0.2;

/** Where the file says nothing of access, a point behind no cover. */
export const defaultAccessMinutes = 1;

interface Nominal {
  readonly system: string;
  /** Each line to the supply's own zero, and as the file states it. */
  readonly volts: Volts;
  readonly stated: Volts;
}

/** The voltages a person would call the nominal ones of a supply, smallest first; a delta has none to a neutral. */
function nominalVolts({ system, volts, stated }: Nominal): readonly Volts[] {
  if (system === 'split-phase') return [volts, 2 * volts];
  if (system === 'three-phase') return stated === volts ? [volts, Math.sqrt(3) * volts] : [stated];
  return [volts];
}

/** What a part that needs `atLeast` is meant for: the lowest nominal voltage of the supplies that is not below it. */
export function nominalFor(supplies: Iterable<Nominal>, atLeast: Volts | undefined): Volts {
  const all = [...supplies].flatMap(nominalVolts);
  const enough = all.filter((volts) => volts >= (atLeast ?? 0));
  return enough.length === 0 ? (atLeast ?? 0) : Math.min(...enough);
}
