import { placeInState } from './csv-places.js';
import { parseCsvState } from './csv-state.js';
import { atCell, type CsvTable, cutTable } from './csv-table.js';
import type { Document, Path } from './document.js';
import { limits } from './limits.js';
import type { TextProblem } from './problems.js';
import { short } from './quantity.js';
import type { Source, Span } from './source.js';
import { numberOrText } from './state-setting.js';
import { nearestName } from './suggest.js';

const columns = ['in', 'red', 'black', 'on', 'reads', 'input', 'note'] as const;
type Column = (typeof columns)[number];

/** Columns without which no reading is whole. */
const needed: readonly Column[] = ['in', 'reads'];

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
export function readCsv(source: Source): ReadCsv {
  const table = cutTable(source);
  if ('code' in table) return { problems: [table] };
  const early = tableProblems(table);
  return early.length > 0 ? { problems: early } : readRows(table);
}

/** What keeps the rows from being read at all. */
function tableProblems(table: CsvTable): TextProblem[] {
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

function headerProblems(table: CsvTable, header: readonly string[]): TextProblem[] {
  const problems: TextProblem[] = [];
  const seen = new Set<string>();
  const nearests = new Set<string>();
  for (const [index, found] of header.entries()) {
    if (!isColumn(found)) {
      const nearest = nearestName(found, columns);
      if (nearest !== undefined) nearests.add(nearest);
      problems.push({
        code: 'csv-header',
        data: { found: short(found), allowed: columns, nearest },
        at: atCell(table, 0, index),
      });
    } else if (seen.has(found)) {
      problems.push({
        code: 'csv-syntax',
        data: { detail: `the column ${found} stands twice` },
        at: atCell(table, 0, index),
      });
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

function readRows(table: CsvTable): ReadCsv {
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
  const { source } = table;
  const locate: Document['locate'] = (path, part) => ({
    source,
    span: locateIn(table, header, recordOf, path, part),
  });
  return { document: { source, data, locate }, problems };
}

function raggedDetail(row: readonly string[], header: readonly string[]): string {
  const counts = `this row has ${row.length} cells where the header has ${header.length}`;
  return row.length > header.length ? `${counts}: a cell that holds the delimiter needs quotes` : counts;
}

function readRow(
  table: CsvTable,
  record: number,
  header: readonly Column[],
  problems: TextProblem[],
): unknown {
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
  table: CsvTable,
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

function isColumn(text: string): text is Column {
  return (columns as readonly string[]).includes(text);
}
