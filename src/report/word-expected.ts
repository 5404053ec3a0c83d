import type { Json } from '../answers.js';
import type { Expected, Reading, Unsettled } from '../meter/meter.js';
import type { CutOff } from '../solve/solve.js';
import { clean } from './clean.js';
import { jsonNumber, showValue } from './number.js';

/** What should be read, in a few words. */
export function wordExpected(expected: Expected | Unsettled): string {
  switch (expected.kind) {
    case 'driven':
      return wordBand(showValue(expected.low, expected.unit), showValue(expected.high, expected.unit));
    case 'floating':
      return expected.unit === 'ohm' ? 'OL' : 'floating';
    case 'chattering':
      return 'never settles';
    case 'short':
      return 'short circuit';
    case 'overload':
      return `${clean(expected.protector)} opens`;
  }
}

/** `118.2 to 124.3 V`; each with its unit where they differ: `950.0 ohm to 1.05 kohm`. */
function wordBand(low: string, high: string): string {
  const [number = low, unit] = low.split(' ');
  return high.endsWith(` ${unit}`) ? `${number} to ${high}` : `${low} to ${high}`;
}

/** Why a place floats: the open contact, the broken wire. */
export function wordCause(cause: readonly CutOff[]): string {
  const byNode = new Map<string, string[]>();
  for (const { node, branch, why } of cause) {
    const list = byNode.get(node) ?? [];
    list.push(`${why} ${clean(branch)}`);
    byNode.set(node, list);
  }
  if (byNode.size === 0) return 'nothing ties it down';
  return [...byNode].map(([node, list]) => `${clean(node)} is cut off by ${list.join(' and ')}`).join('; ');
}

/** What the meter showed. */
export function wordShown({ shown }: Reading): string {
  if (shown.kind === 'blank') return 'not measured';
  return shown.kind === 'over-range' ? 'OL' : showValue(shown.value, shown.unit);
}

/** The `expected` of schemas/report.schema.json; null where nothing would hold still to be read. */
export function expectedJson(expected: Expected): Json.Expected;
export function expectedJson(expected: Expected | Unsettled): Json.Shown;
export function expectedJson(expected: Expected | Unsettled): Json.Shown {
  if (expected.kind === 'driven') {
    const { kind, low, nominal, high, unit } = expected;
    return { kind, low: jsonNumber(low), nominal: jsonNumber(nominal), high: jsonNumber(high), unit };
  }
  if (expected.kind !== 'floating') return null;
  const { kind, likely, high, unit, cause } = expected;
  return {
    kind,
    likely: jsonNumber(likely),
    high: jsonNumber(high),
    unit,
    cause: cause.length === 0 ? null : wordCause(cause),
  };
}

/** The `measured` of schemas/report.schema.json; null where nothing was written down. */
export function measuredJson({ shown }: Reading): Json.Measured {
  if (shown.kind === 'blank') return null;
  return { value: shown.kind === 'over-range' ? 'OL' : shown.value, unit: shown.unit };
}
