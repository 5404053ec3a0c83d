import type { Options, parse } from 'csv-parse/sync';
import type { Path } from './document.js';
import type { Span } from './source.js';

/** How one CSV text is cut into cells; the same options for its data and for its places. */
export type CsvOptions = Options;

/** The places of a CSV text's cells by record (the header is 0) and column. */
export type CsvPlaces = readonly (readonly Span[])[];

/** A raw cell ends where the parser says, in bytes of UTF-8; it starts behind the delimiter or line end before it. */
interface CellEnd {
  readonly record: number;
  readonly bytes: number;
}

/** Reads the text once more for the places alone, as nothing needs them while all is well. */
export function csvPlaces(parser: typeof parse, text: string, options: CsvOptions): CsvPlaces {
  const ends: CellEnd[] = [];
  parser(text, {
    ...options,
    cast: (value, context) => {
      ends.push({ record: context.records, bytes: context.bytes });
      return value;
    },
  });
  const offsets = offsetsOfBytes(
    text,
    ends.map((end) => end.bytes),
  );
  const records: Span[][] = [];
  let before = 0;
  for (const [index, { record }] of ends.entries()) {
    const cells = records[record] ?? [];
    records[record] = cells;
    const from = cells.length === 0 ? skipLineEnds(text, before) : before + 1;
    before = offsets[index] ?? text.length;
    cells.push(trimmed(text, from, before));
  }
  return records;
}

/** Where the cell begins whose predecessor ends at a byte. */
export function cellStart(text: string, bytes: number, delimiter: string): number {
  const [end = 0] = offsetsOfBytes(text, [bytes]);
  return text[end] === delimiter ? end + 1 : skipLineEnds(text, end);
}

/** The place within an `in` cell of the setting a path goes on to; the cell where it has none of that name. */
export function placeInState(text: string, cell: Span, path: Path, part: 'key' | 'value'): Span {
  const name = path.findLast((step) => typeof step === 'string');
  let start = cell.start;
  for (const item of text.slice(cell.start, cell.end).split(';')) {
    const equals = start + item.indexOf('=');
    const key = trimmed(text, start, equals);
    const written = text.slice(key.start, key.end);
    if (equals >= start && written.replace(/^"\s*/, '') === name) {
      const end = start + item.replace(/\s*"?$/, '').length;
      return part === 'key' ? { start: key.end - name.length, end: key.end } : trimmed(text, equals + 1, end);
    }
    start += item.length + 1;
  }
  return cell;
}

/** Rising byte offsets of a text's UTF-8 form as offsets into the text, in one pass. */
function offsetsOfBytes(text: string, rising: readonly number[]): number[] {
  const offsets: number[] = [];
  let at = 0;
  let bytes = 0;
  for (const wanted of rising) {
    while (bytes < wanted && at < text.length) {
      const point = text.codePointAt(at) ?? 0;
      at += point > 0xffff ? 2 : 1;
      bytes += point < 0x80 ? 1 : point < 0x800 ? 2 : point < 0x10000 ? 3 : 4;
    }
    offsets.push(at);
  }
  return offsets;
}

function skipLineEnds(text: string, from: number): number {
  let at = from;
  while (text[at] === '\n' || text[at] === '\r') at += 1;
  return at;
}

function trimmed(text: string, from: number, to: number): Span {
  const raw = text.slice(from, to);
  const start = from + (raw.length - raw.trimStart().length);
  return { start: Math.min(start, to), end: Math.max(Math.min(start, to), from + raw.trimEnd().length) };
}
