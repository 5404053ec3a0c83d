import {
  type Element,
  type Ladder,
  type Layout,
  layOut,
  type Picture,
  type PlacedLine,
  type Scene,
  textSizes,
} from '../../draw/draw.js';
import { clean } from '../clean.js';
import { wordState } from '../word-state.js';
import { type JobNotes, letteringFor } from './lettering.js';
import { type Palette, palettes } from './palette.js';
import { svgElement, svgText } from './svg.js';
import { symbolOf } from './symbols.js';

export interface SvgOptions {
  readonly theme: 'light' | 'dark';
}

const noNotes: JobNotes = { node: () => [], element: () => [] };

/** Between pieces of the sheet, and around it. */
const space = 16;

/** A ladder, in a scene, as one SVG document: attributes only, no style, no script, no references, safe inside HTML. */
export function ladderSvg({ ladder, scene }: Picture, options: SvgOptions): string {
  const { circuit, sections } = ladder;
  const palette = palettes[options.theme];
  const lettering = letteringFor(ladder, scene, noNotes);
  const first = sections.map((section) => layOut(section, lettering, 0));
  const width = Math.max(...first.map((layout) => layout.width));
  const layouts = sections.map((section, index) =>
    layOut(section, lettering, (first[index]?.width ?? 0) > width * 0.4 ? width : 0),
  );
  const left = Math.max(...layouts.map((each) => each.left)) + space;
  const right = Math.max(...layouts.map((each) => each.width + each.right)) + space;
  const pieces: string[] = [];
  let y = 34;
  pieces.push(text(clean(circuit.title), { x: space, y, size: 16, bold: true }, palette));
  y += 18;
  pieces.push(text(subtitle(scene), { x: space, y, size: 11 }, palette));
  y += 20;
  for (const layout of layouts) {
    pieces.push(
      svgElement('g', { transform: `translate(${left} ${y})` }, paintSection(ladder, scene, layout, palette)),
    );
    y += layout.height + space;
  }
  const total = { width: left + right, height: y + space };
  const paper = svgElement('rect', { width: total.width, height: total.height, fill: palette.paper });
  return svgElement(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${total.width.toFixed(0)} ${total.height.toFixed(0)}`,
      'font-family': 'Helvetica, Arial, Liberation Sans, sans-serif',
      role: 'img',
    },
    [svgElement('title', {}, [svgText(circuit.title)]), paper, ...pieces],
  );
}

function subtitle({ state, outcome }: Scene): string {
  if (outcome === 'not-asked') return 'Wiring, contacts as they rest without power';
  return `State: ${wordState(state)}`;
}

function text(
  content: string,
  at: {
    readonly x: number;
    readonly y: number;
    readonly size: number;
    readonly bold?: boolean;
    readonly anchor?: string;
    readonly fill?: string;
  },
  palette: Palette,
): string {
  return svgElement(
    'text',
    {
      x: at.x,
      y: at.y,
      'font-size': at.size,
      'font-weight': at.bold ? 'bold' : undefined,
      'text-anchor': at.anchor === 'start' ? undefined : at.anchor,
      fill: at.fill ?? palette.ink,
    },
    [svgText(content)],
  );
}

function paintSection({ circuit }: Ladder, scene: Scene, layout: Layout, palette: Palette): string[] {
  const lines = layout.lines.map((line) => conductor(line, scene, palette));
  const symbols = layout.symbols.map(({ element, x, y, flipped }) => {
    const works = scene.loads.get(element.index)?.works === 'yes';
    return symbol(circuit, scene, element, { x, y, flipped, works }, palette);
  });
  const nodes = layout.nodes.map(({ node, x, y, kind }) => {
    const stroke = palette.stroke[scene.potential(node)].colour;
    if (kind === 'junction') return svgElement('circle', { cx: x, cy: y, r: 3, fill: stroke });
    const r = kind === 'pole' ? 4.5 : 2;
    return svgElement('circle', { cx: x, cy: y, r, fill: palette.paper, stroke, 'stroke-width': 1.2 });
  });
  const texts = layout.texts.map(({ role, text: content, x, y, anchor, of }) => {
    const bold = role === 'name' || role === 'pole' || (role === 'comment' && content.startsWith('\u25CF'));
    const fill =
      role === 'node' && of.node !== undefined
        ? palette.stroke[scene.potential(of.node)].colour
        : role === 'number' || role === 'colour'
          ? palette.faint
          : palette.ink;
    return text(content, { x, y, size: textSizes[role], bold, anchor, fill }, palette);
  });
  return [...lines, ...symbols, ...nodes, ...texts];
}

function conductor({ x1, y1, x2, y2, node, rail }: PlacedLine, scene: Scene, palette: Palette): string {
  const { colour, width, dash } = palette.stroke[scene.potential(node)];
  return svgElement('line', {
    x1,
    y1,
    x2,
    y2,
    stroke: colour,
    'stroke-width': rail ? width + 1 : width,
    'stroke-dasharray': dash,
    'stroke-linecap': dash === undefined ? 'square' : undefined,
  });
}

function symbol(
  circuit: Ladder['circuit'],
  scene: Scene,
  element: Element,
  at: { readonly x: number; readonly y: number; readonly flipped: boolean; readonly works: boolean },
  palette: Palette,
): string {
  const {
    lines,
    filled,
    circles = [],
    dashed,
    letters = [],
  } = symbolOf(circuit, element, scene.conducts.has(element.index));
  const fill = at.works ? palette.working : palette.paper;
  const shapes = [
    svgElement('path', { d: lines, fill: 'none' }),
    ...(filled === undefined ? [] : [svgElement('path', { d: filled, fill })]),
    ...circles.map(({ x, y, r }) => svgElement('circle', { cx: x, cy: y, r, fill })),
    ...(filled === undefined && circles.length === 0 ? [] : [svgElement('path', { d: lines, fill: 'none' })]),
    ...(dashed === undefined
      ? []
      : [svgElement('path', { d: dashed, 'stroke-dasharray': '2 1.5', 'stroke-width': 0.9 })]),
    ...letters.map((each) =>
      svgElement(
        'text',
        {
          x: each.x,
          y: each.y,
          'font-size': each.size,
          'text-anchor': 'middle',
          fill: palette.ink,
          stroke: 'none',
        },
        [svgText(each.text)],
      ),
    ),
  ];
  return svgElement(
    'g',
    {
      transform: `translate(${at.x.toFixed(2)} ${at.y.toFixed(2)})`,
      stroke: palette.ink,
      'stroke-width': at.works ? 2 : 1.3,
      fill: 'none',
    },
    shapes,
  );
}
