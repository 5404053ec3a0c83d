import {
  type ContactChart,
  contactCharts,
  type ModuleChart,
  moduleCharts,
  type Picture,
  textWidth,
} from '../../draw/draw.js';
import { clean } from '../clean.js';
import { type Block, small, smallLine, tableBlock, textListBlock } from './block.js';
import { barsOf, chartContact, chartHeading, moduleLines } from './chart-words.js';
import type { Palette } from './palette.js';
import { svgElement, svgWords } from './svg.js';

/** The charts of a circuit's switches, and what its modules do, for the foot of a sheet. */
export function chartBlocks({ ladder, scene }: Picture, palette: Palette, columns: number): readonly Block[] {
  const state = scene.outcome === 'not-asked' ? undefined : scene.state;
  return [
    ...contactCharts(ladder.circuit, state).map((chart) =>
      chart.steps ? barBlock(chart, palette) : chartBlock(chart, palette),
    ),
    ...moduleCharts(ladder.circuit).map((chart) => moduleBlock(chart, palette, columns)),
  ];
}

function chartBlock(chart: ContactChart, palette: Palette): Block {
  const at = chart.at === undefined ? -1 : chart.positions.indexOf(chart.at);
  const rows = [
    [{ text: 'X closed' }, ...chart.positions.map((text) => ({ text: clean(text) }))],
    ...chart.contacts.map((contact) => [
      { text: chartContact(chart, contact) },
      ...contact.closed.map((closed) => ({ text: closed ? 'X' : '', filled: closed })),
    ]),
  ];
  return tableBlock(chartHeading(chart), rows, palette, at < 0 ? undefined : at + 1);
}

const step = 15;
const barHeight = 6;

/** Steps from left to right, a bar where a contact is closed; the step in the state that is drawn is framed. */
function barBlock(chart: ContactChart, palette: Palette): Block {
  const { positions, contacts, at } = chart;
  const names = contacts.map((contact) => chartContact(chart, contact));
  const label = Math.max(...names.map((text) => textWidth(text, small))) + 8;
  const wide = Math.max(step, ...positions.map((text) => textWidth(clean(text), small, true) + 4));
  const rowHeight = smallLine + 2;
  const head = smallLine + 4;
  const bottom = head + rowHeight * (contacts.length + 1);
  const paint = (x: number, y: number) => {
    const column = (index: number) => x + label + wide * index;
    const line = (row: number) => y + head + rowHeight * row;
    return [
      svgWords(chartHeading(chart), { x, y: y + small, size: small, bold: true, fill: palette.ink }),
      ...positions.flatMap((text, index) => [
        svgWords(clean(text), {
          x: column(index) + wide / 2,
          y: line(0) + small,
          size: small,
          anchor: 'middle',
          bold: text === at,
          fill: palette.ink,
        }),
        svgElement('line', {
          x1: column(index),
          y1: line(1),
          x2: column(index),
          y2: y + bottom,
          stroke: palette.faint,
          'stroke-width': 0.4,
        }),
      ]),
      ...contacts.flatMap(({ closed }, row) => [
        svgWords(names[row] ?? '', { x, y: line(row + 1) + small, size: small, fill: palette.ink }),
        svgElement('line', {
          x1: x,
          y1: line(row + 1),
          x2: column(positions.length),
          y2: line(row + 1),
          stroke: palette.faint,
          'stroke-width': 0.4,
        }),
        ...barsOf(closed).map(([from, to]) =>
          svgElement('rect', {
            x: column(from),
            y: line(row + 1) + 3,
            width: wide * (to - from),
            height: barHeight,
            fill: palette.ink,
          }),
        ),
      ]),
      ...(at === undefined
        ? []
        : [
            svgElement('rect', {
              x: column(positions.indexOf(at)),
              y: line(0),
              width: wide,
              height: bottom - head,
              fill: 'none',
              stroke: palette.ink,
              'stroke-width': 1.4,
            }),
          ]),
    ];
  };
  return {
    width: Math.max(label + wide * positions.length, textWidth(chartHeading(chart), small, true)),
    height: bottom + 2,
    paint,
  };
}

function moduleBlock(chart: ModuleChart, palette: Palette, columns: number): Block {
  return textListBlock(moduleLines(chart), palette, { width: 330, columns });
}
