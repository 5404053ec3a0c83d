import Table from 'cli-table3';
import { columnsOf } from './columns.js';
import type { TerminalStyle } from './show-problem.js';

const unicode = { mid: '─', 'mid-mid': '──', middle: '  ' };
const ascii = { mid: '-', 'mid-mid': '--', middle: '  ' };

/** No frame: a head, a rule under it, columns two blanks apart. */
const bare = {
  top: '',
  'top-mid': '',
  'top-left': '',
  'top-right': '',
  bottom: '',
  'bottom-mid': '',
  'bottom-left': '',
  'bottom-right': '',
  left: '',
  'left-mid': '',
  right: '',
  'right-mid': '',
};

/**
 * The one style of table. Cells must be clean. The columns named in `wrap` (by index) give way, words whole,
 * when the table would be wider than the terminal.
 */
export function showTable(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  style: TerminalStyle,
  wrap: readonly number[] = [],
): string {
  const widths = head.map((title, column) =>
    Math.max(columnsOf(title), ...rows.map((row) => columnsOf(row[column] ?? ''))),
  );
  const room = style.width - 2 * head.length - 1;
  const excess = widths.reduce((sum, width) => sum + width, 0) - room;
  const give = wrap.reduce((sum, column) => sum + (widths[column] ?? 0), 0);
  const fitted = widths.map((width, column) => {
    if (excess <= 0 || !wrap.includes(column) || give === 0) return width;
    const least = Math.max(8, ...[head, ...rows].map((row) => longestWord(row[column] ?? '')));
    return Math.min(width, Math.max(least, width - Math.ceil((excess * width) / give)));
  });
  const { mid, 'mid-mid': midMid, middle } = style.ascii ? ascii : unicode;
  const table = new Table({
    head: [...head],
    colWidths: fitted.map((width) => width),
    wordWrap: true,
    chars: { ...bare, mid, 'mid-mid': midMid, middle },
    style: { head: [], border: [], compact: true, 'padding-left': 0, 'padding-right': 0 },
  });
  table.push(...rows.map((row) => [...row]));
  return trimLines(table.toString());
}

/** A column never gets narrower than this: names are not cut, or nobody could search for them. */
function longestWord(text: string): number {
  return Math.max(...text.split(' ').map(columnsOf));
}

function trimLines(text: string): string {
  return text
    .split('\n')
    .map((line) => line.trimEnd())
    .join('\n');
}
