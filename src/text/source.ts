/** A named text as a person wrote it. Offsets into it count UTF-16 units, from 0. */
export interface Source {
  readonly name: string;
  readonly text: string;
  /** The number of its first line, where it was cut out of something longer; else 1. */
  readonly firstLine?: number;
}

/** Half-open range of offsets, [start, end), in one source. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** Where a thing stands: a range of one source. */
export interface Spot {
  readonly source: Source;
  readonly span: Span;
  /** Of a source that another one includes: where that is said, nearest first. */
  readonly includedAt?: readonly Spot[];
}

/** A place as a person counts it: line and column both from 1. */
export interface Place {
  readonly line: number;
  readonly column: number;
}

/** Line and column of an offset; offsets past the end give the end. A line ends with LF, CRLF or a lone CR. */
export function placeOf(source: Source, offset: number): Place {
  const end = Math.min(offset, source.text.length);
  const before = source.text.slice(0, end);
  // A CR whose LF lies behind the offset has not ended its line yet.
  const counted = before.endsWith('\r') && source.text.charAt(end) === '\n' ? before.slice(0, -1) : before;
  let line = source.firstLine ?? 1;
  let lineStart = 0;
  for (const match of counted.matchAll(/\r\n?|\n/g)) {
    line += 1;
    lineStart = match.index + match[0].length;
  }
  return { line, column: end - lineStart + 1 };
}
