import { brokenTrouble, type QuantityTrouble, quantityOf, short } from './quantity.js';
import { splitQuantity } from './split-quantity.js';
import { dimensions, nearestSpelling } from './units.js';

type Measured = 'voltage' | 'current' | 'resistance';

/** What a meter showed, in V, A or ohm; `current` is AC or DC where the text says so. */
export type ReadingValue =
  | { readonly kind: 'blank' }
  | { readonly kind: 'voltage'; readonly volts: number; readonly current: 'ac' | 'dc' | undefined }
  | { readonly kind: 'current'; readonly amps: number; readonly current: 'ac' | 'dc' | undefined }
  | { readonly kind: 'resistance'; readonly ohms: number }
  /** More than the meter shows: no number at all. */
  | { readonly kind: 'over-range'; readonly of: Measured }
  | { readonly kind: 'unreadable'; readonly trouble: QuantityTrouble };

const measured: readonly Measured[] = ['voltage', 'current', 'resistance'];

/** How people say that nothing was measured; it is never 0. */
const blanks: ReadonlySet<string> = new Set(['', '-', 'n/a', 'not measured']);

/** A meter's sign for "beyond range", and a unit; on seven segments the letter O and the digit 0 look the same. */
const overRange = /^[O0]\.?L\.?(?:$|\s+(.*)$)/i;

/** Behind a unit of voltage or current, with or without a blank. */
const currentKind = /^(.*?)\s*(ac|dc)$/i;

const spellings = ['V', 'mV', 'V ac', 'V dc', 'A', 'mA', 'ohm', 'kohm', 'Mohm', 'OL'];

/**
 * The value of a reading. Its unit says what was measured, so a bare number is unreadable; "OL" alone is a
 * resistance (or continuity) beyond range, "OL V" a voltage. Null, "", "-", "n/a" and "not measured" are blank.
 */
export function readReadingValue(value: string | number | null): ReadingValue {
  const written = value === null ? '' : String(value).trim();
  if (blanks.has(written.toLowerCase())) return { kind: 'blank' };
  const over = overRange.exec(written);
  if (over !== null) return beyondRange(written, (over[1] ?? 'ohm').normalize('NFKC'));
  const split = splitQuantity(written);
  if ('kind' in split) return { kind: 'unreadable', trouble: brokenTrouble(split, 'voltage') };
  const { unit, current } = withoutCurrentKind(split.unit);
  const dimension = dimensionOf(unit, current);
  if (dimension === undefined) return unknownUnit(written, split.unit);
  const result = quantityOf({ ...split, unit }, dimension);
  if (!result.ok) return { kind: 'unreadable', trouble: result };
  if (dimension === 'resistance') return { kind: 'resistance', ohms: result.value };
  if (dimension === 'current') return { kind: 'current', amps: result.value, current };
  return { kind: 'voltage', volts: result.value, current };
}

function beyondRange(written: string, wholeUnit: string): ReadingValue {
  const { unit, current } = withoutCurrentKind(wholeUnit);
  const of = dimensionOf(unit, current);
  return of === undefined ? unknownUnit(written, wholeUnit) : { kind: 'over-range', of };
}

/** "V ac" and "VAC" are V, alternating. */
function withoutCurrentKind(unit: string): { unit: string; current: 'ac' | 'dc' | undefined } {
  const [, bare, kind] = currentKind.exec(unit) ?? [];
  if (bare === undefined || kind === undefined) return { unit, current: undefined };
  return { unit: bare, current: kind.toLowerCase() === 'ac' ? 'ac' : 'dc' };
}

function dimensionOf(unit: string, current: 'ac' | 'dc' | undefined): Measured | undefined {
  const dimension = measured.find((candidate) => dimensions[candidate].units.has(unit));
  return dimension === 'resistance' && current !== undefined ? undefined : dimension;
}

function unknownUnit(written: string, unit: string): ReadingValue {
  const nearest = nearestSpelling(unit, spellings);
  const data = { found: short(written), unit: short(unit), dimension: 'reading', units: spellings, nearest };
  return { kind: 'unreadable', trouble: { ok: false, code: 'quantity-unit', data } };
}
