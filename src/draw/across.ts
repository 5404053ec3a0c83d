import { besideLoop, gap, type LetteredRow, sideWidth, widthOf } from './cells.js';
import type { LadderSection } from './ladder.js';
import { type Lettering, loopText } from './lettering.js';
import { Places } from './place.js';
import type { Pole } from './sections.js';
import { spinesOf, uprightsOf } from './uprights.js';

/** Where things stand from left to right; the left rail is at 0. */
export interface Across {
  readonly width: number;
  /** Of a node that lines lead to. */
  readonly node: (node: number) => number;
  /** Nodes of a row, and its cells' middles, in order. */
  readonly rows: readonly { readonly nodes: readonly number[]; readonly cells: readonly number[] }[];
}

/** Around a node, around a supply terminal, and between the letters of two terminals that face each other. */
const nodeHalf = 3;
const poleHalf = 6;
const feedsApart = 40;

/** Puts everything of a section in its place from left to right, nothing over anything else. */
export function placeAcross(
  section: LadderSection,
  rows: readonly LetteredRow[],
  lettering: Lettering,
  width: number,
): Across {
  const across = new Placing(section, lettering);
  const placed = rows.map((row) => across.addRow(row));
  across.keepFeedsApart(rows, placed);
  across.addUprights();
  return across.solve(placed, width);
}

interface PlacedRow {
  readonly nodes: readonly number[];
  readonly cells: readonly number[];
}

class Placing {
  private readonly section: LadderSection;
  private readonly lettering: Lettering;
  private readonly places = new Places();
  private readonly placeOf = new Map<number, number>();
  private readonly rails: ReadonlyMap<number, Pole>;
  private readonly terminals: ReadonlyMap<number, Pole>;
  private readonly spines: ReadonlyMap<number, number>;

  constructor(section: LadderSection, lettering: Lettering) {
    this.section = section;
    this.lettering = lettering;
    this.rails = new Map(section.poles.map((pole) => [pole.rail, pole]));
    this.terminals = new Map(section.poles.map((pole) => [pole.node, pole]));
    this.spines = spinesOf(section.rows);
  }

  /** A node's place: one for all its rows, and for all nodes of a spine. */
  private placeFor(node: number): number {
    const root = this.spines.get(node) ?? node;
    const met = this.placeOf.get(root);
    if (met !== undefined) return met;
    const terminal = this.terminals.get(node);
    // Supply terminals stand at the feed's inner end, and so move with their rail.
    const right = this.rails.get(node)?.side === 'right' || terminal?.side === 'right';
    const place = this.places.add(right ? 'right' : 'left');
    this.placeOf.set(root, place);
    return place;
  }

  addRow({ row, nodes, cells, elsewhere, laid }: LetteredRow): PlacedRow {
    const at = nodes.map((node, index) => {
      const away = elsewhere[index === 0 ? 0 : 1];
      if (away === undefined || (index > 0 && index < nodes.length - 1)) return this.placeFor(node);
      // Close to what it belongs to, so that it crosses as little as can be.
      const place = this.places.add(index === 0 ? 'right' : 'left');
      const width = widthOf(away, 'elsewhere') + 2 * gap;
      this.places.block(place, index === 0 ? width : 0, index === 0 ? 0 : width, row);
      return place;
    });
    const alone = laid.rung.elements.length === 1 && cells[0]?.element.role === 'winding';
    const placed = cells.map((cell, index) => {
      const { load, low, high, half, least, wire, left, right } = cell;
      const place = this.places.add(alone ? 'middle' : load ? 'right' : 'left');
      const [from = 0, to = 0] = [at[index], at[index + 1]];
      const [before, behind] = [this.halfOf(nodes[index]), this.halfOf(nodes[index + 1])];
      this.places.keep(from, place, low + before);
      this.places.keep(place, to, high + behind);
      this.places.keep(from, to, least + before + behind);
      this.places.block(place, half.low, half.high, row);
      if (wire) {
        this.places.block(from, 0, before + sideWidth(left), row);
        this.places.block(to, behind + sideWidth(right), 0, row);
      }
      return place;
    });
    for (const [index, node] of nodes.entries()) this.blockNode(node, at[index] ?? 0, row);
    return { nodes: at, cells: placed };
  }

  private halfOf(node: number | undefined): number {
    return this.terminals.has(node ?? -1) ? poleHalf : nodeHalf;
  }

  /** A terminal with its letter, which stands away from the rung it ends. */
  private blockNode(node: number, place: number, row: number): void {
    const pole = this.terminals.get(node) ?? this.rails.get(node);
    if (pole === undefined) {
      this.places.block(place, nodeHalf, nodeHalf, row);
      return;
    }
    const letter = widthOf(this.lettering.pole(pole), 'pole') + 2 * poleHalf;
    const outer = pole.node !== node || pole.rail === node;
    const left = (pole.side === 'left') === outer;
    this.places.block(place, left ? letter : poleHalf, left ? poleHalf : letter, row);
  }

  keepFeedsApart(rows: readonly LetteredRow[], placed: readonly PlacedRow[]): void {
    for (const [index, { row }] of rows.entries()) {
      if (rows[index + 1]?.row !== row) continue;
      const letters = this.section.poles.map((pole) => widthOf(this.lettering.pole(pole), 'pole'));
      const distance = feedsApart + 2 * Math.max(...letters);
      this.places.keep(placed[index]?.nodes.at(-1) ?? 0, placed[index + 1]?.nodes[0] ?? 0, distance);
    }
  }

  addUprights(): void {
    for (const { node, loop, first, last } of uprightsOf(this.section.rows)) {
      if (first === last) continue;
      this.places.upright(this.placeFor(node), first, last);
      if (loop === undefined) continue;
      const width = widthOf(loopText(this.lettering, loop.element), 'colour');
      this.places.lane(this.placeFor(node), 0, besideLoop + width, last);
    }
  }

  solve(placed: readonly PlacedRow[], width: number): Across {
    const xs = this.places.solve(width);
    const x = (place: number) => xs[place] ?? 0;
    return {
      width: Math.max(0, ...xs),
      node: (node) => x(this.placeFor(node)),
      rows: placed.map(({ nodes, cells }) => ({ nodes: nodes.map(x), cells: cells.map(x) })),
    };
  }
}
