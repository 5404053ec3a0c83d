import { placeOf, type Spot } from '../text/text.js';

/** A range as machines are told it: lines and columns from 1, in UTF-16 units, the end column just behind it. */
export interface SpanFields {
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

export function spanFields({ source, span }: Spot): SpanFields {
  const start = placeOf(source, span.start);
  const end = placeOf(source, Math.max(span.start, span.end));
  return { line: start.line, column: start.column, endLine: end.line, endColumn: end.column };
}
