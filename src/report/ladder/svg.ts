import { clean } from '../clean.js';

/** Names that may stand in a picture: no script, no style, no link, nothing from elsewhere (SEC-14). */
type SvgName = 'svg' | 'title' | 'desc' | 'g' | 'rect' | 'line' | 'path' | 'circle' | 'text';

type Attributes = Readonly<Record<string, string | number | undefined>>;

/** One element of a picture; texts among the children are `svgText`. Numbers are given to a hundredth. */
export function svgElement(name: SvgName, attributes: Attributes, children: readonly string[] = []): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ` ${key}="${typeof value === 'number' ? rounded(value) : svgText(String(value))}"`)
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
export function rounded(value: number): string {
  return String(Number(value.toFixed(2)) || 0);
}
