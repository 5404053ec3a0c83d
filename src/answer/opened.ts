import { circuitSeverities, wholeCircuit } from '../circuit/circuit.js';
import { auditSeverities } from '../diagnose/diagnose.js';
import { meterSeverities } from '../meter/meter.js';
import type { Problem, RatedProblem } from '../report/report.js';
import { byPlace, limits, textSeverities } from '../text/text.js';

/** Problems found on the way from a text to what it means; `value` is there when none of them is an error. */
export interface Opened<Value> {
  readonly value?: Value;
  /** At most `limits.problems`, by place. */
  readonly problems: readonly RatedProblem[];
  /** How many there are beyond those. */
  readonly more: number;
  /** The text itself could not be read as a file of its kind (encoding, YAML, limits). */
  readonly unreadable: boolean;
}

const severities = { ...textSeverities, ...circuitSeverities, ...meterSeverities, ...auditSeverities };

/** Problems with how much they matter: each floor's own table says. */
export function rate(problems: readonly Problem[]): RatedProblem[] {
  return problems.map((problem) => ({ problem, severity: severities[problem.code] }));
}

/** What can't be gone on with. */
export function unopened(problems: readonly Problem[], more = 0): Opened<never> {
  return { ...listed(problems, more), unreadable: isUnreadable(problems) };
}

/** By place, each once, and no more than a person reads. */
export function listed(problems: readonly Problem[], more: number): Pick<Opened<never>, 'problems' | 'more'> {
  const seen = new Set<string>();
  const once = problems.filter(({ code, at }) => {
    const key = `${code} ${at.span.start} ${at.span.end}`;
    return !seen.has(key) && seen.add(key);
  });
  const shown = [...once].sort(byPlace).slice(0, limits.problems);
  return { problems: rate(shown), more: more + once.length - shown.length };
}

/** What is wrong by itself: neither for referring to something left out, nor for being left alone by it. */
export function unrelated(problems: readonly Problem[], omitted: ReadonlySet<string>): readonly Problem[] {
  return problems.filter((problem) => {
    if (problem.code === 'node-dangling') return false;
    if (problem.code === 'key-needed' && problem.data.part === wholeCircuit) return false;
    if (problem.code !== 'reference-unknown') return true;
    const { found, of } = problem.data;
    const [owner = found] = found.split('.');
    return !omitted.has(found) && !omitted.has(owner) && !(of !== undefined && omitted.has(of));
  });
}

/** Problems of the text as text: before anyone could look for keys and values. */
function isUnreadable(problems: readonly Problem[]): boolean {
  return problems.some(({ code }) => /^(encoding|character|limit|yaml|json|csv|file)-/.test(code));
}
