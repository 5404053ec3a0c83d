import { type Picture, type Potential, textWidth } from '../../draw/draw.js';
import { clean } from '../clean.js';
import { type Block, listBlock, small, smallLine, textListBlock } from './block.js';
import type { Palette } from './palette.js';
import { passageMark } from './section-svg.js';
import { svgElement, svgLine, svgWords } from './svg.js';

const potentials: readonly (readonly [Potential, string])[] = [
  ['live', 'live: thick'],
  ['neutral', 'at the reference (0 V may still be live): thin'],
  ['floating', 'floating: dashed, may show stray volts'],
  ['earth', 'protective earth: dash and dot'],
];

/** What lines and marks mean; where a ladder is torn apart also what leads on. */
export function keyBlock(picture: Picture, palette: Palette, columns: number, torn: boolean): Block {
  const { scene, job } = picture;
  const steady = scene.outcome === 'steady';
  const strokes = potentials.filter(([potential]) => steady || potential === 'earth');
  const marks: readonly Mark[] = [
    {
      paint: (x, y) => [
        svgElement('circle', {
          cx: x + 14,
          cy: y,
          r: 2,
          fill: palette.paper,
          stroke: palette.ink,
          'stroke-width': 1.2,
        }),
      ],
      text: 'terminal or splice, a place for a lead',
    },
    {
      paint: (x, y) => [svgElement('circle', { cx: x + 14, cy: y, r: 3, fill: palette.ink })],
      text: 'joined; lines that cross without a dot are not',
    },
    ...(steady
      ? [
          {
            paint: (x: number, y: number) => [
              svgElement('rect', {
                x: x + 4,
                y: y - 4,
                width: 20,
                height: 8,
                fill: palette.working,
                stroke: palette.ink,
                'stroke-width': 2,
              }),
            ],
            text: 'load that does its job: filled, heavy outline',
          },
        ]
      : []),
    ...(job === undefined || job.bracket.size === 0
      ? []
      : [
          {
            paint: (x: number, y: number) => [
              svgElement('rect', {
                x: x + 2,
                y: y - 4,
                width: 24,
                height: 8,
                fill: palette.bracket,
                stroke: palette.ink,
                'stroke-dasharray': '5 2',
              }),
            ],
            text: 'hatched: what bounds the fault',
          },
        ]),
    ...(job?.nextIsHere === true
      ? [
          {
            paint: (x: number, y: number) => [
              svgElement('circle', {
                cx: x + 14,
                cy: y,
                r: 5,
                fill: 'none',
                stroke: palette.ink,
                'stroke-width': 1.8,
              }),
            ],
            text: 'ringed: where the leads go next',
          },
        ]
      : []),
    ...(torn
      ? [
          {
            paint: (x: number, y: number) => [passageMark(x + 14, y + 4, 'down', palette.ink)],
            text: 'goes on on the next sheet, at the same name',
          },
        ]
      : []),
  ];
  const all: readonly Mark[] = [
    ...strokes.map(([potential, text]) => ({
      paint: (x: number, y: number) => [svgLine(x, y, x + 28, y, palette.stroke[potential], 0)],
      text,
    })),
    ...marks,
  ];
  const entries = all.map(
    ({ paint, text }): Block => ({
      width: 36 + textWidth(text, small),
      height: smallLine,
      paint: (x, y) => [
        ...paint(x, y + small - 3),
        svgWords(text, { x: x + 36, y: y + small, size: small, fill: palette.ink }),
      ],
    }),
  );
  return listBlock('Key', entries, palette, columns);
}

interface Mark {
  readonly paint: (x: number, y: number) => readonly string[];
  readonly text: string;
}

/** Titles of parts that no comment beside a rung gives, under a heading. */
export function partLines({ ladder }: Picture): readonly string[] {
  const { circuit, elements } = ladder;
  const commented = new Set(
    elements
      .filter(({ role }) => role === 'load' || role === 'coil' || role === 'draw')
      .map(({ part }) => part),
  );
  const drawn = new Set(elements.map(({ part }) => part));
  const lines = [...circuit.parts.values()].flatMap(({ name, title, kind }) =>
    title === undefined || kind === 'wire' || commented.has(name) || !drawn.has(name)
      ? []
      : [`${clean(name)}  ${clean(title)}`],
  );
  return lines.length === 0 ? [] : ['Parts', ...lines];
}

export function partsBlock(picture: Picture, palette: Palette, columns: number): Block | undefined {
  const lines = partLines(picture);
  return lines.length === 0 ? undefined : textListBlock(lines, palette, { width: 260, columns });
}
