import { foldText, type Layout, layOut, leftOf, type Picture, textWidth } from '../../draw/draw.js';
import { shortCaution } from '../cautions.js';
import { clean } from '../clean.js';
import { type Block, packBlocks, textBlock } from './block.js';
import { captionOf, headlines } from './captions.js';
import { chartBlocks } from './chart-blocks.js';
import { jobHeadline, jobNotes, readingsBlock, symptomsBlock } from './job-words.js';
import { keyBlock, partsBlock } from './key-block.js';
import { letteringFor } from './lettering.js';
import { type Palette, palettes, type Theme } from './palette.js';
import { sectionSvg } from './section-svg.js';
import { sheetSvg } from './sheet.js';
import { svgWords } from './svg.js';

export interface SvgOptions {
  readonly theme: Theme;
}

/** Between blocks of the sheet. */
const space = 18;

/**
 * A ladder drawing as one SVG document, sized for A4 or Letter: attributes only, no style, ids, scripts or references,
 * so that it stands safely inside HTML. Text from the circuit is cleaned and escaped.
 */
export function ladderSvg(picture: Picture, { theme }: SvgOptions): string {
  const palette = palettes[theme];
  const ladder = ladderBlock(picture, palette);
  const foot = [
    readingsBlock(picture, palette),
    symptomsBlock(picture, palette),
    ...chartBlocks(picture, palette),
    partsBlock(picture, palette),
    keyBlock(picture, palette),
  ].flatMap((block) => block ?? []);
  const width = Math.max(ladder.width, ...foot.map((block) => block.width));
  const blocks = [
    headBlock(picture, palette, width),
    ladder,
    packBlocks(foot, width, space),
    textBlock([shortCaution], palette, { width }),
  ];
  return sheetSvg(clean(picture.ladder.circuit.title), blocks, palette);
}

function headBlock(picture: Picture, palette: Palette, width: number): Block {
  const { circuit } = picture.ladder;
  const lines = [
    ...foldText(clean(circuit.title), 16, width / 1.1).map((text) => ({ text, size: 16, bold: true })),
    ...[...headlines(picture), ...jobHeadline(picture)]
      .flatMap((line) => foldText(line, 11, width / 1.1))
      .map((text) => ({ text, size: 11, bold: false })),
  ];
  const heights = lines.map(({ size }) => size + 5);
  const before = (index: number) => heights.slice(0, index).reduce((sum, each) => sum + each, 0);
  return {
    width: Math.max(...lines.map(({ text, size, bold }) => textWidth(text, size, bold))),
    height: before(lines.length),
    paint: (x, y) =>
      lines.map(({ text, size, bold }, index) =>
        svgWords(text, { x, y: y + before(index) + size, size, bold, fill: palette.ink }),
      ),
  };
}

/** All sections under one another, their left rails in line. */
function ladderBlock(picture: Picture, palette: Palette): Block {
  const { ladder } = picture;
  const lettering = letteringFor(ladder, picture.scene, jobNotes(picture));
  const natural = ladder.sections.map((section) => layOut(section, lettering, 0));
  const widest = Math.max(...natural.map(({ width }) => width));
  const layouts = inLine(
    ladder.sections.map((section, index) => {
      const own = natural[index];
      const stands = own !== undefined && (own.width === widest || section.poles.length < 2);
      return stands ? own : layOut(section, lettering, widest);
    }),
  );
  const left = Math.max(...layouts.map((each) => each.left));
  const right = Math.max(...layouts.map((each) => each.width + each.right));
  const captions = ladder.sections.map((section) => captionOf(picture, section));
  let height = 0;
  const tops = layouts.map((layout) => {
    const top = height;
    height += captionHeight + layout.height + 4;
    return top;
  });
  const paint = (x: number, y: number) =>
    layouts.flatMap((layout, index) => [
      svgWords(captions[index] ?? '', {
        x: x + left,
        y: y + (tops[index] ?? 0) + 9,
        size: 10,
        bold: true,
        fill: palette.faint,
      }),
      ...sectionSvg(picture, layout, palette, x + left, y + (tops[index] ?? 0) + captionHeight),
    ]);
  const caption = Math.max(...captions.map((each) => textWidth(each, 10, true)));
  return { width: left + Math.max(right, caption), height, paint };
}

const captionHeight = 16;

/** Comments and numbers of all sections in one column each. */
function inLine(layouts: readonly Layout[]): readonly Layout[] {
  const columns = { comment: Number.NEGATIVE_INFINITY, number: Number.POSITIVE_INFINITY };
  for (const { role, x } of layouts.flatMap(({ texts }) => texts)) {
    if (role === 'comment') columns.comment = Math.max(columns.comment, x);
    if (role === 'number') columns.number = Math.min(columns.number, x);
  }
  return layouts.map((layout) => {
    const texts = layout.texts.map((text) =>
      text.role === 'comment' || text.role === 'number' ? { ...text, x: columns[text.role] } : text,
    );
    const left = -Math.min(0, ...texts.map(leftOf));
    const right = Math.max(layout.width, ...texts.map((text) => leftOf(text) + text.width)) - layout.width;
    return { ...layout, texts, left, right };
  });
}
