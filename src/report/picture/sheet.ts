import type { Block } from './block.js';
import type { Palette } from './palette.js';
import { svgElement, svgText } from './svg.js';

/** Around the sheet and between its blocks, in drawing units. */
const margin = 10;
export const space = 16;

/**
 * What a printer puts on both A4 and Letter, lying down: the smaller of each way, less 8 mm of edge all round
 * (ISO 216: 297 x 210 mm; ANSI Y14.1: 279 x 216 mm).
 */
const paper = { long: 263, short: 194 } as const;

/** Which way a sheet lies. */
export type Way = 'wide' | 'tall';

/** A drawing with an SVG document a sheet, for pages that all lie one way. */
export interface Sheets {
  readonly way: Way;
  readonly svgs: readonly string[];
}

export const ways = ['wide', 'tall'] as const;

/** The largest a drawing unit is printed: a small circuit is not blown up. */
export const mostMillimetres = 0.3;

/** What is printed, in millimetres, of a sheet that lies one way. */
function sizeOf(way: Way): { readonly width: number; readonly height: number } {
  return way === 'wide'
    ? { width: paper.long, height: paper.short }
    : { width: paper.short, height: paper.long };
}

/** Room for blocks, in drawing units, where a unit is printed at so many millimetres. */
export function roomOf(way: Way, scale: number): { readonly width: number; readonly height: number } {
  const { width, height } = sizeOf(way);
  return { width: width / scale - 2 * margin, height: height / scale - 2 * margin };
}

/** The largest a unit is printed where something so wide, in drawing units, has to go on the sheet. */
export function widestScale(way: Way, width: number): number {
  return sizeOf(way).width / (width + 2 * margin);
}

/** What blocks take under one another, without the margins. */
export function heightOf(blocks: readonly Block[]): number {
  const there = blocks.filter((block) => block.height > 0);
  return there.reduce((sum, block) => sum + block.height + space, -space);
}

/** The scale at which blocks under one another fill a sheet, the way round in which they come out larger. */
export function fill(blocks: readonly Block[]): { readonly way: Way; readonly scale: number } {
  const width = Math.max(...blocks.map((block) => block.width)) + 2 * margin;
  const height = heightOf(blocks) + 2 * margin;
  const fits = ways.map((way) => {
    const { width: most, height: highest } = sizeOf(way);
    return { way, scale: Math.min(most / width, highest / height) };
  });
  const best = fits.reduce((a, b) => (b.scale > a.scale ? b : a));
  return { ...best, scale: Math.min(mostMillimetres, best.scale) };
}

/** Blocks under one another on a sheet just large enough for them. */
export function sheetSvg(title: string, blocks: readonly Block[], palette: Palette): string {
  const { scale } = fill(blocks);
  const width = Math.max(...blocks.map((block) => block.width)) + 2 * margin;
  return svgOf(title, width, heightOf(blocks) + 2 * margin, scale, palette, stacked(blocks, 0));
}

/** Sheets of one size under one another, with a line where they part; a sheet is blocks under one another. */
export function sheetsSvg(
  title: string,
  sheets: readonly (readonly Block[])[],
  { way, scale }: { readonly way: Way; readonly scale: number },
  palette: Palette,
): string {
  const [width, height] = [sizeOf(way).width / scale, sizeOf(way).height / scale];
  const pieces = sheets.flatMap((blocks, index) => [
    ...(index === 0 ? [] : [parting(height * index, width, palette)]),
    ...stacked(blocks, height * index),
  ]);
  return svgOf(title, width, height * sheets.length, scale, palette, pieces);
}

function parting(y: number, width: number, palette: Palette): string {
  const stroke = { stroke: palette.faint, 'stroke-width': 0.8, 'stroke-dasharray': '12 8' };
  return svgElement('path', { ...stroke, fill: 'none', d: `M0 ${y.toFixed(2)}H${width.toFixed(2)}` });
}

function stacked(blocks: readonly Block[], top: number): readonly string[] {
  let y = top + margin;
  return blocks
    .filter((block) => block.height > 0)
    .flatMap((block) => {
      const painted = block.paint(margin, y);
      y += block.height + space;
      return painted;
    });
}

function svgOf(
  title: string,
  width: number,
  height: number,
  scale: number,
  palette: Palette,
  pieces: readonly string[],
): string {
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
