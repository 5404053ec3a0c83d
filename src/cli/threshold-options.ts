import type { Thresholds } from '../diagnose/diagnose.js';

/** Shares of all faults that must show, or be told apart, in percent. */
export interface ThresholdOptions {
  readonly minDetectable?: number;
  readonly minIsolable?: number;
}

export function thresholdsOf({ minDetectable, minIsolable }: ThresholdOptions): Thresholds {
  return {
    ...(minDetectable === undefined ? {} : { detectable: minDetectable }),
    ...(minIsolable === undefined ? {} : { isolable: minIsolable }),
  };
}
