import type { Sheets } from '../picture/sheet.js';
import { svgText } from '../picture/svg.js';
import type { Block, Cell, Field, Figure, Paper, RowGroup, Table } from './paper.js';
import { paperStyle } from './paper-style.js';

/** A document as one file. */
export function asHtml({ title, blocks }: Paper): string {
  return fileOf(title, [`<h1>${svgText(title)}</h1>`, ...blocks.map(htmlOf)]);
}

/** Drawings alone, a printed page each, as one file. */
export function pagesHtml(title: string, { svgs, way }: Sheets): string {
  return fileOf(title, [figuresOf({ svgs, page: way, caption: '' })]);
}

/**
 * One file that stands alone: no script, nothing fetched, and a policy that says so to the browser. It is well-formed XML
 * as well. Prints on A4 and Letter.
 */
function fileOf(title: string, body: readonly string[]): string {
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
    ...body,
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
      return figuresOf(block);
    case 'page':
      return '<div class="page"></div>';
  }
}

/** The caption stands under the last picture, on one page with it. */
function figuresOf({ svgs, page, caption }: Omit<Figure, 'kind' | 'lines'>): string {
  const figures = svgs.map((svg, index) => {
    const captioned = caption !== '' && index === svgs.length - 1;
    const kind = page === undefined ? '' : ` class="sheet ${page}${captioned ? ' captioned' : ''}"`;
    const words = captioned ? `\n<figcaption>${svgText(caption)}</figcaption>` : '';
    return `<figure${kind}>\n${svg.trim()}${words}\n</figure>`;
  });
  return figures.join('\n');
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
