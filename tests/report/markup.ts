/** Markup read by parsers that are not ours: a strict XML parser, and CommonMark with GitHub's extensions. */
import { micromark } from 'micromark';
import { gfm, gfmHtml } from 'micromark-extension-gfm';
import { SaxesParser } from 'saxes';

export interface ReadMarkup {
  /** Names of elements, each once, and of attributes as `element@attribute`. */
  readonly names: ReadonlySet<string>;
  /** Text outside of head, with blanks as they are. */
  readonly text: string;
  /** The text of each cell of each row of each table. */
  readonly rows: readonly (readonly string[])[];
  /** Values of attributes, as `element@attribute=value`. */
  readonly attributes: readonly string[];
}

/** Throws where the markup is not well-formed. */
export function readMarkup(xml: string): ReadMarkup {
  const names = new Set<string>();
  const attributes: string[] = [];
  const rows: string[][] = [];
  let [text, inHead] = ['', false];
  const parser = new SaxesParser();
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes: own }) => {
    names.add(name);
    for (const [key, value] of Object.entries(own)) {
      names.add(`${name}@${key}`);
      attributes.push(`${name}@${key}=${value}`);
    }
    if (name === 'head') inHead = true;
    if (name === 'tr') rows.push([]);
    if (name === 'td' || name === 'th') rows.at(-1)?.push('');
  });
  parser.on('closetag', ({ name }) => {
    if (name === 'head') inHead = false;
  });
  parser.on('text', (piece) => {
    if (inHead) return;
    text += piece;
    const row = rows.at(-1);
    if (row !== undefined && row.length > 0) row[row.length - 1] += piece;
  });
  parser.write(xml).close();
  return { names, text, rows: rows.map((row) => row.map((cell) => cell.trim())), attributes };
}

export function readMarkdown(markdown: string): ReadMarkup {
  const html = micromark(markdown, { extensions: [gfm()], htmlExtensions: [gfmHtml()] });
  return readMarkup(`<main>${html}</main>`);
}
