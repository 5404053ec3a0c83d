import type { Block } from './block.js';
import type { Palette } from './palette.js';
import { svgElement, svgText } from './svg.js';

/** Around the sheet and between its blocks, in drawing units. */
const margin = 14;
const space = 16;

/**
 * What a printer puts on both A4 and Letter, lying down: the smaller of each way, less 8 mm of edge all round
 * (ISO 216: 297 x 210 mm; ANSI Y14.1: 279 x 216 mm).
 */
const paper = { long: 263, short: 194 } as const;

/** The largest a drawing unit is printed: a small circuit is not blown up. */
const mostMillimetres = 0.3;

/** Blocks under one another on a sheet, the way round in which they come out larger. */
export function sheetSvg(title: string, blocks: readonly Block[], palette: Palette): string {
  const width = Math.max(...blocks.map((block) => block.width)) + 2 * margin;
  const there = blocks.filter((block) => block.height > 0);
  const height = there.reduce((sum, block) => sum + block.height + space, margin * 2 - space);
  const scale = Math.min(
    mostMillimetres,
    Math.max(
      Math.min(paper.long / width, paper.short / height),
      Math.min(paper.short / width, paper.long / height),
    ),
  );
  let y = margin;
  const pieces = there.flatMap((block) => {
    const painted = block.paint(margin, y);
    y += block.height + space;
    return painted;
  });
  return `${svgElement(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width: `${(width * scale).toFixed(1)}mm`,
      height: `${(height * scale).toFixed(1)}mm`,
      viewBox: `0 0 ${Math.ceil(width)} ${Math.ceil(height)}`,
      'font-family': 'Helvetica, Arial, Liberation Sans, sans-serif',
      role: 'img',
    },
    [
      svgElement('title', {}, [svgText(title)]),
      svgElement('rect', { width: Math.ceil(width), height: Math.ceil(height), fill: palette.paper }),
      ...pieces.map((piece) => `\n${piece}`),
      '\n',
    ],
  )}\n`;
}
