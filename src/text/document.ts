import type { Source, Spot } from './source.js';

/** Keys and indices from the root of a file's data down to one value. */
export type Path = readonly (string | number)[];

/**
 * A file read into plain data that still knows where each value stands. Maps have no prototype and keep the
 * file's order (names that look like integers are refused, since JavaScript would move them first).
 */
export interface Document {
  readonly source: Source;
  readonly data: unknown;
  /**
   * The place of the key or of the value at a path; where the path leads nowhere, that of the closest ancestor
   * that exists. Walks the syntax tree on demand: positions cost nothing until something is wrong.
   */
  locate(path: Path, part: 'key' | 'value'): Spot;
}

/** What stands at one key of a document's root, as a document of its own with its places in the whole. */
export function partOf(document: Document, key: string, data: unknown): Document {
  return { source: document.source, data, locate: (path, part) => document.locate([key, ...path], part) };
}
