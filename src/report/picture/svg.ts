import { clean } from '../clean.js';
import type { Stroke } from './palette.js';

/** Names that may stand in a picture: no script, no style, no link, nothing from elsewhere (SEC-14). */
type SvgName = 'svg' | 'title' | 'desc' | 'g' | 'rect' | 'line' | 'path' | 'circle' | 'text';

type Attributes = Readonly<Record<string, string | number | undefined>>;

/** One element of a picture; children are elements or `svgText`. */
export function svgElement(name: SvgName, attributes: Attributes, children: readonly string[] = []): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(
      ([key, value]) => ` ${key}="${typeof value === 'number' ? svgNumber(value) : svgText(String(value))}"`,
    )
    .join('');
  return children.length === 0 ? `<${name}${written}/>` : `<${name}${written}>${children.join('')}</${name}>`;
}

/** Text from anywhere, between tags or quotes. */
export function svgText(text: string): string {
  return clean(text)
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
}

/** A number as a picture has it: no more digits than can be seen, never "-0". */
export function svgNumber(value: number): string {
  return String(Number(value.toFixed(2)) || 0);
}

export function svgLine(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  stroke: Stroke,
  wider: number,
): string {
  return svgElement('line', {
    x1,
    y1,
    x2,
    y2,
    stroke: stroke.colour,
    'stroke-width': stroke.width + wider,
    'stroke-dasharray': stroke.dash,
    'stroke-linecap': stroke.dash === undefined ? 'square' : undefined,
  });
}

export interface Words {
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly fill: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly bold?: boolean;
}

export function svgWords(text: string, { x, y, size, fill, anchor = 'start', bold = false }: Words): string {
  return svgElement(
    'text',
    {
      x,
      y,
      'font-size': size,
      'font-weight': bold ? 'bold' : undefined,
      'text-anchor': anchor === 'start' ? undefined : anchor,
      fill,
    },
    [svgText(text)],
  );
}
