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

/** Lines of text, folded at `width`; the first may be a heading. */
export function textBlock(
  lines: readonly string[],
  palette: Palette,
  {
    width = Number.POSITIVE_INFINITY,
    heading = false,
  }: { readonly width?: number; readonly heading?: boolean } = {},
): Block {
  const folded = lines.flatMap((line, index) =>
    foldText(line, small, width).map((text) => ({ text, bold: heading && index === 0 })),
  );
  return {
    width: Math.max(0, ...folded.map(({ text, bold }) => textWidth(text, small, bold))),
    height: folded.length * smallLine,
    paint: (x, y) =>
      folded.map(({ text, bold }, line) =>
        svgWords(text, { x, y: y + smallLine * line + small, size: small, bold, fill: palette.ink }),
      ),
  };
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
    const xs = [0, ...placed.map((each) => each.x + each.block.width + space)];
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
    const spots = ys.flatMap((y) => xs.sort((a, b) => a - b).map((x) => ({ x, y })));
    placed.push({ block, ...(spots.find(({ x, y }) => fits(x, y)) ?? { x: 0, y: ys.at(-1) ?? 0 }) });
  }
  return {
    width: Math.max(0, ...placed.map((each) => each.x + each.block.width)),
    height: Math.max(0, ...placed.map((each) => each.y + each.block.height)),
    paint: (left, top) => placed.flatMap((each) => each.block.paint(left + each.x, top + each.y)),
  };
}
