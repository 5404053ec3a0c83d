import type { DiffAnswer } from '../../diagnose/diagnose.js';
import { shortCaution } from '../cautions.js';
import { clean } from '../clean.js';
import { fold } from '../columns.js';
import { paintFor } from '../paint.js';
import type { TerminalStyle } from '../show-problem.js';
import { showTable } from '../table.js';
import { diffConclusion, diffTables } from './diff-words.js';

/** The conclusion, then what differs: parts, states, loads, readings. */
export function diffTable(answer: DiffAnswer, isSame: boolean, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const head = `${clean(answer.after.title)}: ${diffConclusion(answer, isSame)}`;
  const lines = [paint[isSame ? 'good' : 'strong'](fold(head, style))];
  for (const { title, head: columns, rows, more } of diffTables(answer)) {
    const last = columns.map((_, index) => index).slice(1);
    lines.push('', paint.strong(`${title}:`), showTable(columns, rows, style, last));
    if (more > 0) lines.push(`${more} more; --format json has all.`);
  }
  if (!isSame) lines.push('', paint.faint(fold(shortCaution, style)));
  return `${lines.join('\n')}\n`;
}
