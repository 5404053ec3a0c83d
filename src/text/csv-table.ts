import { parse } from 'csv-parse/sync';
import { type CsvOptions, type CsvPlaces, cellStart, csvPlaces } from './csv-places.js';
import { limits } from './limits.js';
import type { TextProblem } from './problems.js';
import type { Source } from './source.js';

/** Bytes of one record: a quote that is never closed would otherwise take in the rest of the file. */
const recordBytes = 64 * 1024;

/** Lines that start with #, and empty ones, before the header. */
const remarks = /^(?:[ \t]*(?:#[^\r\n]*)?(?:\r\n|\n|\r))+/;

/** A table as it was cut, with the place of each cell on demand; record 0 is the header. */
export interface CsvTable {
  readonly source: Source;
  readonly records: readonly (readonly string[])[];
  readonly places: () => CsvPlaces;
}

/** Cuts a CSV text (RFC 4180, or with semicolons) into cells, or says why it cannot be cut. */
export function cutTable(source: Source): CsvTable | TextProblem {
  // Empty lines of the same length in place of the remarks, which moves no offset.
  const text = source.text.replace(remarks, (lead) => '\n'.repeat(lead.length));
  const long = longLine(source, text);
  if (long !== undefined) return long;
  const options = optionsFor(text);
  let records: string[][];
  try {
    records = parse(text, options);
  } catch (error) {
    if (!isCsvError(error)) throw error;
    return cutProblem(source, text, error, String(options.delimiter));
  }
  let found: CsvPlaces | undefined;
  const places = () => {
    found ??= csvPlaces(parse, text, options);
    return found;
  };
  return { source, records, places };
}

function optionsFor(text: string): CsvOptions {
  const header = /\S.*/.exec(text)?.[0] ?? '';
  return {
    delimiter: header.includes(';') && !header.includes(',') ? ';' : ',',
    record_delimiter: ['\r\n', '\n', '\r'],
    relax_column_count: true,
    skip_empty_lines: true,
    trim: true,
    max_record_size: recordBytes,
    to: limits.csvRows + 2,
  };
}

/** What the parser says of a text, by its fields: in the program its class is of a bundle not loaded before it is needed. */
interface CsvError extends Error {
  readonly code: string;
  /** Where it stopped. */
  readonly bytes?: number;
}

function isCsvError(error: unknown): error is CsvError {
  // One of its codes lacks the prefix of the others.
  return (
    error instanceof Error && 'code' in error && /^(?:CSV_|INVALID_OPENING_QUOTE$)/.test(String(error.code))
  );
}

/** Where and why the text could not be cut into cells, in our own words: the parser's hold raw text. */
function cutProblem(source: Source, text: string, error: CsvError, delimiter: string): TextProblem {
  const start = cellStart(text, error.bytes ?? 0, delimiter);
  const at = { source, span: { start, end: Math.min(start + 1, source.text.length) } };
  if (source.text[start] === '"' && error.code !== 'CSV_INVALID_CLOSING_QUOTE') {
    return { code: 'csv-syntax', data: { detail: 'this " has no closing "' }, at };
  }
  if (error.code === 'CSV_MAX_RECORD_SIZE') return rowTooLong(recordBytes + 1, at);
  const detail = 'a " inside a cell needs the whole cell in quotes, and is written twice there';
  return { code: 'csv-syntax', data: { detail }, at };
}

/** A line longer than a record may be, which the parser would not see when it is all delimiters. */
function longLine(source: Source, text: string): TextProblem | undefined {
  for (const { 0: line, index: start } of text.matchAll(/[^\r\n]+/g)) {
    if (line.length <= recordBytes) continue;
    return rowTooLong(line.length, { source, span: { start, end: start + 1 } });
  }
  return undefined;
}

function rowTooLong(found: number, at: TextProblem['at']): TextProblem {
  const data = { what: 'row length', found, limit: recordBytes, unit: 'bytes' };
  return { code: 'limit-exceeded', data, at };
}

/** The place of a cell, or of the whole row where no column is given. */
export function atCell(
  { source, places }: CsvTable,
  record: number,
  column: number | undefined,
): TextProblem['at'] {
  const cells = places()[record] ?? [];
  const cell = column === undefined ? undefined : cells[column];
  const span = cell ?? { start: cells[0]?.start ?? 0, end: cells.at(-1)?.end ?? 0 };
  return { source, span };
}
