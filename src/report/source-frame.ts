import type { Source, Span } from '../text/text.js';
import { asciiOnly, cleanEach } from './clean.js';
import { columnsOf } from './columns.js';

/** A source line made fit to show, and the columns of it that are meant. */
export interface SourceFrame {
  readonly text: string;
  /** Columns before the first meant one. */
  readonly from: number;
  /** How many are meant, 1 at least. */
  readonly count: number;
}

export interface FrameStyle {
  /** Columns there are. */
  readonly width: number;
  readonly ascii: boolean;
}

/** What is shown for one character, and the columns it takes. */
interface Cell {
  readonly text: string;
  readonly columns: number;
}

const tabStop = 4;

/** A frame narrower than this shows nothing of use. */
const leastWidth = 20;

/**
 * The line a span starts in: cleaned, tabs as blanks, clipped around the span where it is wider than there is room.
 * Of a span over several lines the first is shown. Undefined for an empty source, which has nothing to show.
 */
export function frameOf(source: Source, span: Span, style: FrameStyle): SourceFrame | undefined {
  const { text } = source;
  if (text === '') return undefined;
  const room = Math.max(style.width, leastWidth);
  let start = Math.min(span.start, text.length);
  if (text[start] === '\n' && text[start - 1] === '\r') start -= 1;
  const lineStart = edge(text, start, -1, room);
  const lineEnd = edge(text, start, 1, room);
  const end = Math.min(Math.max(span.end, start), lineEnd);
  const before = text.slice(lineStart, start);
  const meant = text.slice(start, end);
  const cells = cellsOf(text.slice(lineStart, lineEnd), style.ascii);
  const from = [...before].length;
  return clip(cells, from, from + [...meant].length, atBreak(text, lineEnd), room, style.ascii);
}

/** Where the line of `start` begins (step -1) or ends (1), looked for no further than what may come to be shown. */
function edge(text: string, start: number, step: -1 | 1, reach: number): number {
  let at = start;
  const behind = step === -1 ? -1 : 0;
  while (Math.abs(at - start) < reach && !atBreak(text, at + behind)) at += step;
  return at;
}

/** A line end, or the end of the text on either side. */
function atBreak(text: string, at: number): boolean {
  const character = text[at];
  return character === undefined || character === '\n' || character === '\r';
}

function cellsOf(line: string, ascii: boolean): Cell[] {
  const cells: Cell[] = [];
  let column = 0;
  for (const [character, shown] of cleanEach(line)) {
    const text =
      character === '\t' ? ' '.repeat(tabStop - (column % tabStop)) : ascii ? asciiOnly(shown) : shown;
    const columns = columnsOf(text);
    cells.push({ text, columns });
    column += columns;
  }
  return cells;
}

/** Cells `from` to `to` are meant; as many of the others as fit are shown around them. `isWhole`: the line ends with them. */
function clip(
  cells: readonly Cell[],
  from: number,
  to: number,
  isWhole: boolean,
  room: number,
  ascii: boolean,
): SourceFrame {
  const dots = ascii ? '...' : '…';
  const meant = total(cells, from, to);
  const fits = total(cells, 0, from) + Math.min(meant, room / 2) <= room - dots.length;
  let first = 0;
  if (!fits) {
    const lead = Math.floor(room / 3);
    first = from;
    for (let columns = 0; first > 0; first -= 1) {
      columns += cells[first - 1]?.columns ?? 0;
      if (columns > lead) break;
    }
  }
  const head = first > 0 ? dots : '';
  const shown = fill(cells, first, room - head.length, isWhole, dots);
  const indent = head.length + total(cells, first, from);
  const count = Math.max(1, Math.min(meant, columnsOf(shown) + head.length - indent));
  return { text: head + shown, from: indent, count };
}

/** The cells from `first` on that fit, with dots for the rest (and for what lies behind cells that are not whole). */
function fill(cells: readonly Cell[], first: number, room: number, isWhole: boolean, dots: string): string {
  const rest = cells.slice(first);
  if (isWhole && total(rest, 0, rest.length) <= room) return join(rest);
  let columns = dots.length;
  let last = 0;
  while (last < rest.length && columns + (rest[last]?.columns ?? 0) <= room) {
    columns += rest[last]?.columns ?? 0;
    last += 1;
  }
  return join(rest.slice(0, last)) + dots;
}

function total(cells: readonly Cell[], from: number, to: number): number {
  let columns = 0;
  for (const cell of cells.slice(from, to)) columns += cell.columns;
  return columns;
}

function join(cells: readonly Cell[]): string {
  return cells
    .map((cell) => cell.text)
    .join('')
    .trimEnd();
}
