import type { Path, Raw } from '../../text/text.js';
import type { OhmRange } from '../branch.js';
import { leastOhms, mostOhms, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Ohms, Ratio } from '../units.js';

/** Real and imaginary part, inductive above zero, at the circuit's own frequency. */
export interface Reactive {
  readonly ohms: Ohms;
  readonly reactanceOhms: Ohms;
}

/** `{ resistance, reactance }` as the file writes it. */
export function statedImpedance(draft: Draft, raw: Raw.Impedance, path: Path): Reactive {
  const ohms = draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance);
  const reactance = draft.quantity(raw.reactance, 'resistance', [...path, 'reactance'], {
    least: 0,
    most: mostOhms,
  });
  // A coil of hardly any copper is given by its reactance alone.
  return {
    ohms: ohms ?? (raw.resistance === undefined && reactance ? leastOhms : 1),
    reactanceOhms: reactance ?? 0,
  };
}

/** What an ohmmeter may find of a nominal resistance. */
export function within(ohms: number, tolerance: Ratio): OhmRange {
  return { ohms, least: ohms * (1 - tolerance), most: ohms * (1 + tolerance) };
}

/** Z = V/I at power factor cos(phi): R = Z cos, X = Z sin; no winding is without any copper. */
export function impedanceOf(volts: number, amps: number, cosine: number): Reactive {
  const size = volts / amps;
  return {
    ohms: Math.max(leastOhms, size * cosine),
    reactanceOhms: size * Math.sqrt(1 - cosine * cosine),
  };
}
