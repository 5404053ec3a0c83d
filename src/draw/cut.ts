import { gap, lineHeight, widthOf } from './cells.js';
import type { Lettering } from './lettering.js';
import type { Layout, PlacedLine, PlacedPassage, PlacedText } from './placed.js';

/** From a cut to the end of the line that is cut, and what is left beyond the last name. */
const stub = 7;
const beyond = 4;

/** What it costs to cut through a line: a rail is known by its letter on every sheet, a wire would be in two pieces. */
const costs = { rail: 1, upright: 3, wire: 40 } as const;

/** How much is torn apart where a section is cut off under a row. */
export function costOfCut({ lines }: Layout, y: number): number {
  const cost = ({ rail, wire }: PlacedLine) =>
    wire !== undefined ? costs.wire : rail === true ? costs.rail : costs.upright;
  return lines.filter((line) => isThrough(line, y)).reduce((sum, line) => sum + cost(line), 0);
}

/** What a cut adds to each of its sides: names where lines go on. */
export function heightOfCut(layout: Layout, y: number, lettering: Lettering): number {
  const through = passing(layout, y, lettering);
  return through.length === 0
    ? 0
    : stub + lineHeight * Math.max(...through.map(({ level }) => level)) + beyond;
}

/** How far right names can reach, wherever a section is cut. */
export function reachOfCuts({ lines }: Layout, lettering: Lettering): number {
  const names = lines
    .filter(({ x1, x2, y1, y2 }) => x1 === x2 && y1 !== y2)
    .map(({ x1, node }) => x1 + 2 * gap + widthOf(lettering.place(node), 'elsewhere'));
  return Math.max(0, ...names);
}

/** The rows of a section from one of its cuts to another, as a piece for a sheet; lines that go on have their name. */
export function piece(layout: Layout, from: number, to: number, lettering: Lettering): Layout {
  const above = from === 0 ? 0 : heightOfCut(layout, from, lettering);
  const below = to === layout.height ? 0 : heightOfCut(layout, to, lettering);
  const shift = above - from;
  const isIn = (y: number) => y >= from && y < to;
  const moved = <Placed extends { readonly y: number }>(all: readonly Placed[]): Placed[] =>
    all.filter(({ y }) => isIn(y)).map((each) => ({ ...each, y: each.y + shift }));
  const ends = [
    ...(from === 0 ? [] : passing(layout, from, lettering).map((each) => endOf(each, 'up', above))),
    ...(to === layout.height
      ? []
      : passing(layout, to, lettering).map((each) => endOf(each, 'down', to + shift))),
  ];
  const end = (x: number, way: 'up' | 'down', otherwise: number) =>
    ends.find((each) => each.passage.x === x && each.passage.way === way)?.passage.y ?? otherwise;
  const lines = layout.lines.flatMap((line): PlacedLine[] => {
    const { x1, y1, y2 } = line;
    if (y1 === y2) return isIn(y1) ? [{ ...line, y1: y1 + shift, y2: y2 + shift }] : [];
    const [high, low] = [Math.min(y1, y2), Math.max(y1, y2)];
    if (low < from || high >= to) return [];
    const head = high < from ? end(x1, 'up', 0) : high + shift;
    const foot = low >= to ? end(x1, 'down', to + shift + below) : low + shift;
    const across = y1 < y2 ? { y1: head, y2: foot } : { y1: foot, y2: head };
    if (line.wire === undefined || (high >= from && low < to)) return [{ ...line, ...across }];
    // Where a wire is cut or lifted is drawn once: in the piece at its far end.
    const { wire, ...plain } = line;
    return [isIn(y1) ? { ...plain, ...across } : { ...plain, wire, ...across }];
  });
  const boxes = layout.boxes.flatMap((box) => {
    const [high, low] = [Math.max(box.y, from), Math.min(box.y + box.height, to)];
    return low <= high ? [] : [{ ...box, y: high + shift, height: low - high }];
  });
  const texts = [...moved(layout.texts), ...ends.map(({ text }) => text)];
  return {
    ...layout,
    height: above + to - from + below,
    ends: layout.ends.filter((y) => y > from && y <= to).map((y) => y + shift),
    right:
      Math.max(layout.width, ...texts.map(({ x, width, anchor }) => (anchor === 'start' ? x + width : x))) -
      layout.width,
    texts,
    lines,
    boxes,
    symbols: moved(layout.symbols),
    nodes: moved(layout.nodes),
    passages: ends.map(({ passage }) => passage),
  };
}

function isThrough({ x1, x2, y1, y2 }: PlacedLine, y: number): boolean {
  return x1 === x2 && Math.min(y1, y2) < y && Math.max(y1, y2) > y;
}

interface Passing {
  readonly x: number;
  readonly node: number;
  readonly text: string;
  readonly width: number;
  /** Lines of text nearer to the cut that its own name keeps clear of. */
  readonly level: number;
}

/**
 * The lines through a cut, from left to right. Names stand right of the ends, like stairs: a line whose name would run
 * into the next line is longer than that one, and its name stands beyond.
 */
function passing(layout: Layout, y: number, lettering: Lettering): readonly Passing[] {
  const through = layout.lines.filter((line) => isThrough(line, y)).sort((a, b) => b.x1 - a.x1);
  const found: Passing[] = [];
  for (const { x1: x, node } of through) {
    const text = lettering.place(node);
    const width = widthOf(text, 'elsewhere');
    const reached = found.filter((each) => each.x < x + width + 4 * gap);
    found.unshift({ x, node, text, width, level: Math.max(-1, ...reached.map(({ level }) => level)) + 1 });
  }
  return found;
}

/** The end of a line, `at` its cut, and its name. */
function endOf(
  { x, node, text, width, level }: Passing,
  way: 'up' | 'down',
  at: number,
): { readonly passage: PlacedPassage; readonly text: PlacedText } {
  const far = stub + lineHeight * level;
  const y = way === 'up' ? at - far : at + far;
  return {
    passage: { x, y, way, node },
    text: {
      role: 'elsewhere',
      text,
      x: x + 2 * gap,
      y: way === 'up' ? y + 6 : y + 1,
      anchor: 'start',
      width,
      of: { node },
    },
  };
}
