import {
  costOfCut,
  heightOfCut,
  type Layout,
  type Lettering,
  layOut,
  leftOf,
  type Picture,
  piece,
  reachOfCuts,
  textWidth,
} from '../../draw/draw.js';
import { type Block, textListBlock } from './block.js';
import { captionOf } from './captions.js';
import { jobNotes } from './job-words.js';
import { letteringFor, loadLines } from './lettering.js';
import type { Palette } from './palette.js';
import { earthReach, sectionSvg } from './section-svg.js';
import { svgWords } from './svg.js';

/** A ladder on paper, before it is put on sheets: its sections, with their rails and columns in line. */
export interface LaidLadder {
  readonly picture: Picture;
  readonly lettering: Lettering;
  readonly sections: readonly LaidSection[];
  /** Sections at the end that are a single row without rails: they stand where there is room. */
  readonly loose: readonly LaidSection[];
  readonly width: number;
  /** The same where sections are cut, and lines that go on have their names. */
  readonly tornWidth: number;
  readonly left: number;
}

interface LaidSection {
  readonly caption: string;
  readonly layout: Layout;
}

/** Some rows of a section. */
export interface Part {
  readonly section: LaidSection;
  readonly from: number;
  readonly to: number;
}

const captionHeight = 16;
const afterSection = 10;

/** Whether what is said of loads stands beside their rungs, or in a list elsewhere. */
export type Comments = 'beside' | 'apart';

/** All sections, their left rails in line; comments beside their rungs, or left out because they stand elsewhere. */
export function layLadder(picture: Picture, comments: Comments): LaidLadder {
  const { ladder } = picture;
  const full = letteringFor(ladder, picture.scene, jobNotes(picture));
  const lettering: Lettering = comments === 'beside' ? full : { ...full, comment: () => [] };
  const natural = ladder.sections.map((section) => layOut(section, lettering, 0));
  const widest = Math.max(...natural.map(({ width }) => width));
  const layouts = inLine(
    ladder.sections.map((section, index) => {
      const own = natural[index];
      const stands = own !== undefined && (own.width === widest || section.poles.length < 2);
      return stands ? own : layOut(section, lettering, widest);
    }),
  );
  const all = ladder.sections.flatMap((section, index) => {
    const layout = layouts[index];
    return layout === undefined ? [] : [{ caption: captionOf(picture, section), layout }];
  });
  const railed = ladder.sections.findLastIndex(({ poles, rows }) => poles.length > 1 || rows.length > 1);
  const [sections, loose] = [all.slice(0, Math.max(1, railed + 1)), all.slice(Math.max(1, railed + 1))];
  const left = Math.max(...layouts.map((each) => each.left));
  const right = Math.max(...layouts.map((each) => each.width + each.right));
  const caption = Math.max(...sections.map((each) => textWidth(each.caption, 10, true)));
  const width = left + Math.max(right, caption);
  const names = Math.max(...layouts.map((each) => reachOfCuts(each, lettering)));
  const tornWidth = Math.max(width, left + names);
  return { picture, lettering, sections, loose, left, width, tornWidth };
}

/** What would stand beside the rungs, by their numbers, for a ladder that needs the width. */
export function commentsBlock({ ladder, scene }: Picture, palette: Palette, columns: number): Block {
  const lines = loadLines(ladder, scene).map(({ rung, words }) => `${rung}  ${words.join('; ')}`);
  return textListBlock(['Loads by rung', ...lines], palette, { width: 330, columns });
}

/** Every section whole but the loose ones. */
export function wholeOf({ sections }: LaidLadder): readonly Part[] {
  return sections.map(whole);
}

function whole(section: LaidSection): Part {
  return { section, from: 0, to: section.layout.height };
}

/** Each loose section on its own. */
export function looseBlocks(ladder: LaidLadder, palette: Palette): readonly Block[] {
  return ladder.loose.map((section) => {
    const { caption, layout } = section;
    const ladderWidth = layout.width + Math.max(layout.right, earthReach);
    const width = ladder.left + Math.max(ladderWidth, textWidth(caption, 10, true));
    return { ...partsBlockOf(ladder, [whole(section)], palette), width };
  });
}

export function partHeight({ section: { layout }, from, to }: Part, lettering: Lettering): number {
  const above = from === 0 ? 0 : heightOfCut(layout, from, lettering);
  const below = to === layout.height ? 0 : heightOfCut(layout, to, lettering);
  return captionHeight + above + to - from + below + afterSection;
}

/** How much is torn apart where parts end within a section. */
export function costOfParts(parts: readonly Part[]): number {
  return parts.reduce((sum, { section: { layout }, from, to }) => sum + costOfEnd(layout, from, to), 0);
}

/** How bad it is to leave a single row alone on its side of a cut. */
const aloneCost = 6;

function costOfEnd(layout: Layout, from: number, to: number): number {
  if (to === layout.height) return 0;
  const rows = (a: number, b: number) => layout.ends.filter((end) => end > a && end <= b).length;
  const alone = rows(from, to) === 1 || rows(to, layout.height) === 1;
  return costOfCut(layout, to) + (alone ? aloneCost : 0);
}

/** How bad it is to leave a whole sheet empty, beside cutting through lines. */
const emptySheet = 12;

/** The same where a section goes to the next sheet uncut: lists may fill what it leaves, or nothing does. */
export const emptyBefore: readonly number[] = [emptySheet, 2];

/**
 * Rows for sheets with this much room each: a section is cut where few lines go through, and rather than leave much of
 * a sheet empty. `before` is one of `emptyBefore`.
 */
export function spread(
  { sections, lettering }: LaidLadder,
  room: number,
  before: number,
): readonly (readonly Part[])[] {
  const sheets: Part[][] = [[]];
  let free = room;
  const put = (part: Part) => {
    sheets.at(-1)?.push(part);
    free -= partHeight(part, lettering);
  };
  const turn = () => {
    sheets.push([]);
    free = room;
  };
  for (const section of sections) {
    const { layout } = section;
    for (let from = 0; from < layout.height; ) {
      const rest = { section, from, to: layout.height };
      if (partHeight(rest, lettering) <= free) {
        put(rest);
        break;
      }
      const ends = layout.ends.filter((end) => end > from && end < layout.height);
      const left = free;
      const choices = ends.flatMap((to) => {
        const part = { section, from, to };
        const over = left - partHeight(part, lettering);
        return over < 0 ? [] : [{ part, cost: costOfEnd(layout, from, to) + (emptySheet * over) / room }];
      });
      const isFresh = sheets.at(-1)?.length === 0;
      if (!isFresh) choices.push({ part: { section, from, to: from }, cost: (before * left) / room });
      // A row too high for any sheet stands on one of its own.
      const [first = layout.height] = ends;
      const none = { part: { section, from, to: first }, cost: 0 };
      const { part } = choices.length === 0 ? none : choices.reduce((a, b) => (b.cost < a.cost ? b : a));
      if (part.to > from) put(part);
      from = part.to;
      if (from < layout.height) turn();
    }
  }
  return sheets;
}

/** Parts under one another, each under what feeds its section. */
export function partsBlockOf(
  { picture, lettering, width, left }: LaidLadder,
  parts: readonly Part[],
  palette: Palette,
): Block {
  const tops: number[] = [];
  let height = 0;
  for (const part of parts) {
    tops.push(height);
    height += partHeight(part, lettering);
  }
  const paint = (x: number, y: number) =>
    parts.flatMap(({ section: { caption, layout }, from, to }, index) => {
      const top = y + (tops[index] ?? 0);
      const words = from === 0 ? caption : `${caption} (continued)`;
      const shown = from === 0 && to === layout.height ? layout : piece(layout, from, to, lettering);
      return [
        svgWords(words, { x: x + left, y: top + 9, size: 10, bold: true, fill: palette.faint }),
        ...sectionSvg(picture, shown, palette, x + left, top + captionHeight),
      ];
    });
  return { width, height: Math.max(0, height - afterSection), paint };
}

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
