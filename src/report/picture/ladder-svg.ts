import { foldText, type Picture, textWidth } from '../../draw/draw.js';
import { shortCaution } from '../cautions.js';
import { clean } from '../clean.js';
import { pagesHtml } from '../paper/as-html.js';
import { type Block, packBlocks, small, textBlock } from './block.js';
import { headlines } from './captions.js';
import { chartBlocks } from './chart-blocks.js';
import { jobHeadline, readingsBlock, symptomsBlock } from './job-words.js';
import { keyBlock, partsBlock } from './key-block.js';
import {
  commentsBlock,
  costOfParts,
  type LaidLadder,
  layLadder,
  partsBlockOf,
  spread,
  wholeOf,
} from './ladder-block.js';
import { type Palette, palettes, type Theme } from './palette.js';
import {
  fill,
  heightOf,
  mostMillimetres,
  roomOf,
  type Sheets,
  sheetSvg,
  sheetsSvg,
  space,
  type Way,
  ways,
  widestScale,
} from './sheet.js';
import { svgWords } from './svg.js';

export interface SvgOptions {
  readonly theme: Theme;
}

/** A ladder drawing on one sheet, or on several of one size. */
interface Spread {
  readonly way: Way;
  readonly scale: number;
  readonly sheets: readonly (readonly Block[])[];
  /** How much is torn apart between the sheets. */
  readonly torn: number;
}

/**
 * Millimetres of a drawing unit under which letters are too small: capitals of the smallest type, 0.72 of its size in
 * Helvetica (from memory), are then 1.8 mm high, the least of ISO 3098 (from memory).
 */
const leastMillimetres = 1.8 / (0.72 * small);

/** Steps in which sheets are tried smaller, to do with fewer of them. */
const scaleStep = 0.003;

/**
 * A ladder drawing as one SVG document, sized for A4 or Letter: attributes only, no style, ids, scripts or references,
 * so that it stands safely inside HTML. Text from the circuit is cleaned and escaped. What would come out too small on
 * one sheet is on several, under one another.
 */
export function ladderSvg(picture: Picture, { theme }: SvgOptions): string {
  const palette = palettes[theme];
  const found = sheetsFor(picture, palette);
  const title = clean(picture.ladder.circuit.title);
  const [only = [], more] = found.sheets;
  return more === undefined ? sheetSvg(title, only, palette) : sheetsSvg(title, found.sheets, found, palette);
}

/** The same with a document a sheet. */
export function ladderSheets(picture: Picture, { theme }: SvgOptions): Sheets {
  const palette = palettes[theme];
  const found = sheetsFor(picture, palette);
  const { way, sheets } = found;
  const title = clean(picture.ladder.circuit.title);
  const single = sheets.length === 1;
  const svgs = sheets.map((blocks) =>
    single ? sheetSvg(title, blocks, palette) : sheetsSvg(title, [blocks], found, palette),
  );
  return { way, svgs };
}

/** The same as a file for a browser to print, a page a sheet. */
export function ladderHtml(picture: Picture, options: SvgOptions): string {
  return pagesHtml(clean(picture.ladder.circuit.title), ladderSheets(picture, options));
}

/**
 * One sheet where letters stay readable on it, else several; and with the loads listed under the ladder instead of
 * beside it where it would be too wide. What is too wide even so comes out as large as it can.
 */
function sheetsFor(picture: Picture, palette: Palette): Spread {
  const tried: Spread[] = [];
  for (const comments of ['beside', 'apart'] as const) {
    const ladder = layLadder(picture, comments);
    const foot = (torn: boolean) => footBlocks(picture, palette, comments, torn);
    const one = onOneSheet(ladder, foot(false), palette);
    if (one.scale >= leastMillimetres) return one;
    const several = ways.flatMap((way) => onSheets(ladder, foot, way, palette));
    const [best] = several
      .filter(({ scale }) => scale >= leastMillimetres)
      .sort((a, b) => a.sheets.length - b.sheets.length || a.torn - b.torn || b.scale - a.scale);
    if (best !== undefined) return best;
    tried.push(one, ...several);
  }
  return tried.reduce((a, b) => (b.scale > a.scale + scaleStep ? b : a));
}

function onOneSheet(ladder: LaidLadder, foot: readonly Block[], palette: Palette): Spread {
  const width = Math.max(ladder.width, ...foot.map((block) => block.width));
  const blocks = [
    headBlock(ladder.picture, palette, width),
    partsBlockOf(ladder, wholeOf(ladder), palette),
    packBlocks(foot, width, space),
    textBlock([shortCaution], palette, { width }),
  ];
  return { ...fill(blocks), sheets: [blocks], torn: 0 };
}

/** A ladder on full sheets that lie one way, at the scales that let it have its width. */
function onSheets(
  ladder: LaidLadder,
  foot: (torn: boolean) => readonly Block[],
  way: Way,
  palette: Palette,
): readonly Spread[] {
  const width = Math.max(ladder.tornWidth, ...foot(true).map((block) => block.width));
  const scales = [Math.min(mostMillimetres, widestScale(way, width))];
  while ((scales.at(-1) ?? 0) - scaleStep >= leastMillimetres) scales.push((scales.at(-1) ?? 0) - scaleStep);
  return scales.map((scale) => {
    const room = roomOf(way, scale);
    const caution = textBlock([shortCaution], palette, { width: room.width });
    const head = (words: string) => headBlock(ladder.picture, palette, room.width, words);
    const free = room.height - heightOf([head('Sheet 1 of 2'), caution]) - space;
    const parts = spread(ladder, free);
    const torn = costOfParts(parts.flat());
    const bodies = bodiesOf(
      parts.map((each) => partsBlockOf(ladder, each, palette)),
      foot(torn > 0),
      room.width,
      free,
    );
    const numbers = bodies.map((_, index) =>
      bodies.length === 1 ? '' : `Sheet ${index + 1} of ${bodies.length}`,
    );
    const sheets = bodies.map((body, index) => [head(numbers[index] ?? ''), ...body, caution]);
    return { way, scale, sheets, torn };
  });
}

/** The rows on their sheets, with so much room each, and what belongs under them as it finds room. */
function bodiesOf(
  rows: readonly Block[],
  foot: readonly Block[],
  width: number,
  room: number,
): readonly (readonly Block[])[] {
  const waiting = [...foot];
  const filled = (block?: Block): readonly Block[] => {
    const used = block === undefined ? 0 : block.height + space;
    const here: Block[] = [];
    for (const each of [...waiting]) {
      const fits = used + packBlocks([...here, each], width, space).height <= room;
      // What is too high for any sheet has one of its own.
      if (!fits && used + here.length > 0) continue;
      here.push(each);
      waiting.splice(waiting.indexOf(each), 1);
    }
    const body = block === undefined ? [] : [block];
    return here.length === 0 ? body : [...body, packBlocks(here, width, space)];
  };
  const bodies = rows.map((block) => filled(block));
  while (waiting.length > 0) bodies.push(filled());
  return bodies;
}

function footBlocks(
  picture: Picture,
  palette: Palette,
  comments: 'beside' | 'apart',
  torn: boolean,
): readonly Block[] {
  return [
    comments === 'apart' ? commentsBlock(picture, palette) : undefined,
    readingsBlock(picture, palette),
    symptomsBlock(picture, palette),
    ...chartBlocks(picture, palette),
    partsBlock(picture, palette),
    keyBlock(picture, palette, torn),
  ].flatMap((block) => block ?? []);
}

function headBlock(picture: Picture, palette: Palette, width: number, sheet = ''): Block {
  const { circuit } = picture.ladder;
  const beside = sheet === '' ? 0 : textWidth(sheet, 11) + space;
  const lines = [
    ...foldText(clean(circuit.title), 16, (width - beside) / 1.1).map((text) => ({
      text,
      size: 16,
      bold: true,
    })),
    ...[...headlines(picture), ...jobHeadline(picture)]
      .flatMap((line) => foldText(line, 11, width / 1.1))
      .map((text) => ({ text, size: 11, bold: false })),
  ];
  const heights = lines.map(({ size }) => size + 5);
  const before = (index: number) => heights.slice(0, index).reduce((sum, each) => sum + each, 0);
  const number = (x: number, y: number) =>
    svgWords(sheet, { x: x + width, y: y + 16, size: 11, anchor: 'end', fill: palette.ink });
  return {
    width: Math.max(
      ...lines.map(({ text, size, bold }) => textWidth(text, size, bold)),
      sheet === '' ? 0 : width,
    ),
    height: before(lines.length),
    paint: (x, y) => [
      ...lines.map(({ text, size, bold }, index) =>
        svgWords(text, { x, y: y + before(index) + size, size, bold, fill: palette.ink }),
      ),
      ...(sheet === '' ? [] : [number(x, y)]),
    ],
  };
}
