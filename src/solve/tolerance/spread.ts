import type { Ratio } from '../../circuit/circuit.js';

/** What a reading can be over part tolerances and supply voltages; with its sign where the network is real. */
export interface Spread {
  readonly low: number;
  readonly high: number;
}

/** How far each supply may be from what was solved, by name. */
export type SupplySpreads = ReadonlyMap<string, Ratio>;

/** A display of ac has no sign: a reading that may pass through nothing begins there. */
export function magnitudes({ low, high }: Spread): Spread {
  if (low <= 0 && high >= 0) return { low: 0, high: Math.max(high, -low) };
  return low > 0 ? { low, high } : { low: -high, high: -low };
}
