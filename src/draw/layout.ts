import type { Element } from './elements.js';
import { textWidth } from './font.js';
import type { LadderSection } from './ladder.js';
import { Places } from './place.js';
import { type Laid, nodesInRow, spinesOf } from './rows.js';
import type { Pole } from './sections.js';

/** What is written beside things, worded by whoever draws. */
export interface Lettering {
  /** Above a symbol, or along a wire (its colour). */
  readonly name: (element: Element) => string;
  /** Under a symbol, a line each. */
  readonly notes: (element: Element) => readonly string[];
  /** A terminal beside the symbol it belongs to; undefined where it stands elsewhere. */
  readonly terminal: (node: number, element: Element) => string | undefined;
  /** Under a node, a line each: volts, readings. */
  readonly node: (node: number) => readonly string[];
  /** At the head of a rail. */
  readonly pole: (pole: Pole) => string;
  /** A place that is only named here, because no line leads to it. */
  readonly elsewhere: (node: number) => string;
  /** Right of a rung, a line each. */
  readonly comment: (elements: readonly Element[]) => readonly string[];
  /** Left of a rung. */
  readonly number: (laid: Laid) => string;
}

export type TextRole =
  | 'name'
  | 'colour'
  | 'terminal'
  | 'node'
  | 'note'
  | 'pole'
  | 'elsewhere'
  | 'comment'
  | 'number';

/** Type sizes in drawing units; the sheet's scale keeps the smallest readable. */
export const textSizes: Readonly<Record<TextRole, number>> = {
  name: 10.5,
  colour: 9,
  terminal: 9,
  node: 9,
  note: 9,
  pole: 12,
  elsewhere: 9,
  comment: 9.5,
  number: 9,
};

const boldRoles: ReadonlySet<TextRole> = new Set(['name', 'pole']);

/** Text on its baseline. `of` is what it belongs to. */
export interface PlacedText {
  readonly role: TextRole;
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly width: number;
  readonly of: { readonly element?: Element; readonly node?: number; readonly line?: number };
}

/** A conductor from point to point, at the potential of `node`; a wire has its element. */
export interface PlacedLine {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly node: number;
  readonly wire?: Element;
  readonly rail?: true;
}

/** A part of the rung from `x - half` to `x + half`, `flipped` where its first node is on the right. */
export interface PlacedSymbol {
  readonly element: Element;
  readonly x: number;
  readonly y: number;
  readonly half: number;
  readonly flipped: boolean;
}

export interface PlacedNode {
  readonly node: number;
  readonly x: number;
  readonly y: number;
  readonly kind: 'junction' | 'terminal' | 'pole' | 'elsewhere';
}

/** Where an element stands with its lettering, for shading it. */
export interface PlacedBox {
  readonly element: Element;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A section on paper, from 0, 0 (the left rail, the upper edge); margins left and right of it hold numbers and comments. */
export interface Layout {
  readonly width: number;
  readonly height: number;
  /** How far text reaches beyond the rails. */
  readonly left: number;
  readonly right: number;
  readonly texts: readonly PlacedText[];
  readonly lines: readonly PlacedLine[];
  readonly symbols: readonly PlacedSymbol[];
  readonly nodes: readonly PlacedNode[];
  readonly boxes: readonly PlacedBox[];
}

const symbolHalf = 17;
const gap = 4;
const lineHeight = 10.5;

/** One element in its row, with what is written at it. */
interface Cell {
  readonly element: Element;
  readonly wire: boolean;
  readonly name: string;
  readonly notes: readonly string[];
  readonly left: Side;
  readonly right: Side;
  readonly place: number;
  readonly low: number;
  readonly high: number;
}

interface Side {
  readonly node: number;
  readonly label: string | undefined;
  readonly notes: readonly string[];
}

interface LaidRow {
  readonly laid: Laid;
  readonly row: number;
  readonly cells: readonly Cell[];
  /** Places of the nodes around the cells. */
  readonly at: readonly number[];
  readonly nodes: readonly number[];
}

/** Puts a section on paper. `width` is the least between its rails. */
export function layOut(section: LadderSection, lettering: Lettering, width: number): Layout {
  return new Sheet(section, lettering).draw(width);
}

class Sheet {
  private readonly section: LadderSection;
  private readonly lettering: Lettering;
  private readonly places = new Places();
  private readonly placeOf = new Map<number, number>();
  private readonly rows: LaidRow[] = [];
  private readonly rails: ReadonlyMap<number, Pole>;
  private readonly spines: ReadonlyMap<number, number>;
  private readonly lettered = new Set<number>();
  private readonly labelled = new Set<number>();
  private readonly withSymbol: ReadonlySet<number>;

  constructor(section: LadderSection, lettering: Lettering) {
    this.section = section;
    this.lettering = lettering;
    this.rails = new Map(section.poles.map((pole) => [pole.rail, pole]));
    this.spines = spinesOf(section.rows.flat());
    this.withSymbol = new Set(
      section.elements.filter(({ role }) => role !== 'wire').flatMap(({ from, to }) => [from, to]),
    );
  }

  draw(width: number): Layout {
    for (const [row, laid] of this.section.rows.entries())
      for (const each of laid) this.rows.push(this.layRow(each, row));
    this.keepRows();
    const uprights = this.uprights();
    for (const { place, first, last } of uprights) this.places.upright(place, first, last);
    for (const drop of this.drops())
      if (drop.lower !== drop.upper)
        this.places.block(drop.place, -gap, gap + textWidth(drop.name, textSizes.colour), drop.lower);
    const xs = this.places.solve(width);
    return this.paint(xs, uprights);
  }

  /** A node's place left to right: one for all its rows, and one for all nodes of a spine. */
  private placeFor(node: number): number {
    const root = this.spines.get(node) ?? node;
    const met = this.placeOf.get(root);
    if (met !== undefined) return met;
    const place = this.places.add(this.rails.get(node)?.side === 'right');
    this.placeOf.set(root, place);
    return place;
  }

  private layRow(laid: Laid, row: number): LaidRow {
    const { rung, dropsIn, dropsOut } = laid;
    const nodes = nodesInRow(laid);
    const elements = rung.elements.slice(dropsIn ? 1 : 0, dropsOut ? -1 : undefined);
    const rightFeed = rung.kind === 'feed' && this.rails.get(rung.nodes.at(-1) ?? -1)?.side === 'right';
    const at = nodes.map((node, index) => {
      const named =
        (index === 0 && rung.starts === 'named' && !dropsIn) ||
        (index === nodes.length - 1 && rung.ends === 'named' && !dropsOut);
      if (named) return this.places.add(index > 0);
      if (index === 0 && rightFeed && !this.rails.has(node)) return this.places.add(true);
      return this.placeFor(node);
    });
    const cells = elements.map((element, index) =>
      this.cell(element, nodes[index] ?? -1, nodes[index + 1] ?? -1),
    );
    return { laid, row, cells, at, nodes };
  }

  private cell(element: Element, left: number, right: number): Cell {
    const wire = element.role === 'wire';
    const name = this.lettering.name(element);
    const notes = this.lettering.notes(element);
    const sides = [left, right].map((node): Side => {
      const label = this.labelAt(node, element);
      // A wire has the room; a node without one has its notes at a symbol.
      const hosts = !this.lettered.has(node) && (wire || !this.hasWire(node));
      if (hosts) this.lettered.add(node);
      return { node, label, notes: hosts ? this.lettering.node(node) : [] };
    });
    const [a, b] = sides;
    if (a === undefined || b === undefined) throw new Error('an element has two ends');
    const [low, high] = wire ? wireExtent(name, a, b) : symbolExtent(name, notes, a, b);
    const load =
      !wire && element.role !== 'pin' && element.role !== 'contact' && element.role !== 'protector';
    return { element, wire, name, notes, left: a, right: b, place: this.places.add(load), low, high };
  }

  private labelAt(node: number, element: Element): string | undefined {
    const label = this.lettering.terminal(node, element);
    if (element.role !== 'wire') return label;
    if (this.withSymbol.has(node) || this.labelled.has(node)) return undefined;
    this.labelled.add(node);
    return label;
  }

  /** Whether a wire lies in the row beside a node somewhere. */
  private hasWire(node: number): boolean {
    return this.section.rows.flat().some(({ rung, dropsIn, dropsOut }) => {
      const elements = rung.elements.slice(dropsIn ? 1 : 0, dropsOut ? -1 : undefined);
      return elements.some(({ role, from, to }) => role === 'wire' && (from === node || to === node));
    });
  }

  /** Everything in a row from left to right, and two feeds in one row beside each other. */
  private keepRows(): void {
    for (const { cells, at, row, laid, nodes } of this.rows) {
      for (const [index, { place, low, high }] of cells.entries()) {
        this.places.keep(at[index] ?? 0, place, low + gap);
        this.places.keep(place, at[index + 1] ?? 0, high + gap);
        this.places.block(place, low, high, row);
      }
      for (const [index, end] of [laid.rung.starts, laid.rung.ends].entries()) {
        if (end !== 'named') continue;
        const width =
          textWidth(
            this.lettering.elsewhere(nodes.at(index - 1 + (index === 0 ? 1 : 0)) ?? -1),
            textSizes.elsewhere,
          ) +
          2 * gap;
        const place = at[index === 0 ? 0 : at.length - 1] ?? 0;
        this.places.block(place, index === 0 ? width : 0, index === 0 ? 0 : width, row);
      }
    }
    for (const [index, a] of this.rows.entries()) {
      const b = this.rows[index + 1];
      if (b === undefined || a.row !== b.row) continue;
      this.places.keep(a.at.at(-1) ?? 0, b.at[0] ?? 0, feedsApart);
    }
  }

  private uprights(): readonly Upright[] {
    const rowsOf = new Map<number, number[]>();
    for (const { laid, row, nodes } of this.rows) {
      for (const [index, node] of nodes.entries()) {
        if (index === 0 && laid.rung.starts === 'named' && !laid.dropsIn) continue;
        if (index === nodes.length - 1 && laid.rung.ends === 'named') continue;
        const list = rowsOf.get(node);
        if (list === undefined) rowsOf.set(node, [row]);
        else list.push(row);
      }
    }
    const own = [...rowsOf].map(([node, rows]): Upright => {
      const [first, last] = [Math.min(...rows), Math.max(...rows)];
      return { place: this.placeFor(node), node, first, last };
    });
    const dropped = this.drops().map(({ place, upper, lower, element, node }): Upright => {
      return { place, node, first: upper, last: lower, wire: element };
    });
    return [...own, ...dropped].filter(({ first, last }) => last > first);
  }

  /** Wires looped up or down, with the rows they join. */
  private drops() {
    const rowOf = (node: number, not: LaidRow) =>
      this.rows.find((each) => each !== not && each.nodes.includes(node))?.row ?? not.row;
    return this.rows.flatMap((each) => {
      const { rung, dropsIn, dropsOut } = each.laid;
      const ends = [
        ...(dropsIn ? [{ outer: rung.nodes[0] ?? -1, element: rung.elements[0] }] : []),
        ...(dropsOut ? [{ outer: rung.nodes.at(-1) ?? -1, element: rung.elements.at(-1) }] : []),
      ];
      return ends.flatMap(({ outer, element }) => {
        if (element === undefined) return [];
        const far = rowOf(outer, each);
        const [upper, lower] = [Math.min(far, each.row), Math.max(far, each.row)];
        const name = this.lettering.name(element);
        return [{ place: this.placeFor(outer), node: outer, element, name, upper, lower }];
      });
    });
  }

  private paint(xs: readonly number[], uprights: readonly Upright[]): Layout {
    const x = (place: number | undefined) => xs[place ?? -1] ?? 0;
    const drops = this.drops();
    const { baselines, height } = this.heights(new Set(drops.map(({ lower }) => lower)));
    const y = (row: number) => baselines[row] ?? 0;
    const width = Math.max(...xs, 0);
    const texts: PlacedText[] = [];
    const lines: PlacedLine[] = [];
    const symbols: PlacedSymbol[] = [];
    const boxes: PlacedBox[] = [];
    const joints = new Joints();
    const write = (
      role: TextRole,
      text: string,
      at: { readonly x: number; readonly y: number; readonly anchor: PlacedText['anchor'] },
      of: PlacedText['of'],
    ) => {
      if (text !== '')
        texts.push({ role, text, ...at, width: textWidth(text, textSizes[role], boldRoles.has(role)), of });
    };
    for (const each of this.rows) {
      const top = y(each.row);
      for (const [index, cell] of each.cells.entries()) {
        const [from, at, to] = [x(each.at[index]), x(cell.place), x(each.at[index + 1])];
        paintCell(cell, { from, at, to, y: top }, lines, symbols, write);
        boxes.push({
          element: cell.element,
          x: cell.wire ? from : at - cell.low,
          y: top - 24,
          width: cell.wire ? to - from : cell.low + cell.high,
          height: 40,
        });
        joints.join(cell.left.node, from, top, 'right');
        joints.join(cell.right.node, to, top, 'left');
      }
      const { rung, dropsIn, dropsOut } = each.laid;
      const ends = [
        {
          end: dropsIn ? 'joined' : rung.starts,
          place: each.at[0],
          node: each.nodes[0] ?? -1,
          anchor: 'end',
        },
        {
          end: dropsOut ? 'joined' : rung.ends,
          place: each.at.at(-1),
          node: each.nodes.at(-1) ?? -1,
          anchor: 'start',
        },
      ] as const;
      for (const { end, place, node, anchor } of ends) {
        if (end !== 'named') continue;
        joints.name(node, x(place), top);
        const aside = anchor === 'end' ? -2 * gap : 2 * gap;
        write(
          'elsewhere',
          this.lettering.elsewhere(node),
          { x: x(place) + aside, y: top + 3, anchor },
          { node },
        );
      }
      for (const [line, text] of this.lettering.comment(rung.elements).entries())
        write('comment', text, { x: width + commentGap, y: top - 2 + 11 * line, anchor: 'start' }, { line });
      if (each.laid.rung.kind !== 'feed')
        write('number', this.lettering.number(each.laid), { x: -numberGap, y: top + 3, anchor: 'end' }, {});
    }
    for (const { place, node, first, last, wire } of uprights) {
      const rail = this.rails.has(node) && wire === undefined;
      lines.push({
        x1: x(place),
        y1: y(first),
        x2: x(place),
        y2: y(last),
        node,
        ...(wire === undefined ? {} : { wire }),
        ...(rail ? { rail } : {}),
      });
      if (wire === undefined) joints.upright(node, x(place), y(first), y(last));
      else {
        const other = wire.from === node ? wire.to : wire.from;
        joints.loop(node, other, x(place), y(first), y(last));
        boxes.push({ element: wire, x: x(place) - 5, y: y(first), width: 10, height: y(last) - y(first) });
      }
    }
    for (const { place, lower, upper, name, element } of drops)
      if (lower !== upper)
        write('colour', name, { x: x(place) + gap, y: y(lower) - laneAbove, anchor: 'start' }, { element });
    const terminals = new Set(this.section.poles.map(({ node }) => node));
    const nodes = joints.list(terminals);
    for (const pole of this.section.poles) {
      const own = nodes.filter(({ node }) => node === pole.rail);
      const [head] = own.sort((a, b) => a.y - b.y);
      const text = this.lettering.pole(pole);
      if (head === undefined) continue;
      const aside = pole.side === 'left' ? -8 : 8;
      write(
        'pole',
        text,
        { x: head.x + aside, y: head.y + 4, anchor: aside < 0 ? 'end' : 'start' },
        { node: pole.rail },
      );
      const [tip] = pole.feed.length === 0 ? [] : nodes.filter(({ node }) => node === pole.node);
      if (tip !== undefined)
        write(
          'pole',
          text,
          { x: tip.x - aside, y: tip.y + 4, anchor: aside < 0 ? 'start' : 'end' },
          { node: pole.node },
        );
    }
    const reach = (text: PlacedText) => [leftOf(text), leftOf(text) + text.width] as const;
    const left = -Math.min(0, ...texts.map((text) => reach(text)[0]));
    const right = Math.max(width, ...texts.map((text) => reach(text)[1])) - width;
    return { width, height, left, right, texts, lines, symbols, nodes, boxes };
  }

  /** Where each row's line lies, with room for what stands above and under it. */
  private heights(looped: ReadonlySet<number>): {
    readonly baselines: readonly number[];
    readonly height: number;
  } {
    const baselines: number[] = [];
    let bottom = 0;
    for (const row of this.section.rows.keys()) {
      const rows = this.rows.filter((each) => each.row === row);
      const cells = rows.flatMap((each) => each.cells);
      const symbol = cells.some(({ wire }) => !wire);
      const above = (symbol ? 25 : 15) + (looped.has(row) ? lineHeight + 1 : 0);
      const under = Math.max(
        ...cells.map(({ wire, notes, left, right }) => {
          const sides = Math.max(left.notes.length, right.notes.length);
          return Math.max(wire ? 4 : 11, 4 + lineHeight * sides, (wire ? 4 : 11) + lineHeight * notes.length);
        }),
        ...rows.map(({ laid }) => 11 * this.lettering.comment(laid.rung.elements).length - 9),
      );
      baselines.push(bottom + above);
      bottom += above + under + 4;
    }
    return { baselines, height: bottom };
  }
}

/** Between two feeds, and beyond the rails. */
const feedsApart = 60;
const commentGap = 30;
const numberGap = 34;
/** From a row's line up to the text at a looped wire. */
const laneAbove = 26;

interface Upright {
  readonly place: number;
  readonly node: number;
  readonly first: number;
  readonly last: number;
  readonly wire?: Element;
}

type Write = (
  role: TextRole,
  text: string,
  at: { readonly x: number; readonly y: number; readonly anchor: PlacedText['anchor'] },
  of: PlacedText['of'],
) => void;

function paintCell(
  cell: Cell,
  {
    from,
    at,
    to,
    y,
  }: { readonly from: number; readonly at: number; readonly to: number; readonly y: number },
  lines: PlacedLine[],
  symbols: PlacedSymbol[],
  write: Write,
): void {
  const { element, wire, name, notes, left, right } = cell;
  const flipped = element.from !== left.node;
  if (wire) {
    lines.push({ x1: from, y1: y, x2: to, y2: y, node: left.node, wire: element });
    const span = to - from;
    const [a, b] = [labelWidth(left), labelWidth(right)];
    write(
      'colour',
      name,
      {
        x: from + (a === 0 ? 0 : a + gap) + (span - a - b - (a === 0 ? 0 : gap) - (b === 0 ? 0 : gap)) / 2,
        y: y - 4,
        anchor: 'middle',
      },
      { element },
    );
    writeSides(cell, from + gap, to - gap, y, write);
    return;
  }
  lines.push({ x1: from, y1: y, x2: at - symbolHalf, y2: y, node: left.node });
  lines.push({ x1: at + symbolHalf, y1: y, x2: to, y2: y, node: right.node });
  symbols.push({ element, x: at, y, half: symbolHalf, flipped });
  write('name', name, { x: at, y: y - 13.5, anchor: 'middle' }, { element });
  for (const [line, text] of notes.entries())
    write('note', text, { x: at, y: y + 20 + lineHeight * line, anchor: 'middle' }, { element, line });
  writeSides(cell, at - symbolHalf - 2, at + symbolHalf + 2, y, write);
}

/** Labels and notes at both ends: along a wire inward from its ends, at a symbol outward from it. */
function writeSides({ wire, left, right }: Cell, a: number, b: number, y: number, write: Write): void {
  const inward = wire ? (['start', 'end'] as const) : (['end', 'start'] as const);
  const merged = wire && left.notes.length > 0 && left.notes.join('\n') === right.notes.join('\n');
  for (const [index, side] of [left, right].entries()) {
    const at = index === 0 ? a : b;
    const anchor = inward[index] ?? 'start';
    if (side.label !== undefined)
      write('terminal', side.label, { x: at, y: y - 4, anchor }, { node: side.node });
    if (merged && index === 1) continue;
    for (const [line, text] of side.notes.entries()) {
      const place = {
        y: y + 12 + lineHeight * line,
        ...(merged ? { x: (a + b) / 2, anchor: 'middle' as const } : { x: at, anchor }),
      };
      write('node', text, place, { node: side.node, line });
    }
  }
}

function labelWidth({ label }: Side): number {
  return label === undefined ? 0 : textWidth(label, textSizes.terminal);
}

function notesWidth({ notes }: Side): number {
  return Math.max(0, ...notes.map((text) => textWidth(text, textSizes.node)));
}

function wireExtent(name: string, left: Side, right: Side): readonly [number, number] {
  const above = [labelWidth(left), textWidth(name, textSizes.colour), labelWidth(right)].filter(
    (each) => each > 0,
  );
  const same = left.notes.join('\n') === right.notes.join('\n');
  const under = (same ? [notesWidth(left)] : [notesWidth(left), notesWidth(right)]).filter(
    (each) => each > 0,
  );
  const long = (widths: readonly number[]) => widths.reduce((sum, each) => sum + each + gap + 2, -gap - 2);
  const half = Math.max(12, long(above), long(under)) / 2;
  return [half, half];
}

function symbolExtent(
  name: string,
  notes: readonly string[],
  left: Side,
  right: Side,
): readonly [number, number] {
  const half = Math.max(
    textWidth(name, textSizes.name, true) / 2,
    ...notes.map((text) => textWidth(text, textSizes.note) / 2),
  );
  const side = (each: Side) => symbolHalf + 2 + Math.max(labelWidth(each), notesWidth(each), 2);
  return [Math.max(half, side(left)), Math.max(half, side(right))];
}

/** What comes together at each point: three lines make a junction. */
class Joints {
  private readonly points = new Map<
    string,
    { node: number; x: number; y: number; ways: Set<string>; named: boolean }
  >();

  private at(node: number, x: number, y: number) {
    const key = `${node} ${x} ${y}`;
    const met = this.points.get(key);
    if (met !== undefined) return met;
    const point = { node, x, y, ways: new Set<string>(), named: false };
    this.points.set(key, point);
    return point;
  }

  join(node: number, x: number, y: number, way: string): void {
    this.at(node, x, y).ways.add(way);
  }

  name(node: number, x: number, y: number): void {
    this.at(node, x, y).named = true;
  }

  upright(node: number, x: number, first: number, last: number): void {
    for (const point of this.points.values()) {
      if (point.node !== node || point.x !== x || point.named) continue;
      if (point.y > first) point.ways.add('up');
      if (point.y < last) point.ways.add('down');
    }
  }

  loop(node: number, other: number, x: number, first: number, last: number): void {
    for (const point of this.points.values()) {
      if ((point.node !== node && point.node !== other) || point.x !== x) continue;
      if (point.y === first) point.ways.add('down');
      if (point.y === last) point.ways.add('up');
    }
  }

  list(terminals: ReadonlySet<number>): PlacedNode[] {
    return [...this.points.values()].map(({ node, x, y, ways, named }) => {
      const kind = named
        ? 'elsewhere'
        : ways.size > 2
          ? 'junction'
          : terminals.has(node) && ways.size < 2
            ? 'pole'
            : 'terminal';
      return { node, x, y, kind };
    });
  }
}

/** Where a text begins. */
export function leftOf({ x, width, anchor }: PlacedText): number {
  return anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2;
}
