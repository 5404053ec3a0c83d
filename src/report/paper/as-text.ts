import { clean } from '../clean.js';
import { fold } from '../columns.js';
import { paintFor } from '../paint.js';
import type { TerminalStyle } from '../show-problem.js';
import { showTable } from '../table.js';
import type { Block, Cell, Field, Paper, Table } from './paper.js';

/** The same for a terminal. */
export function asText({ title, blocks }: Paper, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const parts = [paint.strong(fold(clean(title), style)), ...blocks.map((block) => textOf(block, style))];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function textOf(block: Block, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const folded = (text: string) => fold(clean(text), style);
  switch (block.kind) {
    case 'heading':
      return paint.strong(folded(block.text.toUpperCase()));
    case 'paragraph':
      return block.role === 'danger' ? paint.bad(folded(block.text)) : folded(block.text);
    case 'list':
      return block.items.map((item) => folded(`- ${item}`)).join('\n');
    case 'ticks':
      return block.items.map((item) => folded(`[ ] ${item}`)).join('\n');
    case 'form':
      return block.fields.map((field) => folded(wordField(field))).join('\n');
    case 'table':
      return tableOf(block, style);
    case 'figure':
      return [folded(block.caption), ...block.lines(style).map(clean)].join('\n');
    case 'page':
      return '';
  }
}

function wordField({ label, value }: Field): string {
  return `${label}: ${value ?? '_'.repeat(16)}`;
}

function tableOf({ columns, groups }: Table, style: TerminalStyle): string {
  const wraps = columns.flatMap((column, index) => (column.wraps === true ? [index] : []));
  const head = columns.map((column) => clean(column.head));
  const tables = groups.map(({ caption, rows }) => {
    const cells = rows.map((row) => row.map(cellOf));
    const table = rows.length === 0 ? [] : [showTable(head, cells, style, wraps)];
    return [...(caption === undefined ? [] : [fold(clean(caption), style)]), ...table].join('\n');
  });
  return tables.join('\n\n');
}

function cellOf(cell: Cell): string {
  return clean(typeof cell === 'string' ? cell : `______ ${cell.box}`.trim());
}
