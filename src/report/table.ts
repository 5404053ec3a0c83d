import Table from 'cli-table3';
import { columnsOf, wrapped } from './columns.js';
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
 * when the table would be wider than the terminal; where that is not enough, each row becomes a few lines.
 */
export function showTable(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  style: TerminalStyle,
  wrap: readonly number[] = [],
): string {
  const all = [head, ...rows];
  const widths = head.map((_, column) => widest(all, column, columnsOf));
  const room = style.width - 2 * head.length - 1;
  const excess = widths.reduce((sum, width) => sum + width, 0) - room;
  const give = wrap.reduce((sum, column) => sum + (widths[column] ?? 0), 0);
  const fitted = widths.map((width, column) => {
    if (excess <= 0 || !wrap.includes(column) || give === 0) return width;
    const least = Math.max(8, widest(all, column, longestWord));
    return Math.min(width, Math.max(least, width - Math.ceil((excess * width) / give)));
  });
  const needed = fitted.reduce((sum, width) => sum + width, 2 * (head.length - 1));
  if (needed > style.width) return rows.map((row) => stacked(head, row, style)).join('\n');
  const { mid, 'mid-mid': midMid, middle } = style.ascii ? ascii : unicode;
  const options = {
    colWidths: [...fitted],
    wordWrap: true,
    chars: { ...bare, mid, 'mid-mid': midMid, middle },
    style: { head: [], border: [], compact: true, 'padding-left': 0, 'padding-right': 0 },
  };
  const parts: string[] = [];
  for (let from = 0; from === 0 || from < rows.length; from += rowsAtOnce) {
    const table = new Table(from === 0 ? { ...options, head: [...head] } : options);
    table.push(...rows.slice(from, from + rowsAtOnce).map((row) => [...row]));
    parts.push(table.toString());
  }
  return trimLines(parts.join('\n'));
}

/** A row where the table is too wide for the terminal: its first cell, and below it the others, each with its head. */
function stacked(head: readonly string[], row: readonly string[], { width }: TerminalStyle): string {
  // What the row is about stands without a mark: `reading 3`, `# 3`.
  const cells = row.map((cell, column) =>
    cell === '' ? '' : `${head[column]}${column === 0 ? '' : ':'} ${cell}`,
  );
  const [first = '', ...others] = cells.filter((each) => each !== '');
  const lines: string[] = [];
  for (const each of others) {
    const joined = `${lines.at(-1)}; ${each}`;
    if (lines.length > 0 && columnsOf(joined) <= width - 2) lines[lines.length - 1] = joined;
    else lines.push(...wrapped(each, width - 2));
  }
  return [...wrapped(first, width), ...lines.map((line) => `  ${line}`)].join('\n');
}

/**
 * The table library compares each cell with every other, for cells that span; ours never do. With the widths fixed,
 * a long table is the same laid out a few rows at a time, in linear time.
 */
const rowsAtOnce = 4;

function widest(
  rows: readonly (readonly string[])[],
  column: number,
  measure: (cell: string) => number,
): number {
  return rows.reduce((most, row) => Math.max(most, measure(row[column] ?? '')), 0);
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
