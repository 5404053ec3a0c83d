import { magnitudes } from '../solve/solve.js';
import type { Expected } from './expected.js';

/**
 * Whether one display could be shown in both cases: their bands, which hold tolerances and the meter's error, have a
 * value in common. This does not carry over: a may read like b, and b like c, where a and c never do.
 */
export function couldReadAlike(a: Expected, b: Expected): boolean {
  const signed = isSigned(a) && isSigned(b);
  const [first, second] = [rangeOf(a, signed), rangeOf(b, signed)];
  return Math.max(first.low, second.low) <= Math.min(first.high, second.high);
}

function isSigned(expected: Expected): boolean {
  return expected.kind === 'driven' && expected.signed === true;
}

/** A sign tells only where both have one. A floating place may show anything up to its most. */
function rangeOf(expected: Expected, signed: boolean): { readonly low: number; readonly high: number } {
  if (expected.kind === 'floating') return { low: 0, high: expected.high };
  return signed ? expected : magnitudes(expected);
}
