import type { TestabilityAnswer, TestedFault } from '../../diagnose/diagnose.js';
import { textWidth } from '../../draw/draw.js';
import { shortCaution } from '../cautions.js';
import { clean } from '../clean.js';
import { wordMode } from '../word-fault.js';
import { wordState } from '../word-state.js';
import { type Block, small, textBlock, textListBlock } from './block.js';
import { type Palette, palettes, type Theme } from './palette.js';
import { sheetSvg } from './sheet.js';
import { svgElement, svgNumber, svgWords } from './svg.js';

/** Faults that show alike everywhere share a row. */
interface Row {
  readonly name: string;
  /** States in which each column shows it; the last column is what works. */
  readonly counts: readonly number[];
}

const cell = 13;

/** Faults of a row that are named. */
const mostNamed = 2;

/**
 * Faults against test points as one SVG document: in how many of the states looked at a fault can be read at a point.
 * Fields have their number beside their shade, so that it reads without either.
 */
export function heatMapSvg(answer: TestabilityAnswer, { theme }: { readonly theme: Theme }): string {
  const palette = palettes[theme];
  const columns = columnsOf(answer);
  const rows = rowsOf(answer, columns);
  const states = answer.looked.states.length;
  const map = mapBlock(rows, [...columns.map(({ name }) => name), 'what works'], states, palette);
  const blacks = answer.blacks.map(({ name }) => clean(name)).join(', ');
  const width = Math.max(map.width, 420);
  const blocks = [
    textListBlock(
      [
        `${clean(answer.circuit.title)}: where each fault shows`,
        `A field says in how many of ${states} states a meter at that test point (black lead on ${blacks}) would show the fault for certain; the darker, the more. Empty: in none.`,
        'Faults in one row show alike at every point; more than two are counted. Left out: faults that show nowhere, and readings across parts.',
        `States: ${answer.looked.states.map(({ state }) => wordState(state)).join('; ')}.`,
      ],
      palette,
      { width, columns: 1 },
    ),
    map,
    textBlock([shortCaution], palette, { width }),
  ];
  return sheetSvg(`${clean(answer.circuit.title)}: where each fault shows`, blocks, palette);
}

interface Column {
  readonly node: number;
  readonly name: string;
}

/** Test points at which some fault shows, in the circuit's order. */
function columnsOf({ circuit, faults }: TestabilityAnswer): readonly Column[] {
  const used = new Set(
    faults.flatMap(({ readings }) =>
      readings.flatMap(({ place }) => (place.kind === 'point' ? place.red : [])),
    ),
  );
  return circuit.nodes.flatMap(({ index, name }) =>
    used.has(index) ? [{ node: index, name: clean(name) }] : [],
  );
}

function rowsOf({ circuit, faults }: TestabilityAnswer, columns: readonly Column[]): readonly Row[] {
  const alike = new Map<string, { names: string[]; counts: readonly number[] }>();
  for (const tested of faults) {
    const counts = countsOf(tested, columns);
    if (counts.every((count) => count === 0)) continue;
    const name = `${clean(tested.fault.part)} ${wordMode(circuit, tested.fault)}`;
    const key = JSON.stringify([tested.readings, tested.loads, tested.outcomes.length].map(plainly));
    const met = alike.get(key);
    if (met === undefined) alike.set(key, { names: [name], counts });
    else met.names.push(name);
  }
  return [...alike.values()].map(({ names, counts }) => {
    const more = names.length > mostNamed ? `; and ${names.length - mostNamed} more` : '';
    return { name: `${names.slice(0, mostNamed).join('; ')}${more}`, counts };
  });
}

/** What a fault does, without the objects it is told with. */
function plainly(value: unknown): string {
  return JSON.stringify(value, (key, each) => (key === 'load' ? each.name : each));
}

function countsOf({ readings, loads, outcomes }: TestedFault, columns: readonly Column[]): readonly number[] {
  const byNode = new Map(
    readings.flatMap(({ place, states }) => (place.kind === 'point' ? [[place.red, states.length]] : [])),
  );
  const works = new Set([...loads, ...outcomes].map(({ state }) => state)).size;
  return [...columns.map(({ node }) => byNode.get(node) ?? 0), works];
}

function mapBlock(rows: readonly Row[], heads: readonly string[], states: number, palette: Palette): Block {
  const names = rows.map(({ name }) => textWidth(name, small));
  const label = Math.max(0, ...names) + 6;
  const top = Math.max(...heads.map((text) => textWidth(text, small))) + 6;
  const width = label + cell * heads.length;
  const height = top + cell * rows.length;
  const rule = { stroke: palette.faint, 'stroke-width': 0.3, fill: 'none' };
  const paint = (x: number, y: number) => [
    svgElement('path', { ...rule, d: gridOf(x + label, y + top, heads.length, rows.length) }),
    ...heads.map((text, column) => {
      const [left, base] = [x + label + cell * column + cell - 3.5, y + top - 3];
      return svgElement('g', { transform: `translate(${svgNumber(left)} ${svgNumber(base)}) rotate(-90)` }, [
        svgWords(text, { x: 0, y: 0, size: small, fill: palette.ink }),
      ]);
    }),
    ...rows.flatMap(({ name, counts }, row) => {
      const line = y + top + cell * row;
      return [
        svgWords(name, { x, y: line + cell - 3.5, size: small, fill: palette.ink }),
        ...counts.flatMap((count, column) =>
          field(count / states, count, x + label + cell * column, line, palette),
        ),
      ];
    }),
  ];
  return { width, height: height + 4, paint };
}

/** Rules around every field, as one path. */
function gridOf(x: number, y: number, columns: number, rows: number): string {
  const [right, bottom] = [x + cell * columns, y + cell * rows].map(svgNumber);
  const across = Array.from(
    { length: rows + 1 },
    (_, row) => `M${svgNumber(x)} ${svgNumber(y + cell * row)}H${right}`,
  );
  const down = Array.from(
    { length: columns + 1 },
    (_, column) => `M${svgNumber(x + cell * column)} ${svgNumber(y)}V${bottom}`,
  );
  return [...across, ...down].join('');
}

/** Shades from light to dark; on the darker ones the number stands in the colour of the paper. */
function field(share: number, count: number, x: number, y: number, palette: Palette): readonly string[] {
  if (count === 0) return [];
  const shade =
    palette.shades[Math.min(palette.shades.length - 1, Math.floor(share * palette.shades.length))];
  return [
    svgElement('rect', { x, y, width: cell, height: cell, fill: shade ?? palette.ink }),
    svgWords(String(count), {
      x: x + cell / 2,
      y: y + cell - 3.5,
      size: small - 1,
      anchor: 'middle',
      fill: share >= 0.6 ? palette.paper : palette.ink,
    }),
  ];
}
