import type { Face } from '../circuit/circuit.js';
import type { Reconnection, TerminalRow } from '../diagnose/diagnose.js';
import { clean, cleanLine } from './clean.js';
import { columnsOf } from './columns.js';
import type { Figure } from './paper/paper.js';
import { svgElement, svgText } from './picture/svg.js';

/** A pin as it is drawn: its number or name, the colours on it, what it is for. */
interface Pin {
  readonly name: string;
  readonly colours: string;
  readonly use: string;
}

/** More than this in a row is hard to tell apart on paper. */
const mostInRow = 10;

/** In the units of the picture: a cell, and the letters in it. */
const cell = { width: 88, height: 58, margin: 10 } as const;
const mostLetters = 13;

/**
 * The face of a connector, or the terminals of a part, pin by pin with wire colours. The file may say how the harness
 * side looks and from where (`face`); the side it plugs into is then drawn as its mating face, which has the same order
 * as the wires behind it: two faces that meet are mirror images. Without that the pins stand in order, and it is said.
 */
export function faceOf({ owner, terminals, connector }: TerminalRow): Figure | undefined {
  if (terminals.length < 2) return undefined;
  const pins = new Map(terminals.map((each) => [pinName(each), pinOf(each)]));
  const face = connector?.face;
  if (connector === undefined || face === undefined) {
    const rows = chunks([...pins.values()]);
    return figure(
      rows,
      `${clean(owner)}, terminals in order, not the shape of the real thing: find terminal ${clean([...pins.keys()][0] ?? '')} on it before a wire goes on. The file does not say from which side they are seen.`,
    );
  }
  const harness = connector.sides[0] === owner;
  const rows = rowsOf(face, pins, !harness && face.seenFrom === 'mating-side');
  const seen = harness && face.seenFrom === 'wire-side' ? 'from the wire side' : 'at its mating face';
  return figure(rows, `${clean(owner)} seen ${seen}. From the other side left and right are exchanged.`);
}

function rowsOf({ rows }: Face, pins: ReadonlyMap<string, Pin>, mirrored: boolean): Pin[][] {
  return rows.map((row) => {
    const seen = row.map(
      (pin) => pins.get(String(pin)) ?? { name: String(pin), colours: '(empty)', use: '' },
    );
    return mirrored ? seen.reverse() : seen;
  });
}

/** What stands behind the dot. */
function pinName({ terminal: { name } }: Reconnection): string {
  return name.slice(name.indexOf('.') + 1);
}

function pinOf(terminal: Reconnection): Pin {
  const colours = terminal.wires.map(({ part }) => part.colour ?? 'wire');
  const empty = terminal.terminal.hazard === undefined ? '(empty)' : 'keep off';
  const wires = colours.length === 0 ? empty : colours.join(' + ');
  return { name: pinName(terminal), colours: wires, use: terminal.uses[0] ?? '' };
}

function chunks(pins: readonly Pin[]): Pin[][] {
  const rows = Math.ceil(pins.length / mostInRow);
  const each = Math.ceil(pins.length / rows);
  return Array.from({ length: rows }, (_, row) => pins.slice(row * each, (row + 1) * each));
}

function figure(rows: readonly (readonly Pin[])[], caption: string): Figure {
  return { kind: 'figure', caption, svgs: [svgOf(rows)], lines: () => linesOf(rows) };
}

function svgOf(rows: readonly (readonly Pin[])[]): string {
  const most = Math.max(1, ...rows.map((row) => row.length));
  const [width, height] = [2 * cell.margin + most * cell.width, 2 * cell.margin + rows.length * cell.height];
  const shell = svgElement('rect', {
    x: cell.margin / 2,
    y: cell.margin / 2,
    width: width - cell.margin,
    height: height - cell.margin,
    rx: 6,
    fill: '#ffffff',
    stroke: '#000000',
    'stroke-width': 2,
  });
  const cells = rows.flatMap((row, y) => row.flatMap((pin, x) => cellOf(pin, x, y)));
  return svgElement(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: 'img',
      'font-family': 'Helvetica, Arial, Liberation Sans, sans-serif',
    },
    [shell, ...cells],
  );
}

function cellOf({ name, colours, use }: Pin, column: number, row: number): string[] {
  const [x, y] = [cell.margin + column * cell.width, cell.margin + row * cell.height];
  const text = (content: string, down: number, size: number, weight?: string) =>
    svgElement(
      'text',
      {
        x: x + cell.width / 2,
        y: y + down,
        'text-anchor': 'middle',
        'font-size': size,
        'font-weight': weight,
        fill: '#000000',
      },
      [svgText(cleanLine(content, mostLetters))],
    );
  return [
    svgElement('rect', {
      x,
      y,
      width: cell.width,
      height: cell.height,
      fill: '#ffffff',
      stroke: '#000000',
      'stroke-width': 1,
    }),
    text(name, 20, 16, 'bold'),
    text(colours, 36, 11),
    ...(use === '' ? [] : [text(use, 51, 10)]),
  ];
}

/** `| 1     | 2     |` with colours below: ASCII, for any terminal. */
function linesOf(rows: readonly (readonly Pin[])[]): string[] {
  const texts = rows.map((row) =>
    row.map(({ name, colours, use }) => [name, colours, use].map((each) => cleanLine(each, mostLetters))),
  );
  const width = Math.max(...texts.flat(2).map(columnsOf));
  const padded = (text: string) => `${text}${' '.repeat(width - columnsOf(text))}`;
  return texts.flatMap((row, index) => {
    const rule = `+${row.map(() => '-'.repeat(width + 2)).join('+')}+`;
    const lines = [0, 1, 2].map((line) => `| ${row.map((pin) => padded(pin[line] ?? '')).join(' | ')} |`);
    return index === 0 ? [rule, ...lines, rule] : [...lines, rule];
  });
}
