import type { Across } from './across.js';
import {
  besideLoop,
  type Cell,
  gap,
  haveSameNotes,
  type LetteredRow,
  lineHeight,
  symbolHalf,
  widthOf,
} from './cells.js';
import { type Down, firstNote, overSymbol, overWire, underLine } from './down.js';
import { Joints } from './joints.js';
import type { LadderSection } from './ladder.js';
import { type Lettering, loopText, type TextRole } from './lettering.js';
import {
  type Layout,
  leftOf,
  type PlacedBox,
  type PlacedLine,
  type PlacedSymbol,
  type PlacedText,
} from './placed.js';
import { isSwitched } from './sections.js';
import { namedEnds, type Upright, uprightsOf } from './uprights.js';

/** Beyond the rails and their letters. */
const margin = 14;
/** From a rail or a terminal to its letter. */
const letterGap = 8;

/** Turns a section whose places are known into lines, symbols and texts. */
export class Painter {
  private readonly section: LadderSection;
  private readonly lettering: Lettering;
  private readonly across: Across;
  private readonly down: Down;
  private readonly texts: PlacedText[] = [];
  private readonly lines: PlacedLine[] = [];
  private readonly symbols: PlacedSymbol[] = [];
  private readonly boxes: PlacedBox[] = [];
  private readonly joints = new Joints();

  constructor(section: LadderSection, lettering: Lettering, across: Across, down: Down) {
    this.section = section;
    this.lettering = lettering;
    this.across = across;
    this.down = down;
  }

  paint(rows: readonly LetteredRow[]): Layout {
    for (const [index, row] of rows.entries()) this.paintRow(row, index);
    for (const upright of uprightsOf(this.section.rows)) this.paintUpright(upright);
    const nodes = this.joints.list(new Set(this.section.poles.map(({ node }) => node)));
    this.paintLetters();
    this.paintMargins(rows);
    const { texts, lines, symbols, boxes } = this;
    const { width } = this.across;
    const ends = texts.map((text) => leftOf(text) + text.width);
    return {
      width,
      height: this.down.height,
      ends: this.down.ends,
      left: -Math.min(0, ...texts.map(leftOf)),
      right: Math.max(width, ...ends) - width,
      texts,
      lines,
      symbols,
      nodes,
      boxes,
      passages: [],
    };
  }

  private write(role: TextRole, text: string, place: Pick<PlacedText, 'x' | 'y' | 'anchor' | 'of'>): void {
    if (text !== '') this.texts.push({ role, text, ...place, width: widthOf(text, role) });
  }

  private paintRow({ cells, laid, row, nodes, elsewhere }: LetteredRow, index: number): void {
    const y = this.down.rows[row] ?? 0;
    const placed = this.across.rows[index];
    const named = namedEnds(laid);
    for (const [at, cell] of cells.entries()) {
      const [from, to] = [placed?.nodes[at] ?? 0, placed?.nodes[at + 1] ?? 0];
      const x = placed?.cells[at] ?? 0;
      if (cell.wire) this.paintWire(cell, from, x, to, y);
      else this.paintSymbol(cell, from, x, to, y);
      const last = at === cells.length - 1;
      this.joints.join(cell.left.node, from, y, 'right', at === 0 && named[0]);
      this.joints.join(cell.right.node, to, y, 'left', last && named[1]);
    }
    for (const [end, text] of elsewhere.entries()) {
      const x = placed?.nodes.at(end === 0 ? 0 : -1) ?? 0;
      const node = nodes.at(end === 0 ? 0 : -1) ?? -1;
      const place = { x: x + (end === 0 ? -2 : 2) * gap, y: y + 3, of: { node } };
      this.write('elsewhere', text ?? '', { ...place, anchor: end === 0 ? 'end' : 'start' });
    }
  }

  private paintWire(cell: Cell, from: number, x: number, to: number, y: number): void {
    const { element, left, right, names, notes } = cell;
    this.lines.push({ x1: from, y1: y, x2: to, y2: y, node: left.node, wire: element });
    for (const [line, text] of [...names].reverse().entries())
      this.write('colour', text, {
        x,
        y: y - overWire - lineHeight * line,
        anchor: 'middle',
        of: { element },
      });
    this.writeSides(cell, from + 2 * gap, x, to - 2 * gap, y);
    const first = underLine + lineHeight * Math.max(left.notes.length, right.notes.length);
    for (const [line, text] of notes.entries())
      this.write('note', text, {
        x,
        y: y + first + lineHeight * line,
        anchor: 'middle',
        of: { element },
      });
    this.boxes.push({ element, x: from + 4, y: y - 2.8, width: to - from - 8, height: 5.6 });
  }

  private paintSymbol(cell: Cell, from: number, x: number, to: number, y: number): void {
    const { element, left, right, names, notes } = cell;
    this.lines.push({ x1: from, y1: y, x2: x - symbolHalf, y2: y, node: left.node });
    this.lines.push({ x1: x + symbolHalf, y1: y, x2: to, y2: y, node: right.node });
    this.symbols.push({ element, x, y, flipped: element.from !== left.node });
    for (const [line, text] of [...names].reverse().entries())
      this.write('name', text, {
        x,
        y: y - overSymbol - lineHeight * line,
        anchor: 'middle',
        of: { element },
      });
    const first = firstNote(Math.max(left.notes.length, right.notes.length));
    for (const [line, text] of notes.entries())
      this.write('note', text, { x, y: y + first + lineHeight * line, anchor: 'middle', of: { element } });
    this.writeSides(cell, x - symbolHalf - 1, x, x + symbolHalf + 1, y);
    this.boxes.push({ element, x: x - 13, y: y - 11.5, width: 26, height: 22.5 });
  }

  /** Names and notes of both ends: along a wire inward from its ends, at a symbol outward from it. */
  private writeSides({ wire, left, right }: Cell, a: number, middle: number, b: number, y: number): void {
    const merged = wire && haveSameNotes(left, right);
    for (const [index, side] of [left, right].entries()) {
      const x = index === 0 ? a : b;
      const anchor = (index === 0) === wire ? 'start' : 'end';
      const of = { node: side.node };
      this.write('terminal', side.label ?? '', { x, y: y - overWire, anchor, of });
      if (merged && index === 1) continue;
      for (const [line, text] of side.notes.entries()) {
        const place = { x: merged ? middle : x, y: y + underLine + lineHeight * line, of };
        this.write('node', text, { ...place, anchor: merged ? 'middle' : anchor });
      }
    }
  }

  private paintUpright({ node, loop, first, last }: Upright): void {
    if (first === last) return;
    const x = this.across.node(node);
    const [y1, y2] = [this.down.rows[first] ?? 0, this.down.rows[last] ?? 0];
    if (loop === undefined) {
      const rail = this.section.poles.some((pole) => pole.rail === node) ? ({ rail: true } as const) : {};
      this.lines.push({ x1: x, y1, x2: x, y2, node, ...rail });
      this.joints.upright(node, x, y1, y2);
      return;
    }
    const { element, other, upwards } = loop;
    const [near, far] = upwards ? [y2, y1] : [y1, y2];
    this.lines.push({ x1: x, y1: near, x2: x, y2: far, node, wire: element });
    this.joints.loop([node, other], x, y1, y2);
    this.boxes.push({ element, x: x - 3.5, y: y1 + 4, width: 7, height: y2 - y1 - 8 });
    const y = y2 - (this.down.lanes[last] ?? 0);
    this.write('colour', loopText(this.lettering, element), {
      x: x + besideLoop,
      y,
      anchor: 'start',
      of: { element },
    });
  }

  /** The letter of each leg, at its terminal and at the head of its rail, if that is always at the leg's voltage. */
  private paintLetters(): void {
    for (const pole of this.section.poles) {
      const left = pole.side === 'left';
      const ends = [
        { node: pole.rail, outer: true },
        ...(pole.feed.length === 0 ? [] : [{ node: pole.node, outer: false }]),
      ];
      for (const { node, outer } of ends) {
        // A switched rail is not its leg, and has its own name where a rung elsewhere asks for it.
        const named = outer && isSwitched(pole);
        if (named && !this.isNamed(node)) continue;
        const row = uprightsOf(this.section.rows).find(
          (each) => each.node === node && each.loop === undefined,
        )?.first;
        if (row === undefined) continue;
        const before = left === outer;
        const x = this.across.node(node) + (before ? -letterGap : letterGap);
        const place = { x, y: (this.down.rows[row] ?? 0) + 4, of: { node } };
        const anchor = before ? 'end' : 'start';
        if (named) this.write('elsewhere', this.lettering.place(node), { ...place, y: place.y - 1, anchor });
        else this.write('pole', this.lettering.pole(pole), { ...place, anchor });
      }
    }
  }

  /** Whether some rung only names the place. */
  private isNamed(node: number): boolean {
    return this.section.rows.flat().some((laid) => {
      const [starts, ends] = namedEnds(laid);
      const { nodes } = laid.rung;
      return (starts && nodes[0] === node) || (ends && nodes.at(-1) === node);
    });
  }

  /** Numbers of rows left of the rails' letters, comments right of them. */
  private paintMargins(rows: readonly LetteredRow[]): void {
    const { width } = this.across;
    const left = Math.min(0, ...this.texts.map(leftOf)) - margin;
    const right = Math.max(width, ...this.texts.map((text) => leftOf(text) + text.width)) + margin;
    const numbered = new Set<number>();
    for (const { row, comment, number } of rows) {
      const y = this.down.rows[row] ?? 0;
      if (!numbered.has(row)) this.write('number', number, { x: left, y: y + 3, anchor: 'end', of: {} });
      numbered.add(row);
      for (const [line, text] of comment.entries())
        this.write('comment', text, { x: right, y: y - 1 + lineHeight * line, anchor: 'start', of: {} });
    }
  }
}
