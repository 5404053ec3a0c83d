import type { Severity } from '../../text/text.js';
import { clean } from '../clean.js';
import { showJson } from '../envelope.js';
import { count } from '../number.js';
import { isRule, type RuleCode, ruleDocOf } from '../rules/rule-docs.js';
import { type RatedProblem, relatedPlaces } from '../show-problem.js';
import { spanFields } from '../span-fields.js';
import { type Problem, wordProblem } from '../word-problem.js';
import { wordCounts, wordTooManyWarnings } from './validate-table.js';
import { type ValidateAnswer, verdictOf } from './validated.js';

type Json = Readonly<Record<string, unknown>>;

/** What one run may hold; services that take the file refuse more (from memory). */
const mostResults = 25_000;

/** One finding with the remark that allows it, where there is one. */
interface Found extends RatedProblem {
  readonly reason?: string;
}

/**
 * The answer as a SARIF log (OASIS Static Analysis Results Interchange Format, version 2.1.0), one run. Paths are those
 * given, as relative references; lines and columns count from 1, columns in UTF-16 units.
 */
export function validateSarif(answer: ValidateAnswer, version: string, exitCode: number): string {
  const all = answer.files.flatMap((file): Found[] => [...file.problems, ...file.allowed]);
  const shown = mostGraveFirst(all, mostResults);
  const codes = [...new Set(shown.map(({ problem }) => problem.code))].filter(isRule).sort();
  const fingerprints = new Fingerprints();
  const run = {
    tool: { driver: { name: 'loadside', version, rules: codes.map((code) => ruleFields(code, shown)) } },
    columnKind: 'utf16CodeUnits',
    invocations: [
      {
        executionSuccessful: verdictOf(answer) !== 'unusable',
        exitCode,
        toolExecutionNotifications: notifications(answer, all.length - shown.length),
      },
    ],
    results: shown.map((found) => resultOf(found, codes, fingerprints)),
  };
  const schema = 'https://json.schemastore.org/sarif-2.1.0.json';
  return showJson({ $schema: schema, version: '2.1.0', runs: [run] });
}

/** In the order found; of more than may stand in a run, errors are kept before warnings. */
function mostGraveFirst(all: readonly Found[], most: number): readonly Found[] {
  if (all.length <= most) return all;
  const of = (severity: Severity) => all.filter((each) => each.severity === severity);
  return [...of('error'), ...of('warning')].slice(0, most);
}

function notifications(answer: ValidateAnswer, leftOut: number): Json[] {
  const unread = answer.files.filter(({ unreadable }) => unreadable);
  const hidden = answer.files.reduce((total, file) => total + file.more, 0) + leftOut;
  const over = wordTooManyWarnings(answer);
  return [
    ...answer.troubles.map(({ path, reason }) => notification('error', `${path}: ${reason}`, path)),
    ...unread.map(({ path }) => notification('error', `${path}: can't be read as a circuit file`, path)),
    ...(over === undefined ? [] : [notification('error', over)]),
    ...(hidden === 0 ? [] : [notification('warning', `${count(hidden, 'more finding')} left out here.`)]),
    notification('note', wordCounts(answer)),
  ];
}

function notification(level: 'error' | 'warning' | 'note', text: string, path?: string): Json {
  const message = { text: clean(text) };
  return path === undefined
    ? { level, message }
    : { level, message, locations: [{ physicalLocation: { artifactLocation: artifact(path) } }] };
}

function ruleFields(code: RuleCode, shown: readonly Found[]): Json {
  const { about, bad, good } = ruleDocOf(code);
  const level = shown.find(({ problem }) => problem.code === code)?.severity;
  return {
    id: code,
    shortDescription: { text: about },
    help: { text: `${about}\n\nNot so:\n\n${bad}\n\nBut so:\n\n${good}` },
    defaultConfiguration: { level },
  };
}

function resultOf(
  { problem, severity, reason }: Found,
  codes: readonly string[],
  fingerprints: Fingerprints,
): Json {
  const { headline, help } = wordProblem(problem);
  const related = relatedPlaces(problem).map(({ role, ...at }, index) => ({
    id: index + 1,
    message: { text: role },
    ...location(at),
  }));
  return {
    ruleId: problem.code,
    ruleIndex: codes.indexOf(problem.code),
    level: severity,
    message: { text: help === undefined ? headline : `${headline}\n${help}` },
    locations: [location(problem.at)],
    ...(related.length === 0 ? {} : { relatedLocations: related }),
    partialFingerprints: { 'loadsideSubject/v1': fingerprints.of(problem) },
    ...(reason === undefined ? {} : { suppressions: [{ kind: 'inSource', justification: clean(reason) }] }),
  };
}

function location(at: Problem['at']): Json {
  const { line, column, endLine, endColumn } = spanFields(at);
  const region = { startLine: line, startColumn: column, endLine, endColumn };
  return { physicalLocation: { artifactLocation: artifact(at.source.name), region } };
}

/** A path as a URI reference (RFC 3986): relative as it was given, or with the scheme of files where it is absolute. */
function artifact(path: string): Json {
  const forward = path.replaceAll('\\', '/');
  const escaped = forward
    .replace(/\p{Cs}/gu, '\uFFFD')
    .split('/')
    .map(encodeURIComponent)
    .join('/');
  if (/^[A-Za-z]:\//.test(forward)) return { uri: `file:///${escaped.replace('%3A', ':')}` };
  return { uri: escaped.startsWith('/') ? `file://${escaped}` : escaped };
}

/** What a finding is about, lines aside, so that it is known again when the file has changed around it. */
class Fingerprints {
  private readonly counts = new Map<string, number>();

  of({ code, data, at }: Problem): string {
    const texts = Object.entries(data).filter(([, value]) => typeof value === 'string');
    const [, subject = ''] = texts.find(([name]) => name === 'found') ?? texts[0] ?? [];
    const key = `${code}:${clean(String(subject))}`;
    const place = `${at.source.name}:${key}`;
    const number = (this.counts.get(place) ?? 0) + 1;
    this.counts.set(place, number);
    return `${key}:${number}`;
  }
}
