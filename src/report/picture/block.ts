import { foldText, textWidth } from '../../draw/draw.js';
import type { Palette } from './palette.js';
import { svgElement, svgWords } from './svg.js';

/** A piece of a sheet, whose upper left corner goes where it is put. */
export interface Block {
  readonly width: number;
  readonly height: number;
  readonly paint: (x: number, y: number) => readonly string[];
}

/** Type size and line of the small print under a ladder. */
export const small = 9;
export const smallLine = 11.5;

/** Lines of text, each folded at `width`. */
export function textBlock(
  lines: readonly string[],
  palette: Palette,
  {
    width = Number.POSITIVE_INFINITY,
    bold = false,
  }: { readonly width?: number; readonly bold?: boolean } = {},
): Block {
  const folded = lines.flatMap((line) => foldText(line, small, width));
  return {
    width: Math.max(0, ...folded.map((text) => textWidth(text, small, bold))),
    height: folded.length * smallLine,
    paint: (x, y) =>
      folded.map((text, line) =>
        svgWords(text, { x, y: y + smallLine * line + small, size: small, bold, fill: palette.ink }),
      ),
  };
}

/** A heading over a list of blocks, in so many columns. */
export function listBlock(
  heading: string,
  entries: readonly Block[],
  palette: Palette,
  columns: number,
): Block {
  const head = textBlock([heading], palette, { bold: true });
  const most = smallLine * Math.ceil(stackHeight(entries) / columns / smallLine - 1e-6);
  const stacks: Block[][] = [];
  for (const entry of entries) {
    const last = stacks.at(-1);
    const fits = last !== undefined && stackHeight(last) + entry.height <= most + 1e-6;
    if (last !== undefined && (fits || stacks.length === columns)) last.push(entry);
    else stacks.push([entry]);
  }
  const widths = stacks.map((stack) => Math.max(...stack.map(({ width }) => width)));
  const starts = widths.map((_, index) =>
    widths.slice(0, index).reduce((sum, width) => sum + width + betweenColumns, 0),
  );
  return {
    width: Math.max(head.width, (starts.at(-1) ?? 0) + (widths.at(-1) ?? 0)),
    height: head.height + Math.max(0, ...stacks.map(stackHeight)),
    paint: (x, y) => [
      ...head.paint(x, y),
      ...stacks.flatMap((stack, column) =>
        stack.flatMap((entry, at) =>
          entry.paint(x + (starts[column] ?? 0), y + head.height + stackHeight(stack.slice(0, at))),
        ),
      ),
    ],
  };
}

const betweenColumns = 12;

function stackHeight(blocks: readonly Block[]): number {
  return blocks.reduce((sum, { height }) => sum + height, 0);
}

/** The same of lines of text, the first the heading; each is folded at `width`. */
export function textListBlock(
  [heading = '', ...lines]: readonly string[],
  palette: Palette,
  { width, columns }: { readonly width: number; readonly columns: number },
): Block {
  const entries = lines.map((line) => textBlock([line], palette, { width }));
  return listBlock(heading, entries, palette, columns);
}

export interface TableCell {
  readonly text: string;
  readonly bold?: boolean;
  /** A closed contact, as a filled field. */
  readonly filled?: boolean;
}

const padding = 5;

/**
 * A table under a heading, ruled; `marked` is a column to be framed, and `note` stands over it. Filled fields also have
 * their letter, so that they can be told without the fill.
 */
export function tableBlock(
  heading: string,
  rows: readonly (readonly TableCell[])[],
  palette: Palette,
  marked?: number,
): Block {
  const columns = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from(
    { length: columns },
    (_, column) =>
      Math.max(...rows.map((row) => textWidth(row[column]?.text ?? '', small, true)), 8) + 2 * padding,
  );
  const starts = widths.map((_, column) => widths.slice(0, column).reduce((sum, each) => sum + each, 0));
  const table = widths.reduce((sum, each) => sum + each, 0);
  const rowHeight = smallLine + 3;
  const paint = (x: number, y: number) => {
    const top = y + smallLine + 4;
    const rules = rows.map((_, row) =>
      svgElement('line', {
        x1: x,
        y1: top + rowHeight * row,
        x2: x + table,
        y2: top + rowHeight * row,
        stroke: palette.faint,
        'stroke-width': 0.5,
      }),
    );
    const fields = rows.flatMap((row, line) =>
      row.flatMap(({ text, bold = line === 0, filled = false }, column) => {
        const [left, wide] = [x + (starts[column] ?? 0), widths[column] ?? 0];
        const base = top + rowHeight * line;
        const middle = { x: column === 0 ? left + padding : left + wide / 2, y: base + rowHeight - 4 };
        const field = { x: left + 2, y: base + 2, width: wide - 4, height: rowHeight - 4 };
        return [
          ...(filled ? [svgElement('rect', { ...field, fill: palette.ink })] : []),
          ...(text === ''
            ? []
            : [
                svgWords(text, {
                  ...middle,
                  size: small,
                  bold,
                  anchor: column === 0 ? 'start' : 'middle',
                  fill: filled ? palette.paper : palette.ink,
                }),
              ]),
        ];
      }),
    );
    const frame =
      marked === undefined
        ? []
        : [
            svgElement('rect', {
              x: x + (starts[marked] ?? 0),
              y: top,
              width: widths[marked] ?? 0,
              height: rowHeight * rows.length,
              fill: 'none',
              stroke: palette.ink,
              'stroke-width': 1.6,
            }),
          ];
    return [
      svgWords(heading, { x, y: y + small, size: small, bold: true, fill: palette.ink }),
      ...rules,
      ...fields,
      ...frame,
    ];
  };
  return {
    width: Math.max(table, textWidth(heading, small, true)),
    height: smallLine + 6 + rowHeight * rows.length,
    paint,
  };
}

/** Blocks packed into a width, in their order: each as high up, and then as far left, as there is room. */
export function packBlocks(blocks: readonly Block[], width: number, space: number): Block {
  const placed: { block: Block; x: number; y: number }[] = [];
  for (const block of blocks) {
    const xs = [0, ...placed.map((each) => each.x + each.block.width + space)].sort((a, b) => a - b);
    const ys = [0, ...placed.map((each) => each.y + each.block.height + space)].sort((a, b) => a - b);
    const fits = (x: number, y: number) =>
      (x === 0 || x + block.width <= width) &&
      placed.every(
        (each) =>
          x + block.width + space <= each.x ||
          each.x + each.block.width + space <= x ||
          y + block.height + space <= each.y ||
          each.y + each.block.height + space <= y,
      );
    const y = ys.find((each) => xs.some((x) => fits(x, each))) ?? ys.at(-1) ?? 0;
    placed.push({ block, y, x: xs.find((each) => fits(each, y)) ?? 0 });
  }
  return {
    width: Math.max(0, ...placed.map((each) => each.x + each.block.width)),
    height: Math.max(0, ...placed.map((each) => each.y + each.block.height)),
    paint: (left, top) => placed.flatMap((each) => each.block.paint(left + each.x, top + each.y)),
  };
}
