import { byPlace, placeOf, type Related, type Severity, type Spot } from '../text/text.js';
import { asciiOnly, clean } from './clean.js';
import { wrapped } from './columns.js';
import { count } from './number.js';
import { type Paint, type PaintLevel, paintFor } from './paint.js';
import { frameOf } from './source-frame.js';
import { type Problem, wordProblem } from './word-problem.js';

/** What the terminal can show. */
export interface TerminalStyle {
  readonly level: PaintLevel;
  /** Columns. */
  readonly width: number;
  /** Only ASCII characters, whatever the files hold. */
  readonly ascii: boolean;
}

/** A problem with how much it matters, which its own floor says. */
export interface RatedProblem {
  readonly problem: Problem;
  readonly severity: Severity;
}

/** A problem as JSON gives it; line and column count from 1, columns in UTF-16 units. */
export interface ProblemFields {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly code: Problem['code'];
  readonly severity: Severity;
  readonly message: string;
  readonly help?: string;
  /** Further places that belong to it: the lines that include the file it is in. */
  readonly related?: readonly PlaceFields[];
}

interface PlaceFields {
  readonly role: string;
  readonly file: string;
  readonly line: number;
  readonly column: number;
}

const gutter = '  > ';
const indent = '    ';

/**
 * A problem for people: `file:line:col: error: headline`, the line it is in with carets under the place, then what
 * would be right. Lines without an end behind the last. No line starts with text of the file.
 */
export function showProblem(problem: Problem, severity: Severity, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const { headline, help } = wordProblem(problem);
  const word = (severity === 'error' ? paint.bad : paint.warn)(`${severity}:`);
  const text = (words: string) => (style.ascii ? asciiOnly(words) : words);
  const lines = [
    `${paint.strong(text(`${placeIn(problem.at)}:`))} ${word} ${text(headline)}`,
    ...frameLines(problem.at, style, paint),
  ];
  for (const each of relatedPlaces(problem)) {
    lines.push(text(`${indent}${each.role}: ${placeIn(each)}`), ...frameLines(each, style, paint));
  }
  for (const line of help === undefined ? [] : wrapped(text(help), style.width - indent.length)) {
    lines.push(indent + line);
  }
  return lines.join('\n');
}

/** The other places of a problem: its own ones, then from where the file it is in was included, nearest first. */
export function relatedPlaces({ at, related = [] }: Problem): readonly Related[] {
  return [...related, ...(at.includedAt ?? []).map((each) => ({ ...each, role: 'included here' }))];
}

/** "range-hood.circuit.yaml:12:19" */
function placeIn({ source, span }: Spot): string {
  const { line, column } = placeOf(source, span.start);
  return `${clean(source.name)}:${line}:${column}`;
}

function frameLines({ source, span }: Spot, style: TerminalStyle, paint: Paint): string[] {
  const frame = frameOf(source, span, { width: style.width - gutter.length, ascii: style.ascii });
  if (frame === undefined) return [];
  const carets = paint.bad('^'.repeat(frame.count));
  return [(paint.faint(gutter) + frame.text).trimEnd(), indent + ' '.repeat(frame.from) + carets];
}

/**
 * Problems one below the other, file by file and by place in each, then their count. `more` is how many there are
 * beyond these. Empty when there are none.
 */
export function showProblems(problems: readonly RatedProblem[], more: number, style: TerminalStyle): string {
  if (problems.length === 0 && more === 0) return '';
  const sorted = sortedByFile(problems);
  const blocks = sorted.map(({ problem, severity }) => showProblem(problem, severity, style));
  const total = countLine(sorted, more);
  return [...blocks, style.ascii ? asciiOnly(total) : total].join('\n\n');
}

function sortedByFile(problems: readonly RatedProblem[]): RatedProblem[] {
  const files = [...new Set(problems.map(({ problem }) => problem.at.source.name))];
  const inFile = (name: string) => problems.filter(({ problem }) => problem.at.source.name === name);
  return files.flatMap((name) => inFile(name).sort((a, b) => byPlace(a.problem, b.problem)));
}

function countLine(problems: readonly RatedProblem[], more: number): string {
  const errors = problems.filter(({ severity }) => severity === 'error').length;
  const warnings = problems.length - errors;
  const counts = [
    ...(errors > 0 ? [count(errors, 'error')] : []),
    ...(warnings > 0 ? [count(warnings, 'warning')] : []),
  ];
  const [file, ...others] = new Set(problems.map(({ problem }) => problem.at.source.name));
  const where = others.length > 0 ? `${others.length + 1} files` : clean(file ?? '');
  const found = file === undefined ? [] : [`${counts.join(', ')} in ${where}`];
  return [...found, ...(more > 0 ? [`${more} more not shown`] : [])].join('; ');
}

/** A problem for JSON. `file` is the name as given, unclean: whoever writes it escapes it. */
export function problemFields(problem: Problem, severity: Severity): ProblemFields {
  const { headline, help } = wordProblem(problem);
  const { source, span } = problem.at;
  const { line, column } = placeOf(source, span.start);
  const related = relatedPlaces(problem).map((each) => ({
    role: each.role,
    file: each.source.name,
    ...placeOf(each.source, each.span.start),
  }));
  return {
    file: source.name,
    line,
    column,
    code: problem.code,
    severity,
    message: headline,
    ...(help === undefined ? {} : { help }),
    ...(related.length === 0 ? {} : { related }),
  };
}
