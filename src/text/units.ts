import { nearestName } from './suggest.js';

export type Dimension =
  | 'voltage'
  | 'current'
  | 'resistance'
  | 'power'
  | 'apparent-power'
  | 'frequency'
  | 'capacitance'
  | 'inductance'
  | 'temperature'
  | 'ratio'
  | 'length'
  | 'gauge'
  | 'time'
  | 'kelvin';

/** A number of some unit, in the base unit of its dimension. */
export type ToBase = (number: number) => number;

export interface DimensionRule {
  /** The base unit as people write it: V, A, ohm, W, VA, Hz, F, H, degC, %, m, mm2, min. */
  readonly base: string;
  /** What one `base` is as a value: 0.01 for the percent of a ratio, else 1. */
  readonly baseValue: number;
  /** Exact spellings, after Unicode NFKC. */
  readonly units: ReadonlyMap<string, ToBase>;
  /** The spellings to name when a unit is not known. */
  readonly spellings: readonly string[];
  readonly example: string;
  /** Spellings that are none here, and what people mean by them. */
  readonly meant: Readonly<Record<string, string>>;
  /** The smallest value that has a meaning. */
  readonly least: number | undefined;
  /** Whether a bare number can mean one thing only. */
  readonly bare: boolean;
}

/** SI prefixes (SI Brochure, 9th edition, table 7); u stands for the micro sign where a keyboard has none. */
const powers: Readonly<Record<string, number>> = { p: -12, n: -9, u: -6, m: -3, k: 3, M: 6, G: 9 };

/** NFKC turns the micro sign U+00B5 into Greek mu, and the ohm sign U+2126 into Greek omega. */
const mu = '\u03BC';
const omega = '\u03A9';

/** Division by a whole power of ten rounds once, where multiplication by its inverse rounds twice. */
function scaledBy(power: number): ToBase {
  const factor = 10 ** Math.abs(power);
  return power < 0 ? (number) => number / factor : (number) => number * factor;
}

/**
 * Units that take prefixes, and which: those met in this trade and no others, so that MF or MV is a question to the
 * person and never a value.
 */
function prefixed(units: readonly string[], prefixes: string): Map<string, ToBase> {
  const known = new Map<string, ToBase>();
  for (const unit of units) {
    known.set(unit, scaledBy(0));
    for (const prefix of prefixes) {
      const toBase = scaledBy(powers[prefix] ?? 0);
      known.set(`${prefix}${unit}`, toBase);
      if (prefix === 'u') known.set(`${mu}${unit}`, toBase);
    }
  }
  return known;
}

/** A dimension whose values may not be negative unless `least` says otherwise. */
function rule(
  base: string,
  units: ReadonlyMap<string, ToBase>,
  example: string,
  special: Partial<DimensionRule> = {},
): DimensionRule {
  const spellings = [...units.keys()].filter((unit) => !unit.startsWith(mu));
  return { base, units, example, spellings, baseValue: 1, meant: {}, least: 0, bare: true, ...special };
}

const signed = { least: undefined };

const celsius: ToBase = (number) => number;
const fahrenheit: ToBase = (number) => ((number - 32) * 5) / 9;

/**
 * Every dimension a file can hold a quantity of. Foot and inch are exactly 0.3048 m and 0.0254 m (NIST SP 811,
 * B.8); degF and the zero of absolute temperature by the same, B.9, from memory.
 */
export const dimensions: Readonly<Record<Dimension, DimensionRule>> = {
  voltage: rule('V', prefixed(['V'], 'umk'), '120 V', signed),
  current: rule('A', prefixed(['A'], 'numk'), '10.2 A', signed),
  resistance: rule('ohm', prefixed(['ohm', omega, 'ohms'], 'umkMG'), '23.4 ohm'),
  power: rule('W', prefixed(['W'], 'umkM'), '1.5 kW', signed),
  'apparent-power': rule('VA', prefixed(['VA'], 'mkM'), '40 VA'),
  frequency: rule('Hz', prefixed(['Hz'], 'mkMG'), '60 Hz'),
  // MFD and MF on a capacitor are microfarads (common practice, no source), and mF was used for them too, so mF is
  // no spelling here: it could be a thousand times off.
  capacitance: rule('F', prefixed(['F'], 'pnu'), '22 uF', { meant: { MFD: 'uF', mfd: 'uF', MF: 'uF' } }),
  inductance: rule('H', prefixed(['H'], 'num'), '15 mH'),
  temperature: rule(
    'degC',
    new Map([
      ['degC', celsius],
      ['degF', fahrenheit],
      ['\u00B0C', celsius],
      ['\u00B0F', fahrenheit],
    ]),
    '350 degF',
    { least: -273.15 },
  ),
  ratio: rule('%', new Map([['%', scaledBy(-2)]]), '10 %', { baseValue: 0.01 }),
  length: rule(
    'm',
    new Map<string, ToBase>([
      ['m', scaledBy(0)],
      ['cm', scaledBy(-2)],
      ['mm', scaledBy(-3)],
      ['ft', (number) => number * 0.3048],
      ['in', (number) => number * 0.0254],
    ]),
    '0.9 m',
  ),
  /** A gauge in AWG is read by awg.ts; a bare 18 could be either, and they are far apart. */
  gauge: rule('mm2', new Map([['mm2', scaledBy(0)]]), '18 AWG', { spellings: ['AWG', 'mm2'], bare: false }),
  time: rule(
    'min',
    new Map<string, ToBase>([
      ['s', (number) => number / 60],
      ['min', scaledBy(0)],
      ['h', (number) => number * 60],
    ]),
    '4 min',
  ),
  /** A difference of temperatures, as in a thermistor's beta. */
  kelvin: rule('K', new Map([['K', scaledBy(0)]]), '3950 K'),
};

/**
 * The known spelling a unit most likely stands for. Never one that turns m into M or back: a hint a thousand million
 * times off is worse than none.
 */
export function nearestUnit(unit: string, dimension: Dimension): string | undefined {
  const { meant, spellings } = dimensions[dimension];
  if (Object.hasOwn(meant, unit)) return meant[unit];
  return nearestSpelling(unit, spellings);
}

/** The same among any spellings. */
export function nearestSpelling(unit: string, spellings: readonly string[]): string | undefined {
  const scale = unit.charAt(0);
  const fitting =
    scale === 'm' || scale === 'M' ? spellings.filter((known) => known.startsWith(scale)) : spellings;
  return nearestName(unit, fitting);
}
