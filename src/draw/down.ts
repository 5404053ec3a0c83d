import { type Cell, type LetteredRow, lineHeight } from './cells.js';
import type { LadderSection } from './ladder.js';
import { uprightsOf } from './uprights.js';

/** Where things stand from the top down. */
export interface Down {
  readonly height: number;
  /** Of each row, its line. */
  readonly rows: readonly number[];
  /** Of each row, where the next may begin. */
  readonly ends: readonly number[];
  /** From a row's line up to the baseline of the text at a wire that is looped down to it. */
  readonly lanes: readonly number[];
}

/** From a row's line to the first baseline above a symbol and above a wire, and under either. */
export const overSymbol = 15.5;
export const overWire = 5;
export const underLine = 12;
/** From a row's line to the first baseline under a symbol where nothing stands beside it. */
export const underSymbol = 19;

/** Each row as high as what is written in it. */
export function placeDown(section: LadderSection, rows: readonly LetteredRow[]): Down {
  const looped = new Set(
    uprightsOf(section.rows).flatMap(({ loop, last }) => (loop === undefined ? [] : [last])),
  );
  const lines: number[] = [];
  const lanes: number[] = [];
  const ends: number[] = [];
  let bottom = 0;
  for (const row of section.rows.keys()) {
    const own = rows.filter((each) => each.row === row);
    const cells = own.flatMap((each) => each.cells);
    const above = Math.max(lineHeight, ...cells.map(heightAbove));
    const lane = looped.has(row) ? lineHeight : 0;
    const under = Math.max(
      ...cells.map(heightUnder),
      ...own.map(({ comment }) => lineHeight * comment.length - 8),
    );
    lines.push(bottom + above + lane);
    lanes.push(above + 1);
    bottom += above + lane + under + 4;
    ends.push(bottom);
  }
  return { height: bottom, rows: lines, ends, lanes };
}

function heightAbove({ wire, names, left, right }: Cell): number {
  const lines = Math.max(names.length, wire && (left.label ?? right.label) !== undefined ? 1 : 0);
  return (wire ? overWire : overSymbol) + lineHeight * lines - 1;
}

function heightUnder({ wire, notes, left, right }: Cell): number {
  const sides = Math.max(left.notes.length, right.notes.length);
  const beside = sides === 0 ? 0 : underLine + lineHeight * (sides - 1);
  if (wire)
    return Math.max(
      4,
      beside + 2,
      notes.length === 0 ? 0 : underLine + lineHeight * (sides + notes.length - 1) + 2,
    );
  return Math.max(
    10,
    beside + 2,
    notes.length === 0 ? 0 : firstNote(sides) + lineHeight * (notes.length - 1) + 2,
  );
}

/** The baseline of the first note under a symbol, with this many lines beside it. */
export function firstNote(sides: number): number {
  return sides === 0 ? underSymbol : Math.max(underSymbol, underLine + lineHeight * sides);
}
