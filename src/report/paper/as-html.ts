import { svgText } from '../picture/svg.js';
import type { Block, Cell, Field, Paper, RowGroup, Table } from './paper.js';
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
    `<title>${svgText(title)}</title>`,
    `<style>\n${paperStyle}</style>`,
    '</head>',
    '<body>',
    '<main>',
    `<h1>${svgText(title)}</h1>`,
    ...blocks.map(htmlOf),
    '</main>',
    '</body>',
    '</html>',
  ];
  return `${lines.join('\n')}\n`;
}

function htmlOf(block: Block): string {
  switch (block.kind) {
    case 'heading':
      return `<h2>${svgText(block.text)}</h2>`;
    case 'paragraph':
      return `<p${block.role === undefined ? '' : ` class="${block.role}"`}>${svgText(block.text)}</p>`;
    case 'list':
      return listOf('ul', block.items, '');
    case 'ticks':
      return listOf('ul class="ticks"', block.items, '<span class="tick"></span>');
    case 'form':
      return `<dl>${block.fields.map(fieldOf).join('')}</dl>`;
    case 'table':
      return tableOf(block);
    case 'figure':
      return `<figure>\n${block.svg.trim()}\n<figcaption>${svgText(block.caption)}</figcaption>\n</figure>`;
    case 'page':
      return '<div class="page"></div>';
  }
}

function listOf(tag: string, items: readonly string[], before: string): string {
  const all = items.map((item) => `<li>${before}${svgText(item)}</li>`);
  return `<${tag}>${all.join('')}</ul>`;
}

function fieldOf({ label, value, room }: Field): string {
  const [given, filled] = value === undefined ? ['', ''] : [svgText(value), ' filled'];
  return `<div class="field${room === undefined ? '' : ` ${room}`}${filled}"><dt>${svgText(label)}</dt><dd>${given}</dd></div>`;
}

function tableOf({ columns, groups }: Table): string {
  const widths = columns.map(({ width }) =>
    width === undefined ? '<col/>' : `<col style="width: ${width}%"/>`,
  );
  const heads = columns.map(({ head }) => `<th scope="col">${svgText(head)}</th>`);
  return [
    columns.every(({ width }) => width === undefined) ? '<table>' : '<table class="fixed">',
    `<colgroup>${widths.join('')}</colgroup>`,
    `<thead><tr>${heads.join('')}</tr></thead>`,
    ...groups.map((group) => groupOf(group, columns.length)),
    '</table>',
  ].join('\n');
}

function groupOf({ caption, rows }: RowGroup, columns: number): string {
  const head =
    caption === undefined
      ? []
      : [`<tr class="group"><th colspan="${columns}" scope="rowgroup">${svgText(caption)}</th></tr>`];
  const body = rows.map((row) => `<tr>${row.map(cellOf).join('')}</tr>`);
  return ['<tbody>', ...head, ...body, '</tbody>'].join('\n');
}

function cellOf(cell: Cell): string {
  return typeof cell === 'string'
    ? `<td>${svgText(cell)}</td>`
    : `<td class="box"><span>${svgText(cell.box)}</span></td>`;
}
