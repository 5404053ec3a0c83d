import type { Path, Raw } from '../../text/text.js';
import { betaRange, type Curve, type CurvePoint, curveOhms, platinum } from '../curve.js';
import { plausible } from '../defaults.js';
import type { Draft } from '../draft.js';

/** A sensor's curve as the file writes it: a table, else one point with beta (thermistor) or alone (platinum). */
export function readCurve(
  draft: Draft,
  name: string,
  kind: 'thermistor' | 'rtd',
  raw: Raw.Curve,
  path: Path,
): Curve | undefined {
  const beside = (['resistance', 'at', 'beta'] as const).filter(
    (key) => raw.table !== undefined && raw[key] !== undefined,
  );
  for (const key of beside)
    draft.report('key-conflict', { part: name, keys: ['table', key] }, [...path, key], 'key');
  if (raw.table !== undefined) return readTable(draft, name, raw.table, [...path, 'table']);
  const ohms = draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance);
  const wanted = kind === 'rtd' ? ['resistance', 'table'] : ['resistance', 'beta', 'table'];
  if (raw.resistance === undefined || (kind === 'thermistor' && raw.beta === undefined)) {
    draft.report('key-needed', { part: name, keys: wanted }, path, 'key');
    return undefined;
  }
  const at = draft.quantity(raw.at, 'temperature', [...path, 'at'], plausible.temperature);
  if (kind === 'rtd') {
    if (raw.beta !== undefined)
      draft.report('key-conflict', { part: name, keys: ['kind: rtd', 'beta'] }, [...path, 'beta'], 'key');
    if (ohms === undefined) return undefined;
    const own = { kind: 'platinum', ohmsAtZero: 1, from: platinum.from, to: platinum.to } as const;
    if (at !== undefined && (at < own.from || at > own.to)) {
      const range = { from: String(own.from), to: String(own.to) };
      draft.report('curve-range', { sensor: name, condition: 'at', found: String(at), ...range }, [
        ...path,
        'at',
      ]);
      return undefined;
    }
    const share = curveOhms(own, at ?? 0);
    return { kind: 'platinum', ohmsAtZero: ohms / share, from: platinum.from, to: platinum.to };
  }
  const kelvin = draft.quantity(raw.beta, 'kelvin', [...path, 'beta'], plausible.beta);
  return ohms === undefined || kelvin === undefined
    ? undefined
    : { kind: 'beta', ohms, at: at ?? 25, kelvin, ...betaRange };
}

function readTable(
  draft: Draft,
  name: string,
  table: readonly (readonly [string | number, string | number])[],
  path: Path,
): Curve | undefined {
  const points: CurvePoint[] = [];
  let rising = true;
  for (const [index, each] of table.entries()) {
    if (each === undefined) continue;
    const where = [...path, index];
    const celsius = draft.quantity(each[0], 'temperature', [...where, 0], plausible.temperature);
    const ohms = draft.quantity(each[1], 'resistance', [...where, 1], plausible.resistance);
    if (celsius === undefined || ohms === undefined) continue;
    const last = points.at(-1);
    if (last !== undefined && celsius <= last.celsius) {
      draft.report('curve-order', { part: name, found: String(each[0]) }, [...where, 0]);
      rising = false;
    }
    points.push({ celsius, ohms });
  }
  const [first] = points;
  const last = points.at(-1);
  if (first === undefined || last === undefined || points.length < 2 || !rising) return undefined;
  return { kind: 'table', points, from: first.celsius, to: last.celsius };
}
