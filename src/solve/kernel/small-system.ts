/** Most unknowns of a small system. */
export const mostUnknowns = 6;

/** A complex system A x = b of `size` unknowns; entry (i, j) at i * mostUnknowns + j. `solveSmall` overwrites all. */
export interface SmallSystem {
  size: number;
  readonly aRe: Float64Array;
  readonly aIm: Float64Array;
  /** Right-hand side before, unknowns after. */
  readonly xRe: Float64Array;
  readonly xIm: Float64Array;
}

export function newSmallSystem(): SmallSystem {
  return {
    size: 0,
    aRe: new Float64Array(mostUnknowns * mostUnknowns),
    aIm: new Float64Array(mostUnknowns * mostUnknowns),
    xRe: new Float64Array(mostUnknowns),
    xIm: new Float64Array(mostUnknowns),
  };
}

/**
 * Solves a system of the kind A = 1 + D K, with D diagonal and K symmetric, as changes of a few branches give: a
 * contact's row is amps where a leak's is picoamps. So rows and columns are scaled before Gaussian elimination with
 * row exchanges, with t that makes |a_ij| and |a_ji| alike,
 *
 *   a_ij -> (t_j / t_i) a_ij / (n_i n_j),   n_i^2 = max(1, |a_ii - 1|)
 *
 * to entries of at most about 1. Gives the least pivot of what is then solved: the smaller it is the fewer digits of the
 * unknowns are good, whatever the units. Where it is 0 there are none.
 */
export function solveSmall(system: SmallSystem): number {
  balance(system);
  normalise(system);
  const leastPivot = eliminateRows(system);
  if (leastPivot > 0) substituteBack(system);
  return leastPivot;
}

/** Columns were multiplied by these, so unknowns are to be. */
const scales = new Float64Array(mostUnknowns);
const sweeps = 4;
/** Rows are exchanged only where the entry at hand is below this part of the largest. */
const keepAbove = 0.1;

/** Osborne's balancing: each row and column in turn, so that their sums off the diagonal come to be alike. */
function balance(system: SmallSystem): void {
  const { size, aRe, aIm } = system;
  scales.fill(1);
  if (size === 1) return;
  for (let turn = 0; turn < sweeps * size; turn += 1) {
    const i = turn % size;
    let row = 0;
    let column = 0;
    for (let j = 0; j < size; j += 1) {
      if (j === i) continue;
      row += Math.abs(aRe[i * mostUnknowns + j]!) + Math.abs(aIm[i * mostUnknowns + j]!);
      column += Math.abs(aRe[j * mostUnknowns + i]!) + Math.abs(aIm[j * mostUnknowns + i]!);
    }
    if (row > 0 && column > 0) scaleBoth(system, i, Math.sqrt(row / column), Math.sqrt(column / row));
    // An unknown that feels none of the others is only to be felt by them no more than they feel themselves.
    else if (column > 1) scaleBoth(system, i, 1 / column, column);
  }
}

function normalise(system: SmallSystem): void {
  for (let i = 0; i < system.size; i += 1) {
    const at = i * mostUnknowns + i;
    const felt = Math.hypot(system.aRe[at]! - 1, system.aIm[at]!);
    if (felt > 1) scaleBoth(system, i, 1 / Math.sqrt(felt), 1 / Math.sqrt(felt));
  }
}

/** Multiplies column i by one factor, and row i with its right-hand side by another. */
function scaleBoth(system: SmallSystem, i: number, column: number, row: number): void {
  const { size, aRe, aIm, xRe, xIm } = system;
  for (let j = 0; j < size; j += 1) {
    aRe[j * mostUnknowns + i]! *= column;
    aIm[j * mostUnknowns + i]! *= column;
  }
  for (let j = 0; j < size; j += 1) {
    aRe[i * mostUnknowns + j]! *= row;
    aIm[i * mostUnknowns + j]! *= row;
  }
  xRe[i]! *= row;
  xIm[i]! *= row;
  scales[i]! *= column;
}

/** Gives the least |pivot|; stops where it is 0. */
function eliminateRows(system: SmallSystem): number {
  const { size, aRe, aIm, xRe, xIm } = system;
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k < size; k += 1) {
    exchangeRows(system, k, pivotRow(system, k));
    const pivot = k * mostUnknowns + k;
    const square = aRe[pivot]! ** 2 + aIm[pivot]! ** 2;
    least = Math.min(least, Math.sqrt(square));
    if (least === 0) return 0;
    for (let i = k + 1; i < size; i += 1) {
      const at = i * mostUnknowns;
      const lRe = (aRe[at + k]! * aRe[pivot]! + aIm[at + k]! * aIm[pivot]!) / square;
      const lIm = (aIm[at + k]! * aRe[pivot]! - aRe[at + k]! * aIm[pivot]!) / square;
      for (let j = k + 1; j < size; j += 1) {
        const above = k * mostUnknowns + j;
        aRe[at + j]! -= lRe * aRe[above]! - lIm * aIm[above]!;
        aIm[at + j]! -= lRe * aIm[above]! + lIm * aRe[above]!;
      }
      xRe[i]! -= lRe * xRe[k]! - lIm * xIm[k]!;
      xIm[i]! -= lRe * xIm[k]! + lIm * xRe[k]!;
    }
  }
  return least;
}

/** The row to take next: k itself unless its entry is far below the largest, as that entry is its own best divisor. */
function pivotRow(system: SmallSystem, k: number): number {
  const { size, aRe, aIm } = system;
  const magnitude = (i: number): number =>
    Math.abs(aRe[i * mostUnknowns + k]!) + Math.abs(aIm[i * mostUnknowns + k]!);
  let best = k;
  for (let i = k + 1; i < size; i += 1) if (magnitude(i) > magnitude(best)) best = i;
  return magnitude(k) >= keepAbove * magnitude(best) ? k : best;
}

function exchangeRows(system: SmallSystem, k: number, i: number): void {
  if (i === k) return;
  const { size, aRe, aIm, xRe, xIm } = system;
  for (let j = k; j < size; j += 1) {
    exchange(aRe, k * mostUnknowns + j, i * mostUnknowns + j);
    exchange(aIm, k * mostUnknowns + j, i * mostUnknowns + j);
  }
  exchange(xRe, k, i);
  exchange(xIm, k, i);
}

function exchange(values: Float64Array, a: number, b: number): void {
  const kept = values[a]!;
  values[a] = values[b]!;
  values[b] = kept;
}

function substituteBack(system: SmallSystem): void {
  const { size, aRe, aIm, xRe, xIm } = system;
  for (let k = size - 1; k >= 0; k -= 1) {
    let re = xRe[k]!;
    let im = xIm[k]!;
    for (let j = k + 1; j < size; j += 1) {
      const at = k * mostUnknowns + j;
      re -= aRe[at]! * xRe[j]! - aIm[at]! * xIm[j]!;
      im -= aRe[at]! * xIm[j]! + aIm[at]! * xRe[j]!;
    }
    const pivot = k * mostUnknowns + k;
    const square = aRe[pivot]! ** 2 + aIm[pivot]! ** 2;
    xRe[k] = (re * aRe[pivot]! + im * aIm[pivot]!) / square;
    xIm[k] = (im * aRe[pivot]! - re * aIm[pivot]!) / square;
  }
  for (let k = 0; k < size; k += 1) {
    xRe[k]! *= scales[k]!;
    xIm[k]! *= scales[k]!;
  }
}
