import { circuitSeverities, wholeCircuit } from '../circuit/circuit.js';
import { auditSeverities } from '../diagnose/diagnose.js';
import { meterSeverities } from '../meter/meter.js';
import { practiceSeverities } from '../practice/practice.js';
import type { AllowedProblem, Problem, RatedProblem } from '../report/report.js';
import { byPlace, limits, type Severity, textSeverities } from '../text/text.js';

/** Problems found on the way from a text to what it means; `value` is there when none of them is an error. */
export interface Opened<Value> {
  readonly value?: Value;
  /** At most `limits.problems`, file by file and by place. */
  readonly problems: readonly RatedProblem[];
  /** How many there are beyond those. */
  readonly more: number;
  /** The text itself could not be read as a file of its kind (encoding, YAML, limits). */
  readonly unreadable: boolean;
  /** What a remark in the file lets pass. */
  readonly allowed?: readonly AllowedProblem[];
}

export const severities: Readonly<Record<Problem['code'], Severity>> = {
  ...textSeverities,
  ...circuitSeverities,
  ...meterSeverities,
  ...auditSeverities,
  ...practiceSeverities,
};

/** Problems with how much they matter: each floor's own table says. */
export function rate(problems: readonly Problem[]): RatedProblem[] {
  return problems.map((problem) => ({ problem, severity: severities[problem.code] }));
}

/** What can't be gone on with. */
export function unopened(problems: readonly Problem[], more = 0): Opened<never> {
  return { ...ratedList(problems, more), unreadable: isUnreadable(problems) };
}

/** What is not read of a file, so that nothing else is wrong for referring to it. */
export interface LeftOut {
  readonly names: ReadonlySet<string>;
  /** Of pieces that could not be read at all. */
  readonly prefixes: readonly string[];
  /** Parts of which a choice was guessed. */
  readonly guessed: ReadonlySet<string>;
}

/**
 * What is wrong by itself: neither for referring to something left out, nor for being left alone by it, nor for what a
 * guessed choice asks for.
 */
export function unrelated(
  problems: readonly Problem[],
  { names, prefixes, guessed }: LeftOut,
): readonly Problem[] {
  const isLeftOut = (name: string) =>
    names.has(name) || prefixes.some((prefix) => name.startsWith(`${prefix}-`));
  return problems.filter((problem) => {
    if (problem.code === 'terminal-foreign' || problem.code === 'terminal-needed')
      return !guessed.has(problem.data.supply);
    if ((problem.code === 'key-needed' || problem.code === 'key-conflict') && guessed.has(problem.data.part))
      return false;
    if (problem.code === 'node-dangling') return false;
    if (problem.code === 'key-needed' && problem.data.part === wholeCircuit) return false;
    if (problem.code !== 'reference-unknown') return true;
    const { found, of } = problem.data;
    const [owner = found] = found.split('.');
    if (guessed.has(owner)) return false;
    return !isLeftOut(found) && !isLeftOut(owner) && !(of !== undefined && isLeftOut(of));
  });
}

/** File by file, the main one first, and by place, each once, and no more than a person reads. */
export function listed(
  problems: readonly Problem[],
  more: number,
  main?: string,
): { readonly problems: readonly Problem[]; readonly more: number } {
  const once = new Map<string, Problem>();
  const files = new Map(main === undefined ? [] : [[main, 0]]);
  for (const problem of problems) {
    const { source, span } = problem.at;
    const key = `${problem.code} ${span.start} ${span.end} ${source.name}`;
    if (!once.has(key)) once.set(key, problem);
    if (!files.has(source.name)) files.set(source.name, files.size);
  }
  const fileOf = ({ at }: Problem) => files.get(at.source.name) ?? 0;
  const sorted = [...once.values()].sort((a, b) => fileOf(a) - fileOf(b) || byPlace(a, b));
  const shown = sorted.slice(0, limits.problems);
  return { problems: shown, more: more + sorted.length - shown.length };
}

/** The same, with how much each matters. */
export function ratedList(
  problems: readonly Problem[],
  more: number,
  main?: string,
): Pick<Opened<never>, 'problems' | 'more'> {
  const told = listed(problems, more, main);
  return { problems: rate(told.problems), more: told.more };
}

/** Problems of the text as text: before anyone could look for keys and values. */
export function isUnreadable(problems: readonly Problem[]): boolean {
  return problems.some(({ code }) =>
    /^(?:encoding|character|limit|yaml|json|csv)-|^file-(?:empty|unusable)$/.test(code),
  );
}
