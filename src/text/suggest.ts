/** Longer names are never compared: edit distance costs the product of both lengths. */
const longestCompared = 64;

/**
 * The known name a misspelt one most likely stands for: one that differs in case alone, else the first of those
 * fewest edits away (insert, drop, replace, swap neighbours) with at most a third of its letters edited.
 */
export function nearestName(name: string, names: Iterable<string>): string | undefined {
  if (name.length === 0 || name.length > longestCompared) return undefined;
  const wanted = name.toLowerCase();
  let best: string | undefined;
  let fewest = Number.POSITIVE_INFINITY;
  for (const candidate of names) {
    if (candidate.length > longestCompared) continue;
    const known = candidate.toLowerCase();
    const most = Math.floor(Math.max(known.length, wanted.length) / 3);
    if (Math.abs(known.length - wanted.length) > most) continue;
    const edits = editDistance(wanted, known);
    if (edits <= most && edits < fewest) {
      best = candidate;
      fewest = edits;
    }
  }
  return best;
}

/** Optimal string alignment distance: Levenshtein's, with a swap of neighbours as one edit. */
function editDistance(from: string, to: string): number {
  let beforePrevious: number[] = [];
  let previous = Array.from({ length: to.length + 1 }, (_, column) => column);
  for (let row = 1; row <= from.length; row += 1) {
    const current = [row];
    for (let column = 1; column <= to.length; column += 1) {
      const same = from[row - 1] === to[column - 1];
      let edits = Math.min(
        at(previous, column) + 1,
        at(current, column - 1) + 1,
        at(previous, column - 1) + (same ? 0 : 1),
      );
      const swapped =
        row > 1 && column > 1 && from[row - 1] === to[column - 2] && from[row - 2] === to[column - 1];
      if (swapped) edits = Math.min(edits, at(beforePrevious, column - 2) + 1);
      current.push(edits);
    }
    beforePrevious = previous;
    previous = current;
  }
  return at(previous, to.length);
}

function at(row: readonly number[], column: number): number {
  return row[column] ?? Number.POSITIVE_INFINITY;
}
