import { isConductor } from '../circuit/circuit.js';
import type { Element } from './elements.js';
import { foldText, textWidth } from './font.js';
import type { LadderSection } from './ladder.js';
import type { Laid } from './laid.js';
import { isBold, type Lettering, linesOf, type TextRole, textSizes } from './lettering.js';
import { elementsInRow, namedEnds, nodesInRow } from './uprights.js';

/** Half a symbol, leads included; clear width between things; from line to line of text. */
export const symbolHalf = 14;
export const gap = 3;
export const lineHeight = 10.5;
/** From a looped wire to its text: clear of the box that shades the wire. */
export const besideLoop = 5;

/** One element in its row, with what is written at it. */
export interface Cell {
  readonly element: Element;
  readonly wire: boolean;
  readonly load: boolean;
  readonly names: readonly string[];
  readonly notes: readonly string[];
  readonly left: Side;
  readonly right: Side;
  /** What it takes left and right of its middle, up to the nodes. */
  readonly low: number;
  readonly high: number;
  /** What of that stands around the middle; along a wire the rest stands at its ends. */
  readonly half: { readonly low: number; readonly high: number };
  /** The least from node to node. */
  readonly least: number;
}

/** What is written at one end of a cell. */
export interface Side {
  readonly node: number;
  readonly label: string | undefined;
  readonly notes: readonly string[];
}

/** A rung in its row, with all that is written at it. */
export interface LetteredRow {
  readonly laid: Laid;
  readonly row: number;
  readonly nodes: readonly number[];
  readonly cells: readonly Cell[];
  /** At ends that are only named. */
  readonly elsewhere: readonly [string | undefined, string | undefined];
  readonly comment: readonly string[];
  readonly number: string;
}

/** Comments are folded at this width. */
const commentWidth = 112;

export function widthOf(text: string, role: TextRole): number {
  return textWidth(text, textSizes[role], isBold(role));
}

/** The rows of a section with their texts, each node's own notes and name once; names folded in the rows of `folded`. */
export function letterRows(
  section: LadderSection,
  lettering: Lettering,
  folded: (row: number) => boolean,
): readonly LetteredRow[] {
  const rows = section.rows.flatMap((laids, row) => laids.map((laid) => ({ laid, row })));
  const atSymbol = new Set(
    section.elements.filter(({ role }) => role !== 'wire').flatMap(({ from, to }) => [from, to]),
  );
  const atWire = new Set(
    rows
      .flatMap(({ laid }) => elementsInRow(laid))
      .filter(({ role }) => role === 'wire')
      .flatMap(({ from, to }) => [from, to]),
  );
  const named = new Set<number>();
  const noted = new Set<number>();
  const once = (met: Set<number>, node: number, here: boolean): boolean => {
    if (!here || met.has(node)) return false;
    met.add(node);
    return true;
  };
  const sideOf = (node: number, element: Element): Side => {
    const wire = element.role === 'wire';
    const label =
      !wire || once(named, node, !atSymbol.has(node)) ? lettering.terminal(node, element) : undefined;
    // Along a wire is room; a node without one has its notes at a symbol.
    const notes = once(noted, node, wire || !atWire.has(node)) ? lettering.node(node) : [];
    return { node, label, notes };
  };
  return rows.map(({ laid, row }) => {
    const nodes = nodesInRow(laid);
    let before: Side | undefined;
    const cells = elementsInRow(laid).map((element, index) => {
      const left = onlyOnce(sideOf(nodes[index] ?? -1, element), before);
      const right = sideOf(nodes[index + 1] ?? -1, element);
      before = right;
      return cellOf(lettering, element, left, right, folded(row));
    });
    const [start, end] = namedEnds(laid);
    const away = (is: boolean, node: number | undefined) =>
      is && node !== undefined ? lettering.elsewhere(node) : undefined;
    const comment = lettering
      .comment(laid.rung.elements)
      .flatMap((line) => foldText(line, textSizes.comment, commentWidth));
    return {
      laid,
      row,
      nodes,
      cells,
      elsewhere: [away(start, nodes[0]), away(end, nodes.at(-1))],
      comment,
      number: lettering.number(laid),
    };
  });
}

/** Without the name that the symbol before it in the row has given to the same node. */
function onlyOnce(side: Side, before: Side | undefined): Side {
  return side.label !== undefined && side.label === before?.label ? { ...side, label: undefined } : side;
}

function cellOf(lettering: Lettering, element: Element, left: Side, right: Side, folded: boolean): Cell {
  const wire = element.role === 'wire';
  const names = linesOf(lettering.name(element), folded);
  const notes = lettering.notes(element).flatMap((note) => linesOf(note, folded));
  const texts = { names, notes, left, right };
  const cell = { element, wire, load: !isConductor(element.role), ...texts };
  return { ...cell, ...(wire ? wireExtent(texts) : symbolExtent(texts)) };
}

type Texts = Pick<Cell, 'names' | 'notes' | 'left' | 'right'>;
type Extent = Pick<Cell, 'low' | 'high' | 'half' | 'least'>;

export function labelWidth({ label }: Side): number {
  return label === undefined ? 0 : widthOf(label, 'terminal');
}

function notesWidth({ notes }: Side): number {
  return Math.max(0, ...notes.map((text) => widthOf(text, 'node')));
}

/** What stands at one end of a wire, above it or under it, and clear of its node. */
export function sideWidth(side: Side): number {
  const width = Math.max(labelWidth(side), notesWidth(side));
  return width === 0 ? 0 : width + 2 * gap;
}

/** Along a wire stand its ends' names and its colour, under it the notes of both ends, one for both where they are alike. */
function wireExtent({ names, notes, left, right }: Texts): Extent {
  const colour = widest(names, 'colour') / 2;
  const merged = haveSameNotes(left, right);
  const under = Math.max(widest(notes, 'note'), merged ? notesWidth(left) : 0) / 2;
  const reach = (side: Side) => {
    const label = labelWidth(side);
    const above = label === 0 ? colour : colour + label + 2 * gap;
    return Math.max(7, above, under);
  };
  const half = Math.max(colour, under);
  const least = merged ? 0 : notesWidth(left) + notesWidth(right) + 4 * gap;
  return { low: reach(left), high: reach(right), half: { low: half, high: half }, least };
}

function widest(texts: readonly string[], role: TextRole): number {
  return Math.max(0, ...texts.map((text) => widthOf(text, role)));
}

export function haveSameNotes(left: Side, right: Side): boolean {
  return left.notes.length > 0 && left.notes.join('\n') === right.notes.join('\n');
}

function symbolExtent({ names, notes, left, right }: Texts): Extent {
  const half = Math.max(widest(names, 'name'), widest(notes, 'note')) / 2;
  const side = (each: Side) => symbolHalf + Math.max(labelWidth(each), notesWidth(each), 1) + 1;
  const [low, high] = [Math.max(half, side(left)), Math.max(half, side(right))];
  return { low, high, half: { low, high }, least: 0 };
}
