/** A complex matrix by rows, real and imaginary parts in turn, and the right-hand side in the same way. */
export interface DenseSystem {
  readonly rows: readonly Float64Array[];
  readonly right: Float64Array;
}

export function denseSystem(size: number): DenseSystem {
  return {
    rows: Array.from({ length: size }, () => new Float64Array(2 * size)),
    right: new Float64Array(2 * size),
  };
}

/**
 * A x = b by Gaussian elimination with partial pivoting, as any textbook has it: slower than what it stands beside, and
 * nothing of it is shared. Changes the system. Throws where a pivot is 0.
 */
export function solveDense({ rows: given, right }: DenseSystem): Float64Array {
  const rows = [...given];
  const size = rows.length;
  for (let k = 0; k < size; k += 1) {
    const size2 = (row: Float64Array) => row[2 * k]! ** 2 + row[2 * k + 1]! ** 2;
    let best = k;
    for (let i = k + 1; i < size; i += 1) if (size2(rows[i]!) > size2(rows[best]!)) best = i;
    exchange(rows, right, k, best);
    const pivot = rows[k]!;
    const square = size2(pivot);
    if (square === 0) throw new Error(`no pivot in column ${k}`);
    const [pRe, pIm] = [pivot[2 * k]!, pivot[2 * k + 1]!];
    for (let i = k + 1; i < size; i += 1) {
      const row = rows[i]!;
      const [aRe, aIm] = [row[2 * k]!, row[2 * k + 1]!];
      if (aRe === 0 && aIm === 0) continue;
      const lRe = (aRe * pRe + aIm * pIm) / square;
      const lIm = (aIm * pRe - aRe * pIm) / square;
      for (let j = 2 * k; j < 2 * size; j += 2) less(row, j, lRe, lIm, pivot[j]!, pivot[j + 1]!);
      less(right, 2 * i, lRe, lIm, right[2 * k]!, right[2 * k + 1]!);
    }
  }
  const x = new Float64Array(2 * size);
  for (let i = size - 1; i >= 0; i -= 1) {
    const row = rows[i]!;
    let [re, im] = [right[2 * i]!, right[2 * i + 1]!];
    for (let j = 2 * i + 2; j < 2 * size; j += 2) {
      re -= row[j]! * x[j]! - row[j + 1]! * x[j + 1]!;
      im -= row[j]! * x[j + 1]! + row[j + 1]! * x[j]!;
    }
    const [dRe, dIm] = [row[2 * i]!, row[2 * i + 1]!];
    const square = dRe * dRe + dIm * dIm;
    x[2 * i] = (re * dRe + im * dIm) / square;
    x[2 * i + 1] = (im * dRe - re * dIm) / square;
  }
  return x;
}

function exchange(rows: Float64Array[], right: Float64Array, a: number, b: number): void {
  [rows[a], rows[b]] = [rows[b]!, rows[a]!];
  for (const part of [0, 1]) {
    const kept = right[2 * a + part]!;
    right[2 * a + part] = right[2 * b + part]!;
    right[2 * b + part] = kept;
  }
}

function less(row: Float64Array, at: number, lRe: number, lIm: number, re: number, im: number): void {
  row[at]! -= lRe * re - lIm * im;
  row[at + 1]! -= lRe * im + lIm * re;
}
