import type { RatedProblem } from '../show-problem.js';

/** One circuit file looked at: its problems, and how much was done where it could be solved. */
export interface ValidatedFile {
  readonly path: string;
  /** The text itself could not be read as a file of its kind. */
  readonly unreadable: boolean;
  readonly problems: readonly RatedProblem[];
  /** How many problems there are beyond those listed; all are errors. */
  readonly more: number;
  /** What was found too, and stands beside a remark in the file that allows it. */
  readonly allowed: readonly AllowedProblem[];
  /** Absent when the circuit could not be built. */
  readonly done?: {
    readonly parts: number;
    readonly nodes: number;
    readonly states: number;
    readonly complete: boolean;
    readonly expectations: readonly { readonly index: number; readonly holds: boolean }[];
  };
}

export interface AllowedProblem extends RatedProblem {
  /** As the file words it. */
  readonly reason: string;
}

/** What `validate` found, before it is known in which form that is wanted. */
export interface ValidateAnswer {
  readonly files: readonly ValidatedFile[];
  /** Arguments that led to no file, and files that could not be opened. */
  readonly troubles: readonly { readonly path: string; readonly reason: string }[];
  /** The most warnings that pass, over all files; undefined where any number does. */
  readonly mostWarnings: number | undefined;
}

export type ValidateVerdict = 'valid' | 'invalid' | 'unusable';

/** The counts that every form of the answer shows. */
export interface ValidateCounts {
  readonly files: number;
  readonly valid: number;
  readonly invalid: number;
  readonly troubles: number;
  readonly errors: number;
  readonly warnings: number;
  readonly allowed: number;
}

export function isValid(file: ValidatedFile): boolean {
  return file.more === 0 && file.problems.every(({ severity }) => severity !== 'error');
}

export function countsOf({ files, troubles }: ValidateAnswer): ValidateCounts {
  const valid = files.filter(isValid).length;
  const sum = (of: (file: ValidatedFile) => number) => files.reduce((total, file) => total + of(file), 0);
  return {
    files: files.length,
    valid,
    invalid: files.length - valid,
    troubles: troubles.length,
    errors: sum((file) => file.more + problemsOf(file, 'error').length),
    warnings: sum((file) => problemsOf(file, 'warning').length),
    allowed: sum((file) => file.allowed.length),
  };
}

export function problemsOf(file: ValidatedFile, severity: RatedProblem['severity']): readonly RatedProblem[] {
  return file.problems.filter((each) => each.severity === severity);
}

export function hasTooManyWarnings(answer: ValidateAnswer): boolean {
  return answer.mostWarnings !== undefined && countsOf(answer).warnings > answer.mostWarnings;
}

/** The one verdict that all forms of the answer, and the exit status, go by. */
export function verdictOf(answer: ValidateAnswer): ValidateVerdict {
  if (answer.troubles.length > 0 || answer.files.some((file) => file.unreadable)) return 'unusable';
  return answer.files.every(isValid) && !hasTooManyWarnings(answer) ? 'valid' : 'invalid';
}
