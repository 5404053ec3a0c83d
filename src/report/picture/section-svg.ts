import {
  isBold,
  type Layout,
  type Picture,
  type PlacedBox,
  type PlacedLine,
  type PlacedNode,
  type PlacedSymbol,
  type PlacedText,
  symbolHalf,
  textSizes,
} from '../../draw/draw.js';
import { onMark } from './lettering.js';
import type { Palette } from './palette.js';
import { svgElement, svgLine, svgNumber, svgWords } from './svg.js';
import { symbolOf } from './symbols.js';

/** A section of a ladder as pieces of SVG, its left rail's head at x, y. */
export function sectionSvg(
  picture: Picture,
  given: Layout,
  palette: Palette,
  x: number,
  y: number,
): readonly string[] {
  const layout = shifted(given, x, y);
  const { scene, job } = picture;
  const next = new Set<number>(nextNodes(picture));
  const colourOf = (node: number) => palette.stroke[scene.potential(node)].colour;
  return [
    ...layout.boxes.flatMap((box) => (job?.bracket.has(box.element.index) ? shaded(box, palette) : [])),
    ...layout.lines.flatMap((line) => conductor(line, picture, palette)),
    ...layout.symbols.map((symbol) => drawSymbol(symbol, picture, palette)),
    ...layout.nodes.flatMap((node) => drawNode(node, next.has(node.node), colourOf(node.node), palette)),
    ...layout.nodes.flatMap(({ node, x: at, y: on }) =>
      isEarthed(picture, node) ? [earth(at, on, colourOf(node))] : [],
    ),
    ...layout.passages.map(({ x: at, y: on, way, node }) => passageMark(at, on, way, colourOf(node))),
    ...layout.texts.map((text) =>
      drawText(text, text.of.node === undefined ? undefined : colourOf(text.of.node), palette),
    ),
  ];
}

/** Everything in the sheet's own coordinates: groups would have to be undone to check or search it. */
function shifted(layout: Layout, x: number, y: number): Layout {
  const move = <Placed extends { readonly x: number; readonly y: number }>(each: Placed): Placed => ({
    ...each,
    x: each.x + x,
    y: each.y + y,
  });
  return {
    ...layout,
    texts: layout.texts.map(move),
    symbols: layout.symbols.map(move),
    nodes: layout.nodes.map(move),
    boxes: layout.boxes.map(move),
    passages: layout.passages.map(move),
    lines: layout.lines.map((each) => ({
      ...each,
      x1: each.x1 + x,
      y1: each.y1 + y,
      x2: each.x2 + x,
      y2: each.y2 + y,
    })),
  };
}

/** Where the leads go next, in the state that is drawn. */
export function nextNodes({ job }: Picture): readonly number[] {
  const where = job?.nextIsHere === true ? job.next?.probe.where : undefined;
  return where?.kind === 'between' ? [where.red, where.black] : [];
}

/** Hatched, so that it shows without colour too. */
function shaded({ x, y, width, height }: PlacedBox, palette: Palette): readonly string[] {
  const lines: string[] = [];
  for (let start = -height; start < width; start += 5) {
    // From the lower edge up to the right, cut off at the box.
    const [from, to] = [Math.max(0, start), Math.min(width, start + height)];
    lines.push(
      `M${svgNumber(x + from)} ${svgNumber(y + height - (from - start))}L${svgNumber(x + to)} ${svgNumber(y + height - (to - start))}`,
    );
  }
  return [
    svgElement('rect', {
      x,
      y,
      width,
      height,
      fill: palette.bracket,
      stroke: palette.ink,
      'stroke-dasharray': '5 2',
    }),
    svgElement('path', { d: lines.join(''), stroke: palette.hatch, 'stroke-width': 0.8, fill: 'none' }),
  ];
}

/** A wire that is cut or lifted has a gap, and each end its own potential. */
function conductor(line: PlacedLine, { scene }: Picture, palette: Palette): readonly string[] {
  const { x1, y1, x2, y2, node, rail, wire } = line;
  const near = palette.stroke[scene.potential(node)];
  if (wire === undefined || scene.conducts.has(wire.index))
    return [svgLine(x1, y1, x2, y2, near, rail === true ? 1 : 0)];
  const [x, y] = [(x1 + x2) / 2, (y1 + y2) / 2];
  const far = palette.stroke[scene.potential(wire.from === node ? wire.to : wire.from)];
  const [dx, dy] = [5 * Math.sign(x2 - x1), 5 * Math.sign(y2 - y1)];
  const cross = `M${svgNumber(x - 3)} ${svgNumber(y - 4)}l6 8m0 -8l-6 8`;
  return [
    svgLine(x1, y1, x - dx, y - dy, near, 0),
    svgLine(x + dx, y + dy, x2, y2, far, 0),
    svgElement('path', { d: cross, stroke: palette.ink, 'stroke-width': 1.2, fill: 'none' }),
  ];
}

function drawSymbol({ element, x, y, flipped }: PlacedSymbol, picture: Picture, palette: Palette): string {
  const { ladder, scene } = picture;
  const {
    reach,
    lines,
    body,
    circles = [],
    link,
    letters = [],
  } = symbolOf(ladder.circuit, element, scene.conducts.has(element.index));
  const works = scene.loads.get(element.index)?.works;
  const fill = works === 'yes' ? palette.working : palette.paper;
  const [left, right] = flipped ? [element.to, element.from] : [element.from, element.to];
  const lead = (node: number, from: number, to: number) =>
    svgLine(from, 0, to, 0, palette.stroke[scene.potential(node)], 0);
  const stroke = { stroke: palette.ink, 'stroke-width': works === 'yes' ? 2 : 1.3, fill: 'none' };
  return svgElement('g', { transform: `translate(${svgNumber(x)} ${svgNumber(y)})` }, [
    lead(left, -symbolHalf, -reach),
    lead(right, reach, symbolHalf),
    ...(body === undefined ? [] : [svgElement('path', { ...stroke, d: body, fill })]),
    ...circles.map(({ x: cx, y: cy, r }) => svgElement('circle', { ...stroke, cx, cy, r, fill })),
    ...(lines === '' ? [] : [svgElement('path', { ...stroke, d: lines })]),
    ...(link === undefined
      ? []
      : [svgElement('path', { ...stroke, d: link, 'stroke-width': 0.9, 'stroke-dasharray': '2 1.5' })]),
    ...letters.map(({ text, x: at, y: base, size }) =>
      svgWords(text, { x: at, y: base, size, anchor: 'middle', fill: palette.ink }),
    ),
  ]);
}

function drawNode(
  { x, y, kind }: PlacedNode,
  next: boolean,
  colour: string,
  palette: Palette,
): readonly string[] {
  const ring = { cx: x, cy: y, stroke: palette.ink, 'stroke-width': 1.6, fill: palette.paper };
  const marks = next ? [svgElement('circle', { ...ring, r: 5.5 })] : [];
  if (kind === 'junction') return [...marks, svgElement('circle', { cx: x, cy: y, r: 3, fill: colour })];
  const r = kind === 'pole' ? 4.5 : 2;
  return [
    ...marks,
    svgElement('circle', { cx: x, cy: y, r, fill: palette.paper, stroke: colour, 'stroke-width': 1.2 }),
  ];
}

/** An arrowhead at the end of a line that goes on on another sheet. */
export function passageMark(x: number, y: number, way: 'up' | 'down', colour: string): string {
  const back = way === 'down' ? -7 : 7;
  return svgElement('path', {
    d: `M${svgNumber(x)} ${svgNumber(y)}l-4 ${back}h8Z`,
    fill: colour,
    stroke: colour,
    'stroke-width': 1,
  });
}

/** Whether a wire of the protective earth ends there: at the metal of the appliance. */
function isEarthed({ ladder, scene }: Picture, node: number): boolean {
  if (scene.potential(node) !== 'earth') return false;
  const [only, more] = ladder.elements.filter(({ from, to }) => from === node || to === node);
  const terminal = ladder.sections.some(({ poles }) => poles.some((pole) => pole.node === node));
  return only?.role === 'wire' && more === undefined && !terminal;
}

/** How far the symbol of earth reaches beyond the end of its wire. */
export const earthReach = 17;

/** IEC 60617: protective earth, on its side at the end of its wire. */
function earth(x: number, y: number, colour: string): string {
  const lines = 'M-8 0H0M0 -7V7M3 -4.5V4.5M6 -2V2';
  const at = { transform: `translate(${svgNumber(x + 10)} ${svgNumber(y)})` };
  return svgElement('g', at, [
    svgElement('path', { d: lines, stroke: colour, 'stroke-width': 1.3, fill: 'none' }),
  ]);
}

function drawText(
  { role, text, x, y, anchor }: PlacedText,
  colour: string | undefined,
  palette: Palette,
): string {
  const fill =
    role === 'node'
      ? (colour ?? palette.ink)
      : role === 'number' || role === 'colour'
        ? palette.faint
        : palette.ink;
  const bold = isBold(role) || text.startsWith(onMark);
  return svgWords(text, { x, y, size: textSizes[role], anchor, bold, fill });
}
