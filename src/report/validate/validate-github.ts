import { clean } from '../clean.js';
import { problemFields, type RatedProblem } from '../show-problem.js';
import { spanFields } from '../span-fields.js';
import { wordCounts, wordTooManyWarnings } from './validate-table.js';
import { problemsOf, type ValidateAnswer } from './validated.js';

/** The runner shows so many of each kind for one step and drops the others without a word (from memory). */
const mostShown = 10;

/**
 * The answer as workflow commands of a GitHub runner, which shows each beside its line of the file: errors first, at
 * most ten of them and ten warnings; then in plain words how many more there are, and the counts.
 */
export function validateGithub(answer: ValidateAnswer): string {
  const { files, troubles } = answer;
  const listed = (severity: 'error' | 'warning') =>
    files.flatMap((file) => problemsOf(file, severity)).map((each) => annotation(each));
  const missing = troubles.map(({ path, reason }) => command('error', {}, `${path}: ${reason}`));
  const over = wordTooManyWarnings(answer);
  const errors = [
    ...missing,
    ...(over === undefined ? [] : [command('error', {}, over)]),
    ...listed('error'),
  ];
  const warnings = listed('warning');
  const more = files.reduce((total, file) => total + file.more, 0) + beyond(errors) + beyond(warnings);
  const rest =
    more === 0 ? [] : [`${more} more not shown here; see the same answer with --format table or sarif.`];
  const lines = [...errors.slice(0, mostShown), ...warnings.slice(0, mostShown), ...rest, wordCounts(answer)];
  return `${lines.join('\n')}\n`;
}

function beyond(list: readonly string[]): number {
  return Math.max(0, list.length - mostShown);
}

function annotation({ problem, severity }: RatedProblem): string {
  const { file, line, column, code, message, help } = problemFields(problem, severity);
  const { endLine, endColumn } = spanFields(problem.at);
  // The runner takes columns only of a place within one line.
  const columns = endLine === line ? { col: column, endColumn } : {};
  const properties = { file, line, endLine, ...columns, title: code };
  return command(severity, properties, help === undefined ? message : `${message}\n${help}`);
}

function command(
  level: 'error' | 'warning',
  properties: Readonly<Record<string, string | number>>,
  message: string,
): string {
  const written = Object.entries(properties).map(
    ([key, value]) => `${key}=${escapedProperty(String(value))}`,
  );
  const head = written.length === 0 ? level : `${level} ${written.join(',')}`;
  return `::${head}::${message.split('\n').map(escapedLine).join('%0A')}`;
}

/** What the runner decodes again in a message: per cent signs and line ends (the latter are blanks once clean). */
function escapedLine(text: string): string {
  return clean(text).replaceAll('%', '%25');
}

function escapedProperty(text: string): string {
  return escapedLine(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
