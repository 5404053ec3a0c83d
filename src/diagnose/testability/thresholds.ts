import { problemAt } from '../../text/text.js';
import type { AuditProblem } from '../problems.js';
import type { Tally, TestabilityAnswer } from './testability.js';

/** Shares of all faults, in percent, that somebody wants at least. */
export interface Thresholds {
  readonly detectable?: number;
  readonly isolable?: number;
}

export interface HeldThreshold {
  readonly of: keyof Thresholds;
  readonly percent: number;
  readonly found: number;
  /** The least number of faults that is such a share. */
  readonly needed: number;
  readonly holds: boolean;
}

/** A product such as 97.3 x 1000 may come out a hair above the whole number it is. */
const roundingShare = 1e-12;

/** Each threshold given, in whole faults: a share that is rounded for show decides nothing. */
export function holdThresholds(tally: Tally, thresholds: Thresholds): readonly HeldThreshold[] {
  return (['detectable', 'isolable'] as const).flatMap((of) => {
    const percent = thresholds[of];
    if (percent === undefined) return [];
    const needed = Math.ceil(((percent * tally.faults) / 100) * (1 - roundingShare));
    const found = tally[of];
    return { of, percent, found, needed, holds: found >= needed };
  });
}

/** The thresholds that do not hold, as problems of the circuit file as a whole. */
export function testabilityProblems(
  { circuit, tally }: TestabilityAnswer,
  thresholds: Thresholds,
): readonly AuditProblem[] {
  return holdThresholds(tally, thresholds)
    .filter(({ holds }) => !holds)
    .map(({ of, percent, found, needed }) => {
      const data = { of, percent, found, needed, faults: tally.faults };
      return problemAt(circuit.document, 'testability-low', data, ['title']);
    });
}
