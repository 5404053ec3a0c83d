import { clean } from '../clean.js';
import type { Block, Cell, Field, Paper, Table } from './paper.js';
import { paperStyle } from './paper-style.js';

/**
 * One file that stands alone: no script, nothing fetched, and a policy that says so to the browser. It is well-formed XML
 * as well. Prints on A4 and Letter.
 */
export function asHtml({ title, blocks }: Paper): string {
  const lines = [
    '<!DOCTYPE html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8"/>',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'"/>`,
    '<meta name="viewport" content="width=device-width, initial-scale=1"/>',
    `<title>${escaped(title)}</title>`,
    `<style>\n${paperStyle}</style>`,
    '</head>',
    '<body>',
    '<main>',
    `<h1>${escaped(title)}</h1>`,
    ...blocks.map(htmlOf),
    '</main>',
    '</body>',
    '</html>',
  ];
  return `${lines.join('\n')}\n`;
}

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text for between tags, and for inside a quoted attribute: neither can it end there nor begin anything. */
function escaped(text: string): string {
  return clean(text).replace(/[&<>"']/g, (character) => entities[character] ?? '');
}

function htmlOf(block: Block): string {
  switch (block.kind) {
    case 'heading':
      return `<h2>${escaped(block.text)}</h2>`;
    case 'paragraph':
      return `<p${block.role === undefined ? '' : ` class="${block.role}"`}>${escaped(block.text)}</p>`;
    case 'list':
      return listOf('ul', block.items, '');
    case 'ticks':
      return listOf('ul class="ticks"', block.items, '<span class="tick"></span>');
    case 'form':
      return `<dl>${block.fields.map(fieldOf).join('')}</dl>`;
    case 'table':
      return tableOf(block);
    case 'figure':
      return `<figure>\n${block.svg.trim()}\n<figcaption>${escaped(block.caption)}</figcaption>\n</figure>`;
    case 'page':
      return '<div class="page"></div>';
  }
}

function listOf(tag: string, items: readonly string[], before: string): string {
  const all = items.map((item) => `<li>${before}${escaped(item)}</li>`);
  return `<${tag}>${all.join('')}</ul>`;
}

function fieldOf({ label, value, wide }: Field): string {
  const [given, filled] = value === undefined ? ['', ''] : [escaped(value), ' filled'];
  return `<div class="field${wide === true ? ' wide' : ''}${filled}"><dt>${escaped(label)}</dt><dd>${given}</dd></div>`;
}

function tableOf({ caption, columns, rows }: Table): string {
  const widths = columns.map(({ width }) =>
    width === undefined ? '<col/>' : `<col style="width: ${width}%"/>`,
  );
  const heads = columns.map(({ head }) => `<th scope="col">${escaped(head)}</th>`);
  const body = rows.map((row) => `<tr>${row.map(cellOf).join('')}</tr>`);
  return [
    columns.every(({ width }) => width === undefined) ? '<table>' : '<table class="fixed">',
    ...(caption === undefined ? [] : [`<caption>${escaped(caption)}</caption>`]),
    `<colgroup>${widths.join('')}</colgroup>`,
    `<thead><tr>${heads.join('')}</tr></thead>`,
    '<tbody>',
    ...body,
    '</tbody>',
    '</table>',
  ].join('\n');
}

function cellOf(cell: Cell): string {
  return typeof cell === 'string'
    ? `<td>${escaped(cell)}</td>`
    : `<td class="box"><span>${escaped(cell.box)}</span></td>`;
}
