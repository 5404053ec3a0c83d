import type { DiffAnswer } from '../../diagnose/diagnose.js';
import { shortCaution } from '../cautions.js';
import { clean } from '../clean.js';
import { diffConclusion, diffTables } from './diff-words.js';

/** The same as a comment for a review: a heading, the conclusion, tables. */
export function diffMarkdown(answer: DiffAnswer, isSame: boolean): string {
  const blocks = [`### ${markdownText(answer.after.title)}`, markdownText(diffConclusion(answer, isSame))];
  for (const { title, head, rows, more } of diffTables(answer)) {
    const line = (cells: readonly string[]) => `| ${cells.map(markdownText).join(' | ')} |`;
    const table = [line(head), line(head.map(() => '')).replaceAll('|  ', '| --- '), ...rows.map(line)];
    blocks.push(`**${markdownText(title)}**`, table.join('\n'));
    if (more > 0) blocks.push(`${more} more; the format json has all.`);
  }
  if (!isSame) blocks.push(markdownText(shortCaution));
  return `${blocks.join('\n\n')}\n`;
}

/**
 * Text that Markdown takes for nothing but text (CommonMark 0.31 §2.4: any ASCII punctuation may be escaped), and that
 * mentions nobody and links nowhere.
 */
function markdownText(text: string): string {
  return clean(text)
    .replace(/[\\`*_{}[\]<>()#+\-!|~&$^=:"'/@]/g, (sign) => (plainSigns.has(sign) ? sign : `\\${sign}`))
    .replaceAll('@', '@\u200b')
    .replace(/^(\d+)([.)])(?= |$)/, '$1\\$2');
}

/** What acts only together with something that is escaped, and would make everyday text hard to read. */
const plainSigns: ReadonlySet<string> = new Set(['(', ')', ':', '=', "'", '"', '/', '@', '-', '+', '^', '$']);
