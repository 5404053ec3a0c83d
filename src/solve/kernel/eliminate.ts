import { pairTargets } from './pattern.js';
import type { Structure } from './structure.js';

/**
 * The arrays of one factorisation. Complex numbers lie in pairs: entry s has its real part at 2 s and its imaginary
 * part behind it. Before: admittances (siemens) by slot. After:
 *
 *   share[k]   g_k / d_k    part of a current put in at position k that leaves to the reference
 *   share[p]   w_ki / d_k   part of it that goes on to row i of slot p
 *   inverse[k] 1 / d_k      ohms; 0 where the node is pinned
 *
 * The shares of a column add up to 1, or are all 0 where the node is pinned.
 */
export interface Elimination {
  readonly structure: Structure;
  readonly share: Float64Array;
  readonly inverse: Float64Array;
  /** Target slots: those the structure keeps, or room for those of one column. */
  readonly targets: Int32Array;
}

/**
 * Star-mesh elimination in complex admittances, a symmetric L D L^T without pivoting:
 *
 *   d_k = g_k + sum of w_ki        the pivot, summed anew and never subtracted
 *   g_i  += (w_ki / d_k) g_k
 *   w_ij += (w_ki / d_k) w_kj
 *
 * With only resistance and one kind of reactance every admittance lies in one quarter of the plane, nothing cancels,
 * and the factors are as good as the data whatever their spread: see George, Ikramov and Kucherov, SIAM J. Matrix
 * Anal. Appl. 23 (2002), on matrices of that kind (growth factor below 3; from memory). Absent admittances stay
 * exactly 0, so the last node of an island that ground does not reach has d = 0 exactly. It is pinned at 0 V.
 */
export function eliminate(into: Elimination): void {
  const { structure, share, inverse, targets } = into;
  const { nodeCount, columnStart, rows, targetStart } = structure;
  const findTargets = structure.targets === undefined;
  let end = columnStart[0]!;
  for (let k = 0; k < nodeCount; k += 1) {
    const start = end;
    end = columnStart[k + 1]!;
    const gRe = share[2 * k]!;
    const gIm = share[2 * k + 1]!;
    let dRe = gRe;
    let dIm = gIm;
    for (let p = start; p < end; p += 1) {
      dRe += share[2 * p]!;
      dIm += share[2 * p + 1]!;
    }
    const square = dRe * dRe + dIm * dIm;
    if (square === 0) {
      inverse[2 * k] = 0;
      inverse[2 * k + 1] = 0;
      continue;
    }
    const invRe = dRe / square;
    const invIm = -dIm / square;
    inverse[2 * k] = invRe;
    inverse[2 * k + 1] = invIm;
    share[2 * k] = gRe * invRe - gIm * invIm;
    share[2 * k + 1] = gRe * invIm + gIm * invRe;
    if (findTargets) pairTargets(structure, k, targets, 0);
    let t = targetStart[k]!;
    for (let p = start; p < end; p += 1) {
      const wRe = share[2 * p]!;
      const wIm = share[2 * p + 1]!;
      const lRe = wRe * invRe - wIm * invIm;
      const lIm = wRe * invIm + wIm * invRe;
      const i = 2 * rows[p]!;
      share[i]! += lRe * gRe - lIm * gIm;
      share[i + 1]! += lRe * gIm + lIm * gRe;
      for (let q = p + 1; q < end; q += 1) {
        const to = 2 * targets[t++]!;
        const vRe = share[2 * q]!;
        const vIm = share[2 * q + 1]!;
        share[to]! += lRe * vRe - lIm * vIm;
        share[to + 1]! += lRe * vIm + lIm * vRe;
      }
      share[2 * p] = lRe;
      share[2 * p + 1] = lIm;
    }
  }
}
