import { readAwg } from './awg.js';
import type { TextProblem, TextProblemData } from './problems.js';
import type { Spot } from './source.js';
import { type BrokenNumber, type SplitQuantity, splitQuantity } from './split-quantity.js';
import { type Dimension, dimensions, nearestUnit } from './units.js';

export type { Dimension } from './units.js';

type QuantityCode = 'quantity-number' | 'quantity-comma' | 'quantity-unit' | 'quantity-range';

/** Why a text is not a quantity: a problem without a place (`quantityProblem` gives it one). */
export type QuantityTrouble = {
  readonly [Code in QuantityCode]: {
    readonly ok: false;
    readonly code: Code;
    readonly data: TextProblemData[Code];
  };
}[QuantityCode];

export type QuantityResult = { readonly ok: true; readonly value: number } | QuantityTrouble;

/** Bounds in the base unit of the dimension. */
export interface QuantityRange {
  readonly least?: number;
  readonly most?: number;
  /** The value must lie above `least`. */
  readonly exclusiveLeast?: boolean;
}

/**
 * A quantity as a person writes it, finite, in the base unit of its dimension: V, A, ohm, W, VA, Hz, F, H, degC,
 * ratio (10 % is 0.1, and so is a bare 10), m, mm2, min. A bare number is in that unit; a gauge always needs one.
 * Values below what has a meaning (a negative resistance) are refused, and those outside `range`. Units and
 * prefixes are the closed, case-sensitive table of units.ts; nothing is guessed.
 */
export function readQuantity(
  value: string | number,
  dimension: Dimension,
  range: QuantityRange = {},
): QuantityResult {
  const split = splitQuantity(String(value));
  return 'kind' in split ? brokenTrouble(split, dimension) : quantityOf(split, dimension, range);
}

/** The quantity of a text already split, for those who look at its unit first. */
export function quantityOf(
  { written, number, unit }: SplitQuantity,
  dimension: Dimension,
  range: QuantityRange = {},
): QuantityResult {
  const rule = dimensions[dimension];
  if (dimension === 'gauge' && written.endsWith('AWG')) {
    const area = readAwg(written);
    return area === undefined ? numberTrouble(written, dimension) : inRange(written, area, dimension, range);
  }
  const toBase = unit === '' && rule.bare ? rule.units.get(rule.base) : rule.units.get(unit);
  if (toBase === undefined) return unitTrouble(written, unit, dimension);
  const base = toBase(number);
  return Number.isFinite(base) ? inRange(written, base, dimension, range) : numberTrouble(written, dimension);
}

/** Gives the trouble of a quantity its place. */
export function quantityProblem(trouble: QuantityTrouble, at: Spot): TextProblem {
  return { code: trouble.code, data: trouble.data, at } as TextProblem;
}

/** The trouble of a text whose number is broken; `dimension` says what was wanted. */
export function brokenTrouble({ kind, written, fix }: BrokenNumber, dimension: Dimension): QuantityTrouble {
  if (kind === 'number') return numberTrouble(written, dimension, fix);
  return { ok: false, code: 'quantity-comma', data: { found: short(written), fix: short(fix ?? '') } };
}

function numberTrouble(written: string, dimension: Dimension, fix?: string): QuantityTrouble {
  const data = { found: short(written), dimension, example: short(fix ?? dimensions[dimension].example) };
  return { ok: false, code: 'quantity-number', data };
}

function unitTrouble(written: string, unit: string, dimension: Dimension): QuantityTrouble {
  const units = dimensions[dimension].spellings;
  const nearest = nearestUnit(unit, dimension);
  return {
    ok: false,
    code: 'quantity-unit',
    data: { found: short(written), unit: short(unit), dimension, units, nearest },
  };
}

function inRange(written: string, value: number, dimension: Dimension, range: QuantityRange): QuantityResult {
  const least = range.least ?? dimensions[dimension].least;
  const exclusive = range.exclusiveLeast === true;
  const low = least !== undefined && (value < least || (exclusive && value === least));
  const high = range.most !== undefined && value > range.most;
  // Adding zero turns -0 into 0.
  if (!low && !high) return { ok: true, value: value + 0 };
  const data = {
    found: short(written),
    dimension,
    least: inBaseUnit(least, dimension),
    most: inBaseUnit(range.most, dimension),
    exclusiveLeast: exclusive,
  };
  return { ok: false, code: 'quantity-range', data };
}

function inBaseUnit(bound: number | undefined, dimension: Dimension): string | undefined {
  if (bound === undefined) return undefined;
  const { base, baseValue } = dimensions[dimension];
  const value = Number((bound / baseValue).toPrecision(12));
  const size = Math.abs(value);
  // 1e12 ohm is read at a glance, 1000000000000 ohm is not.
  const shown =
    size !== 0 && (size >= 1e6 || size < 1e-3) ? value.toExponential().replace('e+', 'e') : String(value);
  return `${shown} ${base}`;
}

/** A piece of the file short enough for a message. */
export function short(text: string): string {
  return text.length > 60 ? `${text.slice(0, 59)}…` : text;
}
