import { SaxesParser } from 'saxes';
import { textWidth } from '../../src/draw/draw.js';

/** A rectangle, with what it stands for. */
export interface Box {
  readonly what: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface SvgPicture {
  /** Names of elements and of attributes that occur. */
  readonly elements: ReadonlySet<string>;
  readonly attributes: ReadonlySet<string>;
  readonly width: number;
  readonly height: number;
  /** Size as printed. */
  readonly millimetres: readonly [number, number];
  readonly texts: readonly Box[];
  readonly words: readonly string[];
  readonly lines: readonly Box[];
  /** Groups stand for symbols: their place. */
  readonly symbols: readonly Box[];
  readonly smallest: number;
}

/** Ascent and descent of plain type, in shares of its size (Helvetica: 0.72 and 0.21, from memory). */
const [ascent, descent] = [0.72, 0.21];

/** Reads a picture with a strict XML parser: what is not well-formed throws. */
export function readSvg(svg: string): SvgPicture {
  const elements = new Set<string>();
  const attributes = new Set<string>();
  const texts: Box[] = [];
  const lines: Box[] = [];
  const symbols: Box[] = [];
  const words: string[] = [];
  let view: readonly number[] = [];
  let size: readonly [number, number] = [0, 0];
  let smallest = Number.POSITIVE_INFINITY;
  let open: Readonly<Record<string, string>> | undefined;
  let depth = 0;
  let words1 = '';
  const parser = new SaxesParser({ fragment: false });
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes: given }) => {
    elements.add(name);
    for (const key of Object.keys(given)) attributes.add(key);
    const own = given as Readonly<Record<string, string>>;
    const number = (key: string) => Number(own[key] ?? 0);
    if (name === 'svg') {
      view = (own['viewBox'] ?? '').split(' ').map(Number);
      size = [Number.parseFloat(own['width'] ?? ''), Number.parseFloat(own['height'] ?? '')];
    }
    if (name === 'g') {
      depth += 1;
      const [x = 0, y = 0] = [...(own['transform'] ?? '').matchAll(/-?[\d.]+/g)].map(([each]) =>
        Number(each),
      );
      symbols.push({ what: `symbol at ${x} ${y}`, left: x - 9, right: x + 9, top: y - 9, bottom: y + 9 });
    }
    if (name === 'text') [open, words1] = [own, ''];
    if (name === 'line' && depth === 0) {
      const [xs, ys] = [
        [number('x1'), number('x2')],
        [number('y1'), number('y2')],
      ];
      const what = `line ${xs} ${ys}`;
      lines.push({
        what,
        left: Math.min(...xs),
        right: Math.max(...xs),
        top: Math.min(...ys),
        bottom: Math.max(...ys),
      });
    }
  });
  parser.on('text', (text) => {
    words1 += text;
  });
  parser.on('closetag', ({ name }) => {
    if (name === 'g') depth -= 1;
    if (name !== 'text' || open === undefined) return;
    const [x, y, em] = [Number(open['x']), Number(open['y']), Number(open['font-size'])];
    smallest = Math.min(smallest, em);
    words.push(words1);
    if (depth > 0) return;
    const wide = textWidth(words1, em, open['font-weight'] === 'bold');
    const anchor = open['text-anchor'];
    const left = anchor === 'end' ? x - wide : anchor === 'middle' ? x - wide / 2 : x;
    texts.push({ what: words1, left, right: left + wide, top: y - ascent * em, bottom: y + descent * em });
  });
  parser.write(svg).close();
  const [, , width = 0, height = 0] = view;
  return { elements, attributes, width, height, millimetres: size, texts, words, lines, symbols, smallest };
}

/** Pairs that share more than a hair of paper. */
export function overlaps(some: readonly Box[], others: readonly Box[]): readonly string[] {
  const hair = 0.3;
  return some.flatMap((a) =>
    others.flatMap((b) => {
      if (a === b || (some === others && a.what > b.what)) return [];
      const apart =
        a.right - hair <= b.left ||
        b.right - hair <= a.left ||
        a.bottom - hair <= b.top ||
        b.bottom - hair <= a.top;
      return apart
        ? []
        : [
            `${a.what} (${Math.round(a.left)}, ${Math.round(a.top)}) / ${b.what} (${Math.round(b.left)}, ${Math.round(b.top)})`,
          ];
    }),
  );
}
