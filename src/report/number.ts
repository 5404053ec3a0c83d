import type { Unit } from '../meter/meter.js';

/** A value as a handheld meter shows it: volts and ohms to a tenth, amps to a hundredth; never "-0.0". */
export function showValue(value: number, unit: Unit | 'W'): string {
  if (unit === 'ohm') return showOhms(value);
  return `${fixed(value, unit === 'A' ? 2 : 1)} ${unit}`;
}

function showOhms(ohms: number): string {
  if (ohms >= 1e6) return `${fixed(ohms / 1e6, 2)} Mohm`;
  return ohms >= 1e3 ? `${fixed(ohms / 1e3, 2)} kohm` : `${fixed(ohms, 1)} ohm`;
}

function fixed(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? (0).toFixed(digits) : text;
}

/** A share as whole percent; never 100 %, for nothing is certain, and "under 1 %" rather than 0. */
export function showWeight(weight: number): string {
  const percent = Math.min(99, Math.round(weight * 100));
  return percent === 0 ? '<1 %' : `${percent} %`;
}

/** A share in percent to a tenth: `1.3 %`, `10 %`. */
export function fixedPercent(share: number): string {
  return `${Number((share * 100).toFixed(1))} %`;
}

/** A number for JSON: full precision, with the noise below 1e-9 of a solver's zero taken off. */
export function jsonNumber(value: number): number {
  return Math.abs(value) < 1e-9 ? 0 : Number(value.toPrecision(12));
}

/** `1 reading`, `2 readings`. */
export function count(number: number, noun: string): string {
  return `${number} ${noun}${number === 1 ? '' : 's'}`;
}

/** Amps of which only the order matters: a short circuit's. */
export function roughAmps(amps: number): string {
  return `${Number(amps.toPrecision(2))} A`;
}
