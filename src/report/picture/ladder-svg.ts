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
  type Comments,
  commentsBlock,
  costOfParts,
  emptyBefore,
  type LaidLadder,
  layLadder,
  looseBlocks,
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

/** Columns of the lists under a ladder. */
interface Columns {
  readonly texts: number;
  readonly parts: number;
  readonly key: number;
}

type FootOf = (columns: Columns, torn: boolean) => readonly Block[];

const few = [1, 2, 3] as const;
const alike: readonly Columns[] = [
  ...few.map((each) => ({ texts: each, parts: each, key: each })),
  { texts: 3, parts: 3, key: 4 },
];
const anyColumns: readonly Columns[] = few.flatMap((texts) =>
  few.flatMap((parts) => few.map((key) => ({ texts, parts, key }))),
);

/**
 * One sheet where letters stay readable on it, else the fewest; then torn as little as can be, with the loads beside
 * the ladder rather than listed under it, and large. What is too wide even so comes out as large as it can.
 */
function sheetsFor(picture: Picture, palette: Palette): Spread {
  const tried: (Spread & { readonly comments: Comments })[] = [];
  for (const comments of ['beside', 'apart'] as const) {
    const ladder = layLadder(picture, comments);
    const foot = footOf(ladder, palette, comments);
    const one = onOneSheet(ladder, foot, palette);
    if (one.scale >= leastMillimetres) return one;
    const several = ways.flatMap((way) => onSheets(ladder, foot, way, palette));
    tried.push(...[one, ...several].map((each) => ({ ...each, comments })));
  }
  const [best] = tried
    .filter(({ scale }) => scale >= leastMillimetres)
    .sort(
      (a, b) =>
        a.sheets.length - b.sheets.length ||
        tear(a) - tear(b) ||
        Number(a.comments === 'apart') - Number(b.comments === 'apart') ||
        a.torn - b.torn ||
        b.scale - a.scale,
    );
  return best ?? tried.reduce((a, b) => (b.scale > a.scale + scaleStep ? b : a));
}

/** Rather a pair of rails cut, which have their letters on every sheet, than loads away from their rungs. */
function tear({ torn }: Spread): number {
  return Math.max(0, torn - 2);
}

/** As large as it comes out on one sheet, whatever the columns and the width of what stands under it. */
function onOneSheet(ladder: LaidLadder, foot: FootOf, palette: Palette): Spread {
  const rows = partsBlockOf(ladder, wholeOf(ladder), palette);
  const widest = ways.map((way) => roomOf(way, leastMillimetres).width);
  const caution = textBlock([shortCaution], palette).width;
  const tried = anyColumns.flatMap((columns) => {
    const under = foot(columns, false);
    const least = Math.max(ladder.width, ...under.map((block) => block.width));
    return [least, ...widest.filter((width) => width > least)].map((width): Spread => {
      const packed = packBlocks(under, width, space);
      const needed = Math.max(ladder.width, packed.width);
      // Rather a little wider than a last line of one word.
      const body = caution <= needed * 1.08 ? Math.max(needed, caution) : needed;
      const blocks = [
        headBlock(ladder.picture, palette, body),
        rows,
        packed,
        textBlock([shortCaution], palette, { width: body }),
      ];
      return { ...fill(blocks), sheets: [blocks], torn: 0 };
    });
  });
  return tried.reduce((a, b) => (b.scale > a.scale + 1e-6 ? b : a));
}

/** A ladder on full sheets that lie one way, at the scales that let it have its width. */
function onSheets(ladder: LaidLadder, foot: FootOf, way: Way, palette: Palette): readonly Spread[] {
  return alike.flatMap((columns) => {
    const [whole, cut] = [foot(columns, false), foot(columns, true)];
    const width = Math.max(ladder.tornWidth, ...cut.map((block) => block.width));
    const scales = [Math.min(mostMillimetres, widestScale(way, width))];
    while ((scales.at(-1) ?? 0) - scaleStep >= leastMillimetres)
      scales.push((scales.at(-1) ?? 0) - scaleStep);
    const tries = scales.flatMap((scale) => emptyBefore.map((before) => ({ scale, before })));
    return tries.map(({ scale, before }): Spread => {
      const room = roomOf(way, scale);
      const caution = textBlock([shortCaution], palette, { width: room.width });
      const head = (words: string) => headBlock(ladder.picture, palette, room.width, words);
      const free = room.height - heightOf([head('Sheet 1 of 2'), caution]) - space;
      const parts = spread(ladder, free, before);
      const torn = costOfParts(parts.flat());
      const bodies = bodiesOf(
        parts.map((each) => partsBlockOf(ladder, each, palette)),
        torn > 0 ? cut : whole,
        room.width,
        free,
      );
      const numbers = bodies.map((_, index) =>
        bodies.length === 1 ? '' : `Sheet ${index + 1} of ${bodies.length}`,
      );
      const sheets = bodies.map((body, index) => [head(numbers[index] ?? ''), ...body, caution]);
      return { way, scale, sheets, torn };
    });
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

/** What stands under a ladder: each list is laid out once for each number of columns. */
function footOf(ladder: LaidLadder, palette: Palette, comments: Comments): FootOf {
  const { picture } = ladder;
  const [loose, readings] = [looseBlocks(ladder, palette), readingsBlock(picture, palette)];
  const lists = [...few, 4].map((columns) => ({
    comments: comments === 'apart' ? commentsBlock(picture, palette, columns) : undefined,
    texts: [symptomsBlock(picture, palette, columns), ...chartBlocks(picture, palette, columns)],
    parts: partsBlock(picture, palette, columns),
    key: [keyBlock(picture, palette, columns, false), keyBlock(picture, palette, columns, true)],
  }));
  return ({ texts, parts, key }, torn) => {
    const [inTexts, inParts, inKey] = [lists[texts - 1], lists[parts - 1], lists[key - 1]];
    return [
      ...loose,
      inTexts?.comments,
      readings,
      ...(inTexts?.texts ?? []),
      inParts?.parts,
      inKey?.key[torn ? 1 : 0],
    ].flatMap((block) => block ?? []);
  };
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
