import { settingOf } from './state-setting.js';

/** What an `in` cell says, in the shape of a readings file's `in`. */
export type CsvState =
  | string
  | Readonly<Record<string, unknown>>
  | readonly (string | Readonly<Record<string, unknown>>)[];

export interface ParsedState {
  readonly state: CsvState;
  /** Why the cell cannot be taken as it stands; `key` is set where the same one is set twice in a row. */
  readonly trouble?: { readonly detail: string } | { readonly key: string };
}

/**
 * `speed-1;B1=in;unplugged=J3+J4`: named states and settings, merged left to right. An empty cell is the state at
 * rest, one name is that state, settings alone are one map, and a mixture is a list.
 */
export function parseCsvState(cell: string): ParsedState {
  const parts: (string | Record<string, unknown>)[] = [];
  for (const item of cell.split(';').map((piece) => piece.trim())) {
    if (item === '') continue;
    const equals = item.indexOf('=');
    if (equals === -1) {
      parts.push(item);
      continue;
    }
    const key = item.slice(0, equals).trim();
    if (key === '') return { state: cell, trouble: { detail: 'a setting needs a name before its =' } };
    const last = parts.at(-1);
    const map: Record<string, unknown> = typeof last === 'object' ? last : Object.create(null);
    if (Object.hasOwn(map, key)) return { state: cell, trouble: { key } };
    map[key] = settingOf(key, item.slice(equals + 1).trim());
    if (map !== last) parts.push(map);
  }
  const [first, ...others] = parts;
  return { state: first === undefined ? Object.create(null) : others.length === 0 ? first : parts };
}
