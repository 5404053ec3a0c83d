import { clean } from '../clean.js';
import { count } from '../number.js';
import { problemFields, type RatedProblem } from '../show-problem.js';
import { type Xml, xmlElement, xmlLines } from '../xml.js';
import { wordTooManyWarnings } from './validate-table.js';
import type { AllowedProblem, ValidateAnswer, ValidatedFile } from './validated.js';

/** One thing that was looked at: passed, or failed, or could not be looked at, or is let pass with a reason. */
interface Case {
  readonly name: string;
  readonly outcome?: { readonly kind: 'failure' | 'error' | 'skipped'; readonly message: string };
  readonly lines?: readonly string[];
  /** What is worth knowing of a case that passed all the same. */
  readonly notes?: readonly string[];
}

/**
 * The answer as test results, in the form that build servers read: a suite for each file, in it a case for the circuit
 * itself and one for each of its expectations. Nothing in it hangs on the clock.
 */
export function validateJunit(answer: ValidateAnswer): string {
  const suites = [
    ...answer.troubles.map(({ path, reason }) => suiteOf(path, [unread(reason)])),
    ...answer.files.map((file) => suiteOf(file.path, casesOf(file))),
  ];
  if (answer.mostWarnings !== undefined) {
    const over = wordTooManyWarnings(answer);
    const name = `at most ${count(answer.mostWarnings, 'warning')}`;
    suites.push(suiteOf('all files', [over === undefined ? { name } : failed(name, 'failure', over, [])]));
  }
  const cases = suites.flatMap((suite) => suite.cases);
  const root = xmlElement(
    'testsuites',
    { name: 'loadside validate', ...totals(cases) },
    suites.map(({ xml }) => xml),
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n${root}\n`;
}

function totals(cases: readonly Case[]): Readonly<Record<string, string | number>> {
  const of = (kind: string) => cases.filter(({ outcome }) => outcome?.kind === kind).length;
  return {
    tests: cases.length,
    failures: of('failure'),
    errors: of('error'),
    skipped: of('skipped'),
    time: 0,
  };
}

function suiteOf(
  path: string,
  cases: readonly Case[],
): { readonly cases: readonly Case[]; readonly xml: Xml } {
  const xml = xmlElement(
    'testsuite',
    { name: path, ...totals(cases) },
    cases.map((each) => caseXml(path, each)),
  );
  return { cases, xml };
}

function caseXml(path: string, { name, outcome, lines = [], notes = [] }: Case): Xml {
  const children = [
    ...(outcome === undefined
      ? []
      : [xmlElement(outcome.kind, { message: outcome.message, type: outcome.kind }, xmlLines(lines))]),
    ...(notes.length === 0 ? [] : [xmlElement('system-out', {}, xmlLines(notes))]),
  ];
  return xmlElement('testcase', { classname: path, name, time: 0 }, children);
}

function unread(reason: string): Case {
  return failed('can be read', 'error', reason, []);
}

function failed(name: string, kind: 'failure' | 'error', message: string, lines: readonly string[]): Case {
  return { name, outcome: { kind, message }, lines };
}

function casesOf(file: ValidatedFile): readonly Case[] {
  const whole = { ...wholeCase(file), notes: notesOf(file) };
  return [whole, ...(file.done?.expectations ?? []).map((each) => expectationCase(file, each))];
}

/** What is wrong with the circuit itself, its expectations that have a case of their own aside. */
function wholeCase(file: ValidatedFile): Case {
  const own = new Set<number | undefined>(file.done?.expectations.map(({ index }) => index));
  const errors = file.problems.filter((each) => each.severity === 'error' && !own.has(expectationOf(each)));
  const lines = errors.flatMap(linesOf);
  const number = errors.length + file.more;
  if (file.unreadable) return failed('can be read', 'error', count(number, 'error'), lines);
  const name = 'is sound on paper and electrically';
  return number === 0 ? { name } : failed(name, 'failure', count(number, 'error'), lines);
}

function expectationCase(
  file: ValidatedFile,
  { index, holds }: { readonly index: number; readonly holds: boolean },
): Case {
  const name = `expectation ${index}`;
  if (holds) return { name };
  const own = (each: RatedProblem) => expectationOf(each) === index;
  const allowed: AllowedProblem | undefined = file.allowed.find(own);
  if (allowed !== undefined)
    return { name, outcome: { kind: 'skipped', message: `allowed: ${allowed.reason}` } };
  const found = file.problems.filter(own);
  const [first] = found;
  const message = first === undefined ? 'does not hold' : messageOf(first);
  return failed(name, 'failure', message, found.flatMap(linesOf));
}

/** Which expectation a problem is about. */
function expectationOf({ problem }: RatedProblem): number | undefined {
  return problem.code === 'expectation-differs' || problem.code === 'expectation-works'
    ? problem.data.index
    : undefined;
}

function notesOf(file: ValidatedFile): readonly string[] {
  const warnings = file.problems.filter(({ severity }) => severity === 'warning').flatMap(linesOf);
  const allowed = file.allowed.map(
    (each) => `allowed (${each.reason}): ${messageOf(each)} [${each.problem.code}]`,
  );
  return [...warnings, ...allowed];
}

function messageOf({ problem, severity }: RatedProblem): string {
  return problemFields(problem, severity).message;
}

function linesOf({ problem, severity }: RatedProblem): string[] {
  const { file, line, column, code, message, help } = problemFields(problem, severity);
  const head = `${clean(file)}:${line}:${column}: ${severity}: ${message} [${code}]`;
  return help === undefined ? [head] : [head, `  ${help}`];
}
