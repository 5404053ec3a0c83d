import type { Document, Path } from './document.js';
import type { Spot } from './source.js';

/** A second place that belongs to a problem, with its part in it ("first defined here"). */
export interface Related extends Spot {
  readonly role: string;
}

/**
 * Trouble in what a person wrote. `code` names it, `data` holds what was found and what was expected; the
 * sentence is written in report/word-problem.ts and nowhere else. Each floor declares a map from its codes to
 * the data they carry and gets its union of problems from it.
 */
export type ProblemOf<DataByCode> = {
  [Code in keyof DataByCode]: {
    readonly code: Code;
    readonly data: DataByCode[Code];
    readonly at: Spot;
    readonly related?: readonly Related[];
  };
}[keyof DataByCode];

export type Severity = 'error' | 'warning';

interface AnyProblem {
  readonly code: string;
  readonly at: Spot;
}

/** A problem at the key or the value a path of a document leads to. */
export function problemAt<Code extends string, Data>(
  document: Document,
  code: Code,
  data: Data,
  path: Path,
  part: 'key' | 'value' = 'value',
): { readonly code: Code; readonly data: Data; readonly at: Spot } {
  return { code, data, at: document.locate(path, part) };
}

/** Order of report: by place in the file, then by code. */
export function byPlace(a: AnyProblem, b: AnyProblem): number {
  if (a.at.span.start !== b.at.span.start) return a.at.span.start - b.at.span.start;
  if (a.code !== b.code) return a.code < b.code ? -1 : 1;
  return 0;
}
