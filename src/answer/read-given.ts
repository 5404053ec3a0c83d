import type { Problem } from '../report/report.js';
import { type Document, decode, limits, type ReadFile, readJsonDocument, type Source } from '../text/text.js';
import type { Given } from './given.js';

interface Readers<Shaped> {
  readonly text: (source: Source) => ReadFile<Shaped>;
  readonly data: (source: Source) => ReadFile<Shaped>;
  /** Bytes at most. */
  readonly most: number;
}

/** Reads what was given in any of its forms. Problems in data are placed in it as `JSON.stringify(data, null, 2)` writes it. */
export function readGiven<Shaped>(given: Given, name: string, readers: Readers<Shaped>): ReadFile<Shaped> {
  if (typeof given !== 'string' && !(given instanceof Uint8Array)) return readers.data(asJson(given, name));
  const bytes = typeof given === 'string' ? new TextEncoder().encode(given) : given;
  const { source, problems } = decode(name, bytes, readers.most);
  return source === undefined ? { problems, more: 0 } : readers.text(source);
}

/** Options as a document, so that what is wrong with one has a place. */
export function optionsDocument(options: object): {
  readonly document?: Document;
  readonly problems: readonly Problem[];
} {
  return readJsonDocument(asJson(options, 'options'), { ...limits, bytes: limits.readingsBytes });
}

function asJson(data: object, name: string): Source {
  const text = typeof data === 'object' && data !== null ? JSON.stringify(data, null, 2) : undefined;
  if (text === undefined) throw new TypeError(`${name}: a text, bytes or an object is needed`);
  return { name, text };
}
