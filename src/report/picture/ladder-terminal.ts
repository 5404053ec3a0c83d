import {
  type ContactChart,
  contactCharts,
  type Element,
  isSwitched,
  type LadderSection,
  type Laid,
  type Lettering,
  moduleCharts,
  type Picture,
} from '../../draw/draw.js';
import { shortCaution } from '../cautions.js';
import { clean } from '../clean.js';
import { columnsOf, fold, wrapped } from '../columns.js';
import { paintFor } from '../paint.js';
import type { TerminalStyle } from '../show-problem.js';
import { showTable } from '../table.js';
import { captionOf, headlines } from './captions.js';
import { chartContact, chartHeading, moduleLines } from './chart-words.js';
import { jobHeadline, jobNotes, readingRows, symptomLines } from './job-words.js';
import { partLines } from './key-block.js';
import { letteringFor, markOf, wordVolts } from './lettering.js';
import { asciiPen, type Pen, terminalSymbol, unicodePen } from './terminal-symbols.js';

/** In front of the name of a load that works, and of what bounds the fault. */
const marks = { on: '+', bracket: '?' } as const;

/** Left of a rung: its number and the letter of the rail it starts at. */
const margin = 9;

/** The ladder as text, each rung folded at the terminal's width; rungs that share a place have its name in common. */
export function ladderTerminal(picture: Picture, style: TerminalStyle): string {
  const { ladder, scene } = picture;
  const paint = paintFor(style.level);
  const writer = new RungWriter(picture, style);
  const lines = [
    paint.strong(fold(clean(ladder.circuit.title), style)),
    ...[...headlines(picture), ...jobHeadline(picture)].map((line) => fold(line, style)),
  ];
  for (const section of ladder.sections) {
    lines.push('', paint.strong(fold(captionOf(picture, section), style)));
    for (const laid of section.rows.flat()) lines.push('', ...writer.write(section, laid));
  }
  const state = scene.outcome === 'not-asked' ? undefined : scene.state;
  for (const chart of contactCharts(ladder.circuit, state))
    lines.push('', ...(chart.steps ? barLines(chart, writer.pen, style) : chartLines(chart, style)));
  const lists = [...moduleCharts(ladder.circuit).map(moduleLines), symptomLines(picture), partLines(picture)];
  for (const list of lists.filter((each) => each.length > 0))
    lines.push('', ...list.map((line) => fold(line, style)));
  const [head = [], ...readings] = readingRows(picture);
  if (head.length > 0) lines.push('', 'Readings', showTable(head, readings, style, [1, 2, 4]));
  lines.push('', ...keyLines(picture, writer.pen).map((line) => fold(line, style)));
  lines.push('', paint.faint(fold(shortCaution, style)));
  return `${lines.join('\n')}\n`;
}

/** A contact chart as a table: X where a contact is closed. */
function chartLines(chart: ContactChart, style: TerminalStyle): readonly string[] {
  const head = ['', ...chart.positions.map((each) => atStep(chart, each))];
  const rows = chart.contacts.map((contact) => [
    chartContact(chart, contact),
    ...contact.closed.map((is) => (is ? 'X' : '')),
  ]);
  return [chartHeading(chart), showTable(head, rows, style, [0])];
}

/** Steps from left to right, a bar where a contact is closed; as many steps under one another as the width takes. */
function barLines(chart: ContactChart, { bar }: Pen, style: TerminalStyle): readonly string[] {
  const heads = chart.positions.map((each) => atStep(chart, each));
  const names = chart.contacts.map((contact) => chartContact(chart, contact));
  const label = Math.max(...names.map(columnsOf)) + 2;
  const wide = Math.max(...heads.map(columnsOf)) + 1;
  const most = Math.max(1, Math.floor((style.width - label) / wide));
  const lines = [chartHeading(chart)];
  for (let from = 0; from < heads.length; from += most) {
    const steps = heads.slice(from, from + most);
    lines.push(`${' '.repeat(label)}${steps.map((each) => padded(each, wide)).join('')}`.trimEnd());
    for (const [row, { closed }] of chart.contacts.entries()) {
      const bars = steps.map((_, at) => (closed[from + at] === true ? bar : ' ').repeat(wide)).join('');
      lines.push(`${padded(names[row] ?? '', label)}${bars}`.trimEnd());
    }
  }
  return lines;
}

/** The position in the state that is drawn stands in brackets. */
function atStep({ at }: ContactChart, position: string): string {
  return position === at ? `[${clean(position)}]` : clean(position);
}

/** What lines and marks mean. */
function keyLines({ scene, job }: Picture, { line, joint, place, onward }: Pen): readonly string[] {
  const three = (stroke: string) => stroke.repeat(3);
  const strokes =
    scene.outcome === 'steady'
      ? `${three(line.live)} live  ${three(line.neutral)} at the reference (0 V may still be live)  ${three(line.floating)} floating  `
      : '';
  return [
    `Key: ${strokes}${three(line.earth)} earth`,
    `${place} place for a lead  ${joint} place that other rungs share: look for its name  ${onward} goes on`,
    ...(scene.outcome === 'steady' ? [`${marks.on}NAME works`] : []),
    ...(job !== undefined && job.bracket.size > 0 ? [`${marks.bracket}NAME bounds the fault`] : []),
  ];
}

/** What stands from one place up to the next; `labels` are of the place on its left. */
interface Cell {
  readonly left: number;
  readonly right: number;
  readonly name: string;
  readonly symbol: string;
  readonly labels: readonly [string, string];
  readonly width: number;
}

/** Writes rungs, three to four lines each: names, the line itself, places, and what they read. */
class RungWriter {
  readonly pen: Pen;
  private readonly picture: Picture;
  private readonly style: TerminalStyle;
  private readonly lettering: Lettering;

  constructor(picture: Picture, style: TerminalStyle) {
    this.picture = picture;
    this.style = style;
    this.pen = style.ascii === true ? asciiPen : unicodePen;
    this.lettering = letteringFor(picture.ladder, picture.scene, jobNotes(picture));
  }

  write(section: LadderSection, laid: Laid): readonly string[] {
    const { rung } = laid;
    const cells = rung.elements.map((element, at) =>
      this.cell(element, rung.nodes[at] ?? -1, rung.nodes[at + 1] ?? -1),
    );
    const end = Math.max(...this.labels(rung.nodes.at(-1) ?? -1).map(columnsOf), 4);
    const rows = foldedCells(cells, this.style.width - margin - end - 4);
    const lines = rows.flatMap((row, index) => {
      const first = index === 0;
      const start = first ? this.rail(section, rung.nodes[0]) : this.pen.onward;
      const close = index === rows.length - 1 ? this.rail(section, rung.nodes.at(-1)) : this.pen.onward;
      const [names = '', art = '', ...below] = this.row(section, row);
      const number = first ? this.lettering.number(laid) : '';
      const blank = ' '.repeat(margin);
      return [
        `${blank}${names}`,
        `${number.padStart(3)} ${start.padStart(margin - 5)} ${art} ${close}`,
        ...below.map((line) => `${blank}${line}`),
      ];
    });
    const notes = [...this.notes(rung.elements, rung.nodes), ...this.lettering.comment(rung.elements)];
    const folded = notes.flatMap((line) => wrapped(line, this.style.width - margin));
    return [...lines, ...folded.map((line) => `${' '.repeat(margin)}${line}`)]
      .map((line) => line.trimEnd())
      .filter((line) => line !== '');
  }

  private cell(element: Element, left: number, right: number): Cell {
    const { ladder, scene, job } = this.picture;
    const on = scene.loads.get(element.index)?.works === 'yes' ? marks.on : '';
    const bound = job?.bracket.has(element.index) === true ? marks.bracket : '';
    const name = `${bound}${on}${inOneLine(this.lettering.name(element))}`;
    const symbol = terminalSymbol(ladder.circuit, element, scene.conducts.has(element.index));
    const labels = this.labels(left);
    const width = Math.max(columnsOf(name) + 1, symbol.length + 2, ...labels.map(columnsOf));
    return { left, right, name, symbol, labels, width };
  }

  /** A place's name, and what it reads. */
  private labels(node: number): readonly [string, string] {
    const { name = '', hazard } = this.picture.ladder.circuit.nodes[node] ?? {};
    return [clean(name), hazard === undefined ? wordVolts(this.picture.scene.expected(node)) : 'no probe'];
  }

  /** The letter of the rail or terminal at an end of a rung. */
  private rail({ poles }: LadderSection, node: number | undefined): string {
    const pole = poles.find((each) => each.node === node || (each.rail === node && !isSwitched(each)));
    if (pole === undefined) return '';
    const mark = markOf(this.picture.ladder.circuit, pole);
    // A winding's end is named under the line anyway.
    return columnsOf(mark) > 2 ? '' : mark;
  }

  private row(section: LadderSection, cells: readonly Cell[]): readonly string[] {
    const stroke = (node: number) => this.pen.line[this.picture.scene.potential(node)];
    const dot = (node: number) => (isShared(section, node) ? this.pen.joint : this.pen.place);
    const lines: [string, string, string, string] = ['', '', '', ''];
    for (const { left, right, name, symbol, labels, width } of cells) {
      const before = Math.floor((width - symbol.length) / 2);
      const behind = width - symbol.length - before;
      const middle = Math.floor((width - columnsOf(name)) / 2);
      lines[0] += padded(` ${' '.repeat(middle)}${name}`, width + 1);
      lines[1] += `${dot(left)}${stroke(left).repeat(before)}${symbol}${stroke(right).repeat(behind)}`;
      lines[2] += padded(labels[0], width + 1);
      lines[3] += padded(labels[1], width + 1);
    }
    const last = cells.at(-1)?.right ?? -1;
    const [name, volts] = this.labels(last);
    return [lines[0], `${lines[1]}${dot(last)}`, `${lines[2]}${name}`, `${lines[3]}${volts}`];
  }

  /** What the paper has under symbols and places: limits, amps, readings. */
  private notes(elements: readonly Element[], nodes: readonly number[]): readonly string[] {
    const { circuit } = this.picture.ladder;
    const job = jobNotes(this.picture);
    return [
      ...elements.flatMap((element) => {
        const notes = this.lettering.notes(element).map(inOneLine);
        const name = element.role === 'wire' ? clean(element.part) : inOneLine(this.lettering.name(element));
        return notes.length === 0 ? [] : [`${name}: ${notes.join(', ')}`];
      }),
      ...[...new Set(nodes)].flatMap((node) => {
        const notes = job.node(node);
        return notes.length === 0
          ? []
          : [`at ${clean(circuit.nodes[node]?.name ?? '')}: ${notes.join('; ')}`];
      }),
    ];
  }
}

function inOneLine(text: string): string {
  return text.replaceAll('/\n', '/').replaceAll('\n', ' ');
}

function padded(text: string, width: number): string {
  return `${text}${' '.repeat(Math.max(0, width - columnsOf(text)))}`;
}

/** Whether more than one rung has this place. */
function isShared({ rows }: LadderSection, node: number): boolean {
  return rows.flat().filter(({ rung }) => rung.nodes.includes(node)).length > 1;
}

/** As many cells in a line as fit; one that is wider has a line of its own. */
function foldedCells(cells: readonly Cell[], room: number): readonly (readonly Cell[])[] {
  const rows: Cell[][] = [];
  let used = 0;
  for (const cell of cells) {
    const row = rows.at(-1);
    if (row === undefined || used + cell.width + 1 > room) {
      rows.push([cell]);
      used = cell.width + 1;
    } else {
      row.push(cell);
      used += cell.width + 1;
    }
  }
  return rows;
}
