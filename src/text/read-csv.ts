import type { CsvError } from 'csv-parse/sync';
import { type CsvOptions, type CsvPlaces, cellStart, csvPlaces, placeInState } from './csv-places.js';
import { numberOrText, parseCsvState } from './csv-state.js';
import type { Document, Path } from './document.js';
import { limits } from './limits.js';
import type { TextProblem } from './problems.js';
import { short } from './quantity.js';
import type { Source, Span } from './source.js';
import { nearestName } from './suggest.js';

const columns = ['in', 'red', 'black', 'on', 'reads', 'input', 'note'] as const;
type Column = (typeof columns)[number];

/** Columns without which no reading is whole. */
const needed: readonly Column[] = ['in', 'reads'];

/** Bytes of one record: a quote that is never closed would otherwise take in the rest of the file. */
const recordBytes = 64 * 1024;

/** Lines that start with #, and empty ones, before the header. */
const remarks = /^(?:[ \t]*(?:#[^\r\n]*)?(?:\r\n|\n|\r))+/;

/** A table as it was cut, with the place of each cell on demand; row 0 is the header. */
interface Table {
  readonly source: Source;
  readonly records: readonly (readonly string[])[];
  readonly places: () => CsvPlaces;
}

export interface ReadCsv {
  /** Absent when any problem was found. */
  readonly document?: Document;
  readonly problems: readonly TextProblem[];
}

/**
 * Reads readings written as CSV (RFC 4180; with semicolons when the header has them and no comma) into the data of a
 * readings file: `{ loadside: 'readings/1', readings: [...] }`. Lines before the header may be empty or start with #.
 * The header names the columns, in any order. Rows without any text are skipped. An empty `reads` is null; any other
 * empty cell leaves its key out.
 */
export async function readCsv(source: Source): Promise<ReadCsv> {
  // Loaded here, so that a run without a CSV file never waits for it.
  const { parse: parser } = await import('csv-parse/sync');
  // Empty lines of the same length in place of the remarks, which moves no offset.
  const text = source.text.replace(remarks, (lead) => '\n'.repeat(lead.length));
  const long = longLine(source, text);
  if (long !== undefined) return { problems: [long] };
  const options = optionsFor(text);
  let records: string[][];
  try {
    records = parser(text, options);
  } catch (error) {
    return { problems: [cutProblem(source, text, error as CsvError, String(options.delimiter))] };
  }
  let places: CsvPlaces | undefined;
  const table = {
    source,
    records,
    places: () => {
      places ??= csvPlaces(parser, text, options);
      return places;
    },
  };
  const early = tableProblems(table);
  return early.length > 0 ? { problems: early } : readRows(table);
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

/** Where and why the text could not be cut into cells, in our own words: the parser's hold raw text. */
function cutProblem(source: Source, text: string, error: CsvError, delimiter: string): TextProblem {
  const start = cellStart(text, Number(error['bytes'] ?? 0), delimiter);
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

/** What keeps the rows from being read at all. */
function tableProblems(table: Table): TextProblem[] {
  const [header, ...rows] = table.records;
  if (header === undefined) {
    const at = { source: table.source, span: { start: 0, end: 0 } };
    return [{ code: 'file-empty', data: { expected: columns.join(',') }, at }];
  }
  if (rows.length > limits.csvRows) {
    const data = { what: 'rows', found: rows.length, limit: limits.csvRows, unit: 'rows' };
    return [{ code: 'limit-exceeded', data, at: atCell(table, rows.length, undefined) }];
  }
  return headerProblems(table, header);
}

function headerProblems(table: Table, header: readonly string[]): TextProblem[] {
  const problems: TextProblem[] = [];
  const seen = new Set<string>();
  const nearests = new Set<string>();
  for (const [index, found] of header.entries()) {
    const at = atCell(table, 0, index);
    if (!isColumn(found)) {
      const nearest = nearestName(found, columns);
      if (nearest !== undefined) nearests.add(nearest);
      problems.push({ code: 'csv-header', data: { found: short(found), allowed: columns, nearest }, at });
    } else if (seen.has(found)) {
      problems.push({ code: 'csv-syntax', data: { detail: `the column ${found} stands twice` }, at });
    }
    seen.add(found);
  }
  // A header without one known column is no header, and that is one mistake.
  if (!columns.some((column) => seen.has(column))) return problems.slice(0, 1);
  for (const key of needed) {
    if (seen.has(key) || nearests.has(key)) continue;
    problems.push({ code: 'key-missing', data: { key }, at: atCell(table, 0, undefined) });
  }
  return problems;
}

function readRows(table: Table): ReadCsv {
  const [header = [], ...rows] = table.records;
  const problems: TextProblem[] = [];
  const readings: unknown[] = [];
  /** The record each reading stands in, as rows without text are skipped. */
  const recordOf: number[] = [];
  for (const [index, row] of rows.entries()) {
    if (row.every((cell) => cell === '')) continue;
    const extra = row.slice(header.length).some((cell) => cell !== '');
    if (extra || row.length < header.length) {
      problems.push({
        code: 'csv-syntax',
        data: { detail: raggedDetail(row, header) },
        at: atCell(table, index + 1, undefined),
      });
      continue;
    }
    recordOf.push(index + 1);
    readings.push(readRow(table, index + 1, header as readonly Column[], problems));
  }
  if (problems.length > 0) return { problems };
  const data = Object.assign(Object.create(null), { loadside: 'readings/1', readings });
  const locate = (path: Path, part: 'key' | 'value') => locateIn(table, header, recordOf, path, part);
  return { document: { source: table.source, data, locate }, problems };
}

function raggedDetail(row: readonly string[], header: readonly string[]): string {
  const counts = `this row has ${row.length} cells where the header has ${header.length}`;
  return row.length > header.length ? `${counts}: a cell that holds the delimiter needs quotes` : counts;
}

function readRow(table: Table, record: number, header: readonly Column[], problems: TextProblem[]): unknown {
  const reading: Record<string, unknown> = Object.create(null);
  for (const [index, column] of header.entries()) {
    const cell = withoutGuard(table.records[record]?.[index] ?? '');
    if (column === 'in') {
      const { state, trouble } = parseCsvState(cell);
      reading['in'] = state;
      if (trouble !== undefined) problems.push(stateProblem(trouble, atCell(table, record, index)));
    } else if (column === 'reads') {
      reading['reads'] = cell === '' ? null : numberOrText(cell);
    } else if (cell !== '') {
      reading[column] = cell;
    }
  }
  return reading;
}

/** Spreadsheets run a cell that starts with = + - or @; those who write such text put an apostrophe before it. */
function withoutGuard(cell: string): string {
  return /^'[=+\-@]/.test(cell) ? cell.slice(1) : cell;
}

function stateProblem(trouble: { detail: string } | { key: string }, at: TextProblem['at']): TextProblem {
  return 'key' in trouble
    ? { code: 'yaml-duplicate-key', data: { key: short(trouble.key) }, at }
    : { code: 'csv-syntax', data: trouble, at };
}

function locateIn(
  table: Table,
  header: readonly string[],
  recordOf: readonly number[],
  path: Path,
  part: 'key' | 'value',
): Span {
  const [list, reading, key, ...deeper] = path;
  const record = list === 'readings' && typeof reading === 'number' ? recordOf[reading] : undefined;
  if (record === undefined) return atCell(table, 0, undefined).span;
  const index = header.indexOf(String(key));
  const { span } = atCell(table, record, index === -1 ? undefined : index);
  return key === 'in' && deeper.length > 0 ? placeInState(table.source.text, span, deeper, part) : span;
}

/** The place of a cell, or of the whole row where no column is given. */
function atCell({ source, places }: Table, record: number, column: number | undefined): TextProblem['at'] {
  const cells = places()[record] ?? [];
  const cell = column === undefined ? undefined : cells[column];
  const span = cell ?? { start: cells[0]?.start ?? 0, end: cells.at(-1)?.end ?? 0 };
  return { source, span };
}

function isColumn(text: string): text is Column {
  return (columns as readonly string[]).includes(text);
}
