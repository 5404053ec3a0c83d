import type { Fields, UnusableReport } from '../answers.js';
import { answerHead, problemFields } from '../report/report.js';
import type { Opened } from './opened.js';

/** The one document that is told of an input with errors in it. */
export function unusableFields({ problems, more }: Opened<unknown>): Fields<UnusableReport> {
  return {
    verdict: 'unusable',
    problems: problems.map(({ problem, severity }) => problemFields(problem, severity)),
    more,
  };
}

export function unusableReport<Command extends string>(
  command: Command,
  opened: Opened<unknown>,
): UnusableReport<Command> {
  return { ...answerHead(command, []), ...unusableFields(opened) };
}
