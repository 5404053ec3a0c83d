import type { ProblemOf, Severity } from '../text/text.js';

/** Codes of this floor: trouble in exercises and in records of practice. */
export interface PracticeProblemData {
  /** What is sealed does not open with what stands around it. */
  'exercise-seal': Record<string, never>;
  /** What was planted is no fault of the circuit in it: written by another version. */
  'exercise-fault': Record<string, never>;
  /** A record that belongs to another exercise. */
  'record-exercise': Record<string, never>;
  /** A line that is not as it was written, or that stands where it did not. */
  'record-line': { readonly act: number };
  /** A line that the exercise does not give again. */
  'record-replay': { readonly act: number; readonly found: string; readonly expected: string };
}

export type PracticeProblem = ProblemOf<PracticeProblemData>;

export const practiceSeverities: Readonly<Record<keyof PracticeProblemData, Severity>> = {
  'exercise-seal': 'error',
  'exercise-fault': 'error',
  'record-exercise': 'error',
  'record-line': 'error',
  'record-replay': 'error',
};
