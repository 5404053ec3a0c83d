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

/** Gaussian elimination with row exchanges. Gives |det A|; where that is 0 the unknowns are not solved for. */
export function solveSmall(system: SmallSystem): number {
  const { size, aRe, aIm, xRe, xIm } = system;
  let determinant = 1;
  for (let k = 0; k < size; k += 1) {
    exchangeRows(system, k, largestBelow(system, k));
    const pivot = k * mostUnknowns + k;
    const square = aRe[pivot]! ** 2 + aIm[pivot]! ** 2;
    determinant *= Math.sqrt(square);
    if (determinant === 0) return 0;
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
  substituteBack(system);
  return determinant;
}

function largestBelow(system: SmallSystem, k: number): number {
  const { size, aRe, aIm } = system;
  let best = k;
  let largest = -1;
  for (let i = k; i < size; i += 1) {
    const magnitude = Math.abs(aRe[i * mostUnknowns + k]!) + Math.abs(aIm[i * mostUnknowns + k]!);
    if (magnitude <= largest) continue;
    best = i;
    largest = magnitude;
  }
  return best;
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
}
