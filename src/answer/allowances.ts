import { allowableCircuitCodes } from '../circuit/circuit.js';
import { allowableAuditCodes } from '../diagnose/diagnose.js';
import type { AllowedProblem, Problem, RatedProblem } from '../report/report.js';
import { type Allowance, nearestName, readAllowances, type Source, type TextProblem } from '../text/text.js';
import { severities } from './opened.js';

const allowable: ReadonlySet<string> = new Set([...allowableCircuitCodes, ...allowableAuditCodes]);

/** Whether a remark in the file can let a finding of this code pass. */
export function isAllowable(code: Problem['code']): boolean {
  return allowable.has(code);
}

/** The remarks of a circuit's files that let something pass, and what is wrong with others. */
export function readRemarks(sources: readonly Source[]): {
  readonly allowances: readonly Allowance[];
  readonly problems: readonly TextProblem[];
} {
  const read = sources.map(readAllowances);
  const all = read.flatMap(({ allowances }) => allowances);
  const misused = all.flatMap(({ code, at }): TextProblem[] => {
    if (allowable.has(code)) return [];
    if (Object.hasOwn(severities, code)) return [{ code: 'allow-refused', data: { found: code }, at }];
    const nearest = nearestName(code, allowable);
    return [{ code: 'allow-unknown', data: { found: code, nearest }, at }];
  });
  return {
    allowances: all.filter(({ code }) => allowable.has(code)),
    problems: [...read.flatMap(({ problems }) => problems), ...misused],
  };
}

/** Findings apart from those that a remark lets pass. */
export function sift(
  problems: readonly RatedProblem[],
  allowances: readonly Allowance[],
): { readonly kept: readonly RatedProblem[]; readonly allowed: readonly AllowedProblem[] } {
  const kept: RatedProblem[] = [];
  const allowed: AllowedProblem[] = [];
  for (const each of problems) {
    const by = allowances.find((allowance) => isAbout(allowance, each.problem));
    if (by === undefined) kept.push(each);
    else allowed.push({ ...each, reason: by.reason });
  }
  return { kept, allowed };
}

/** Remarks that let nothing pass. */
export function unused(
  allowances: readonly Allowance[],
  allowed: readonly AllowedProblem[],
): readonly TextProblem[] {
  return allowances
    .filter((allowance) => !allowed.some(({ problem }) => isAbout(allowance, problem)))
    .map(({ code, at }) => ({ code: 'allow-unused', data: { found: code }, at }));
}

function isAbout({ code, at, covers }: Allowance, problem: Problem): boolean {
  const { source, span } = problem.at;
  return (
    code === problem.code && at.source === source && span.start >= covers.start && span.start <= covers.end
  );
}
