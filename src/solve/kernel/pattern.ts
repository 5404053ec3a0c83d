import type { Graph } from './order.js';

/**
 * Which admittances an elimination in a given order can meet.
 *
 *   rows(k) = later neighbours of k, and the rows of each column whose first row is k, less k itself
 *
 * parent(k) is the first row of column k. Every row of k lies on the chain parent(k), parent(parent(k)), ...
 */
export interface Pattern {
  /** First slot of each position's column; length n + 1, and columnStart[0] = n. */
  readonly columnStart: Int32Array;
  /** Later position of each slot, ascending in a column; slot k < n, that to the reference, has k itself. */
  readonly rows: Int32Array;
  /** First row of a column, -1 where the column is empty. */
  readonly parent: Int32Array;
}

/** Columns up to this long are sorted by insertion: most have one or two rows. */
const shortColumn = 24;

export function fillPattern(graph: Graph, order: Int32Array, position: Int32Array): Pattern {
  const n = order.length;
  const columnStart = new Int32Array(n + 1);
  const parent = new Int32Array(n).fill(-1);
  const firstChild = new Int32Array(n).fill(-1);
  const sibling = new Int32Array(n).fill(-1);
  const seenBy = new Int32Array(n).fill(-1);
  let rows: Int32Array = new Int32Array(2 * n + graph.neighbours.length);
  for (let k = 0; k < n; k += 1) rows[k] = k;

  let end = n;
  for (let k = 0; k < n; k += 1) {
    columnStart[k] = end;
    rows = withRoom(rows, end + n - k);
    const node = order[k]!;
    for (let at = graph.start[node]!; at < graph.start[node + 1]!; at += 1) {
      const i = position[graph.neighbours[at]!]!;
      if (i <= k || seenBy[i] === k) continue;
      seenBy[i] = k;
      rows[end++] = i;
    }
    for (let child = firstChild[k]!; child !== -1; child = sibling[child]!) {
      for (let at = columnStart[child]! + 1; at < columnStart[child + 1]!; at += 1) {
        const i = rows[at]!;
        if (seenBy[i] === k) continue;
        seenBy[i] = k;
        rows[end++] = i;
      }
    }
    columnStart[k + 1] = end;
    sortRange(rows, columnStart[k]!, end);
    if (end === columnStart[k]) continue;
    const first = rows[columnStart[k]!]!;
    parent[k] = first;
    sibling[k] = firstChild[first]!;
    firstChild[first] = k;
  }
  return { columnStart, rows: rows.slice(0, end), parent };
}

/** Pairs of rows of column k: as many products does its elimination add to later columns. */
export function pairCount(pattern: Pattern, k: number): number {
  const count = pattern.columnStart[k + 1]! - pattern.columnStart[k]!;
  return (count * (count - 1)) / 2;
}

/**
 * Slots of all pairs i < j of rows of column k, from targets[at] on, in the order of the elimination:
 * for each i in turn every later j. Both lists ascend and rows(k) beyond i is part of rows(i), so one walk finds them.
 */
export function pairTargets(pattern: Pattern, k: number, targets: Int32Array, at: number): void {
  const { columnStart, rows } = pattern;
  const end = columnStart[k + 1]!;
  let next = at;
  for (let p = columnStart[k]!; p < end; p += 1) {
    let slot = columnStart[rows[p]!]!;
    for (let q = p + 1; q < end; q += 1) {
      const j = rows[q]!;
      while (rows[slot]! < j) slot += 1;
      targets[next++] = slot++;
    }
  }
}

function withRoom(rows: Int32Array, length: number): Int32Array {
  if (length <= rows.length) return rows;
  const larger = new Int32Array(Math.max(2 * rows.length, length));
  larger.set(rows);
  return larger;
}

function sortRange(rows: Int32Array, start: number, end: number): void {
  if (end - start > shortColumn) {
    rows.subarray(start, end).sort();
    return;
  }
  for (let at = start + 1; at < end; at += 1) {
    const row = rows[at]!;
    let to = at;
    for (; to > start && rows[to - 1]! > row; to -= 1) rows[to] = rows[to - 1]!;
    rows[to] = row;
  }
}
