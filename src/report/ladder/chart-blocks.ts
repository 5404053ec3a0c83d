import type { Rule } from '../../circuit/circuit.js';
import {
  type ContactChart,
  contactCharts,
  type ModuleChart,
  moduleCharts,
  type Picture,
  textWidth,
} from '../../draw/draw.js';
import { clean } from '../clean.js';
import { showValue } from '../number.js';
import { type Block, small, smallLine, tableBlock, textBlock } from './block.js';
import type { Palette } from './palette.js';
import { svgElement, svgWords } from './svg.js';

/** The charts of a circuit's switches, and what its modules do, for the foot of a sheet. */
export function chartBlocks({ ladder, scene }: Picture, palette: Palette): readonly Block[] {
  const state = scene.outcome === 'not-asked' ? undefined : scene.state;
  return [
    ...contactCharts(ladder.circuit, state).map((chart) =>
      chart.steps ? barBlock(chart, palette) : chartBlock(chart, palette),
    ),
    ...moduleCharts(ladder.circuit).map((chart) => moduleBlock(chart, palette)),
  ];
}

export function chartHeading({ switch: name, title, at }: ContactChart): string {
  const what = title === undefined ? clean(name) : `${clean(name)} ${clean(title)}`;
  return at === undefined ? what : `${what}: at ${clean(at)}`;
}

/** `heat 1-2`: a contact and its terminals, short where they are its switch's own. */
export function chartContact(
  { switch: name }: ContactChart,
  contact: ContactChart['contacts'][number],
): string {
  const short = contact.between.map((node) =>
    clean(node.startsWith(`${name}.`) ? node.slice(name.length + 1) : node),
  );
  return [clean(contact.name), short.join('-')].filter((each) => each !== '').join('  ');
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

/** Stretches of steps in which a contact is closed, ends not included. */
export function barsOf(closed: readonly boolean[]): readonly (readonly [number, number])[] {
  const bars: [number, number][] = [];
  for (const [index, is] of closed.entries()) {
    if (!is) continue;
    const last = bars.at(-1);
    if (last !== undefined && last[1] === index) last[1] = index + 1;
    else bars.push([index, index + 1]);
  }
  return bars;
}

function moduleBlock(chart: ModuleChart, palette: Palette): Block {
  return textBlock(moduleLines(chart), palette, { width: 330, heading: true });
}

/** What a module looks at, and what it does then, a line each. */
export function moduleLines({ module, title, inputs, outputs }: ModuleChart): readonly string[] {
  const pin = (node: string) => clean(node.startsWith(`${module}.`) ? node.slice(module.length + 1) : node);
  return [
    title === undefined ? clean(module) : `${clean(module)} ${clean(title)}`,
    ...inputs.map(
      ({ name, between: [a, b], atLeast }) =>
        `in: ${clean(name)} is there from ${showValue(atLeast, 'V')} on, ${pin(a)} to ${pin(b)}`,
    ),
    ...outputs.map(({ name, job, when }) => {
      const what =
        job === `${name} output closes` ? `${clean(name)} closes` : `${clean(name)}, ${clean(job)},`;
      return `out: ${what} with ${wordRule(when)}`;
    }),
  ];
}

function wordRule(rule: Rule): string {
  switch (rule.kind) {
    case 'input':
      return clean(rule.input);
    case 'not':
      return `not ${inner(rule.of)}`;
    case 'all':
      return rule.of.map(inner).join(' and ');
    case 'any':
      return rule.of.map(inner).join(' or ');
  }
}

function inner(rule: Rule): string {
  const one = rule.kind === 'input' || rule.kind === 'not' || rule.of.length === 1;
  return one ? wordRule(rule) : `(${wordRule(rule)})`;
}
