import { clean } from '../clean.js';
import { fold } from '../columns.js';
import { count } from '../number.js';
import { paintFor } from '../paint.js';
import { showProblems, type TerminalStyle } from '../show-problem.js';
import {
  countsOf,
  hasTooManyWarnings,
  isValid,
  type ValidateAnswer,
  type ValidatedFile,
} from './validated.js';

/** Each file's verdict in a line, its problems below it, and the counts at the end. */
export function validateTable(answer: ValidateAnswer, style: TerminalStyle): string {
  const { files } = answer;
  const paint = paintFor(style.level);
  const blocks = files.map((file) => {
    const good = isValid(file);
    const head = paint[good ? 'good' : 'bad'](fold(headline(file, good), style));
    const problems = showProblems(file.problems, file.more, style);
    return problems === '' ? head : `${head}\n\n${problems}`;
  });
  const foot = files.length === 1 && answer.troubles.length === 0 ? [] : [fold(wordCounts(answer), style)];
  const over = wordTooManyWarnings(answer);
  const last = over === undefined ? [] : [paint.bad(fold(over, style))];
  const apart = files.some((file) => file.problems.length > 0) ? '\n\n' : '\n';
  return `${[...blocks, ...foot, ...last].join(apart)}\n`;
}

function headline({ path, done, allowed }: ValidatedFile, good: boolean): string {
  const verdict = `${clean(path)}: ${good ? 'valid' : 'not valid'}`;
  if (done === undefined) return `${verdict}.`;
  const { parts, nodes, states, complete, expectations } = done;
  const held = expectations.filter((each) => each.holds).length;
  const looked = `${complete ? 'all' : 'the first'} ${count(states, 'state')} solved`;
  const own =
    expectations.length === 0
      ? 'no expectations of its own'
      : `${held} of ${count(expectations.length, 'expectation')} hold`;
  const let_ = allowed.length === 0 ? '' : `, ${count(allowed.length, 'finding')} allowed in it`;
  return `${verdict}. ${count(parts, 'part')}, ${count(nodes, 'node')}, ${looked}, ${own}${let_}.`;
}

/** "3 files, 2 valid, 1 not. 4 errors, 1 warning." */
export function wordCounts(answer: ValidateAnswer): string {
  const { files, valid, invalid, troubles, errors, warnings, allowed } = countsOf(answer);
  const found = [
    ...(errors > 0 ? [count(errors, 'error')] : []),
    ...(warnings > 0 ? [count(warnings, 'warning')] : []),
    ...(allowed > 0 ? [`${allowed} allowed`] : []),
    ...(troubles > 0
      ? [`${count(troubles, 'name')} that ${troubles === 1 ? 'leads' : 'lead'} to no file`]
      : []),
  ];
  const rest = found.length === 0 ? '' : ` ${found.join(', ')}.`;
  return `${count(files, 'file')}, ${valid} valid, ${invalid} not.${rest}`;
}

export function wordTooManyWarnings(answer: ValidateAnswer): string | undefined {
  if (!hasTooManyWarnings(answer)) return undefined;
  return `${count(countsOf(answer).warnings, 'warning')}; --max-warnings lets ${answer.mostWarnings} pass.`;
}
