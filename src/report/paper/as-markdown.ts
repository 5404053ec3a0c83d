import { clean } from '../clean.js';
import type { Block, Cell, Field, Figure, Paper, Table } from './paper.js';

/** CommonMark with the tables and tick boxes of GitHub's dialect. Blocks are a blank line apart. */
export function asMarkdown({ title, blocks }: Paper): string {
  const parts = [`# ${inline(title)}`, ...blocks.map(markdownOf)];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

/** What could begin emphasis, code, a link, a tag, an entity, a table cell, a formula, or a name that is looked up. */
const signs = /[\\`*_[\]<>|~&$@]/g;

/**
 * Text inside a line: every sign that means something stands for itself. An address of the web is broken up by a colon
 * or dot as an entity, which is a colon or dot and begins no link.
 */
function inline(text: string): string {
  return clean(text)
    .replace(signs, '\\$&')
    .replace(/:(?=\/\/)|(?<=\bwww)\./gi, (sign) => (sign === ':' ? '&#58;' : '&#46;'))
    .trim();
}

/** The same where a line, or an item of a list, begins with it: there a # - + = or a number begins a block too. */
function escaped(text: string): string {
  return inline(text)
    .replace(/^(?=[#+=-])/, '\\')
    .replace(/^(\d{1,9})(?=[.)])/, '$1\\');
}

function markdownOf(block: Block): string {
  switch (block.kind) {
    case 'heading':
      return `## ${inline(block.text)}`;
    case 'paragraph':
      return paragraphOf(escaped(block.text), block.role);
    case 'list':
      return block.items.map((item) => `- ${escaped(item)}`).join('\n');
    case 'ticks':
      return block.items.map((item) => `- [ ] ${escaped(item)}`).join('\n');
    case 'form':
      return block.fields.map(fieldOf).join('\n');
    case 'table':
      return tableOf(block);
    case 'figure':
      return figureOf(block);
    case 'page':
      return '---';
  }
}

function paragraphOf(text: string, role: 'danger' | 'conclusion' | 'small' | undefined): string {
  return role === 'danger' || role === 'conclusion' ? `**${text}**` : text;
}

/** A line to write on. */
const line = '\\_'.repeat(16);

function fieldOf({ label, value }: Field): string {
  return `- ${escaped(label)}: ${value === undefined ? line : inline(value)}`;
}

/** A row can't span columns here: each group is a table. */
function tableOf({ columns, groups }: Table): string {
  const row = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  const head = [row(columns.map(({ head: name }) => inline(name))), row(columns.map(() => '---'))];
  const tables = groups.map(({ caption, rows }) => {
    const lines = rows.length === 0 ? [] : [...head, ...rows.map((cells) => row(cells.map(cellOf)))];
    return [...(caption === undefined ? [] : [`**${inline(caption)}**`]), lines.join('\n')];
  });
  return tables
    .flat()
    .filter((each) => each !== '')
    .join('\n\n');
}

function cellOf(cell: Cell): string {
  if (typeof cell === 'string') return inline(cell);
  return `${'\\_'.repeat(8)}${cell.box === '' ? '' : ` ${inline(cell.box)}`}`;
}

/** Wide enough for a ladder, narrow enough for a page. */
const figureWidth = 90;

/** The lines as they are, in a fence longer than any in them. */
function figureOf({ caption, lines }: Figure): string {
  const body = lines({ width: figureWidth, ascii: false }).map(clean);
  const longest = Math.max(
    2,
    ...body.flatMap((each) => [...each.matchAll(/`+/g)].map(([run]) => run.length)),
  );
  const fence = '`'.repeat(longest + 1);
  return `${escaped(caption)}\n\n${[fence, ...body, fence].join('\n')}`;
}
