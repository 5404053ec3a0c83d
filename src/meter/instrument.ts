import type { Ohms, Ratio } from '../circuit/circuit.js';

export type Input = 'high-impedance' | 'low-impedance';

/** A meter: what its input does to the circuit, and how far its display may be off. */
export interface Instrument {
  readonly input: Input;
  readonly inputOhms: Ohms;
  readonly accuracy: Accuracy;
}

/** Plus or minus (share of the reading + counts of the last digit): the usual form of a meter's statement. */
export interface Accuracy {
  readonly share: Ratio;
  readonly counts: number;
  /** What one count is, in the unit read (V, A or ohm). */
  readonly resolution: number;
}

/** Usual input resistances (tests/published/handbook.yaml H144, H145: common practice, no source). */
const inputOhms: Readonly<Record<Input, Ohms>> = { 'high-impedance': 10e6, 'low-impedance': 3e3 };

const usualAccuracy: Accuracy = { share: 0.01, counts: 3, resolution: 0.1 };

/** The meter of a bag that says nothing of it: 10 Mohm, 1 % + 3 counts of 0.1. */
export const usualInstrument: Instrument = instrument('high-impedance');

export function instrument(input: Input, accuracy: Accuracy = usualAccuracy): Instrument {
  return { input, inputOhms: inputOhms[input], accuracy };
}

/** How far the display may be from `value`. */
export function displayError(accuracy: Accuracy, value: number): number {
  return Math.abs(value) * accuracy.share + accuracy.counts * accuracy.resolution;
}
