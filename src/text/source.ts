/** A named text as a person wrote it. Offsets into it count UTF-16 units, from 0. */
export interface Source {
  readonly name: string;
  readonly text: string;
}

/** Half-open range of offsets, [start, end), in one source. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A place as a person counts it: line and column both from 1. */
export interface Place {
  readonly line: number;
  readonly column: number;
}

/** Line and column of an offset; offsets past the end give the end. */
export function placeOf(source: Source, offset: number): Place {
  const end = Math.min(offset, source.text.length);
  let line = 1;
  let lineStart = 0;
  for (let at = nextBreak(source.text, 0); at !== -1 && at <= end; at = nextBreak(source.text, at)) {
    line += 1;
    lineStart = at;
  }
  return { line, column: end - lineStart + 1 };
}

/** The text of a line (from 1), without its line end; undefined past the last. */
export function lineAt(source: Source, line: number): string | undefined {
  return source.text.split(/\r\n|\r|\n/)[line - 1];
}

/** Offset just behind the next line end at or after `from` (LF, CRLF or lone CR); -1 when there is none. */
function nextBreak(text: string, from: number): number {
  for (let at = from; at < text.length; at += 1) {
    const unit = text.charCodeAt(at);
    if (unit === 10) return at + 1;
    if (unit === 13) return text.charCodeAt(at + 1) === 10 ? at + 2 : at + 1;
  }
  return -1;
}
