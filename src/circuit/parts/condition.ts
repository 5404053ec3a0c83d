import type { Path, Raw } from '../../text/text.js';
import { nearestName, readQuantity } from '../../text/text.js';
import type { Draft } from '../draft.js';
import type { Condition } from '../model.js';

const numberForm = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?)\s*(\S.*)?$/;

/** A number in a condition's unit, from a bare number or text such as `250 degC`; undefined where it is neither. */
export function readConditionNumber(value: unknown, unit: string | undefined): number | undefined {
  if (typeof value === 'number') return Number.isFinite(value) ? value : undefined;
  if (typeof value !== 'string') return undefined;
  if (unit === 'degC') {
    const read = readQuantity(value, 'temperature');
    return read.ok ? read.value : undefined;
  }
  const match = numberForm.exec(value.trim());
  if (match === null || (match[2] !== undefined && match[2].trim() !== unit)) return undefined;
  const number = Number(match[1]);
  return Number.isFinite(number) ? number : undefined;
}

/** The same for a key of a circuit file, with a problem where it can't be read. */
export function conditionNumber(
  draft: Draft,
  value: string | number | undefined,
  unit: string | undefined,
  path: Path,
): number | undefined {
  if (value === undefined) return undefined;
  const number = readConditionNumber(value, unit);
  if (number === undefined) {
    const expected = unit === undefined ? 'a number' : `a number in ${unit}`;
    draft.report('state-value', { key: String(path.at(-1)), found: String(value), expected }, path);
  }
  return number;
}

/** Units conditions are usually in; any other word is taken as it is. */
const usualUnits = [
  'degC',
  'degF',
  '%',
  'kPa',
  'bar',
  'mbar',
  'mm',
  'cm',
  'litre',
  'rpm',
  'min',
  'kg',
  'lux',
];

/** A unit that is one slip from a usual one is told, and read as that one, so that no value is told for it again. */
function knownUnit(draft: Draft, unit: string | undefined, path: Path): string | undefined {
  if (unit === undefined || usualUnits.includes(unit)) return unit;
  const nearest = unit.length < 4 ? undefined : nearestName(unit, usualUnits);
  if (nearest === undefined) return unit;
  draft.report('state-value', { key: 'unit', found: unit, expected: nearest }, path);
  return nearest;
}

/** A physical quantity that operates contacts. */
export function addCondition(draft: Draft, name: string, raw: Raw.Condition, path: Path): void {
  if (raw.values !== undefined) {
    const values = raw.values.map(String);
    const rest = String(raw.rest);
    if (!values.includes(rest)) draft.unknown('value', rest, values, [...path, 'rest'], name);
    draft.conditions.set(name, { name, rest, values, path });
    return;
  }
  const unit = knownUnit(draft, raw.unit, [...path, 'unit']);
  const rest = conditionNumber(draft, raw.rest, unit, [...path, 'rest']) ?? 0;
  const from = conditionNumber(draft, raw.from, unit, [...path, 'from']);
  const to = conditionNumber(draft, raw.to, unit, [...path, 'to']);
  const condition: Condition = {
    name,
    rest,
    ...(unit === undefined ? {} : { unit }),
    ...(from === undefined ? {} : { from }),
    ...(to === undefined ? {} : { to }),
    path,
  };
  draft.conditions.set(name, condition);
}
