import type { Document, Path } from './document.js';
import type { Span } from './source.js';
import type { ShapeError } from './validators.generated.js';

/** One error of the validator, with the place it is about. */
export interface PlacedError {
  readonly error: ShapeError;
  /** To the value the error is about; for an unknown, missing or badly formed key, to that key. */
  readonly path: Path;
  readonly part: 'key' | 'value';
  readonly span: Span;
}

/** The validator's errors with their places, the first one at each key and at each value: a text both too long and
 * of the wrong form is one mistake. */
export function placeErrors(document: Document, errors: readonly ShapeError[]): PlacedError[] {
  const byPlace = new Map<string, PlacedError>();
  for (const error of errors) {
    const one = place(document, error);
    const key = JSON.stringify([one.part, ...one.path]);
    if (!byPlace.has(key)) byPlace.set(key, one);
  }
  return [...byPlace.values()];
}

function place(document: Document, error: ShapeError): PlacedError {
  const path = pathOf(document.data, error.instancePath);
  const key = error.params['additionalProperty'] ?? error.params['propertyName'];
  if (typeof key === 'string') return located(document, error, [...path, key], 'key');
  const missing = error.params['missingProperty'];
  if (typeof missing === 'string') return located(document, error, [...path, missing], 'key');
  return located(document, error, path, 'value');
}

function located(document: Document, error: ShapeError, path: Path, part: 'key' | 'value'): PlacedError {
  return { error, path, part, span: document.locate(path, part).span };
}

/** A JSON pointer (RFC 6901) as a path; a step into a list is a number. */
function pathOf(data: unknown, pointer: string): Path {
  const path: (string | number)[] = [];
  let value = data;
  for (const escaped of pointer.split('/').slice(1)) {
    const step = escaped.replaceAll('~1', '/').replaceAll('~0', '~');
    path.push(Array.isArray(value) ? Number(step) : step);
    value = childOf(value, step);
  }
  return path;
}

/** The value at a path of plain data; undefined where there is none. */
export function valueAt(data: unknown, path: Path): unknown {
  return path.reduce<unknown>((value, step) => childOf(value, String(step)), data);
}

function childOf(value: unknown, step: string): unknown {
  if (value === null || typeof value !== 'object' || !Object.hasOwn(value, step)) return undefined;
  return (value as Record<string, unknown>)[step];
}
