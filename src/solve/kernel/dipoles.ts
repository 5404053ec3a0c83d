import type { Factor } from './factor.js';
import { pairTargets } from './pattern.js';

/**
 * Currents that go into one node and out of another, such as the y e of an EMF. Adding them up for each node would
 * lose them: the node sums of a stiff source are thousands of amps that cancel but for the microamps of its load.
 * So a dipole stays on its edge (slot) as long as it can. J_ki goes into k and out of i, J_k into k and out of the
 * reference. Eliminating k moves them on, as the shares of k add up to 1:
 *
 *   x_k   = (J_k + sum of J_ki) / d_k
 *   J_i  += share_ki J_k - share_k J_ki
 *   J_ij += share_ki J_kj - share_kj J_ki         i < j
 *
 * From sources of e volts, |J_ij| never exceeds w_ij times the sum of all |e| in a resistive network: its rounding is
 * that of so many volts, whatever w_ij.
 */
export function pushDipoles(factor: Factor, k: number): void {
  const { structure, share, inverse, targets, dipole, x } = factor;
  const { columnStart, rows } = structure;
  const start = columnStart[k]!;
  const end = columnStart[k + 1]!;
  const gRe = share[2 * k]!;
  const gIm = share[2 * k + 1]!;
  const jRe = dipole[2 * k]!;
  const jIm = dipole[2 * k + 1]!;
  dipole[2 * k] = 0;
  dipole[2 * k + 1] = 0;
  let sumRe = jRe;
  let sumIm = jIm;
  if (structure.targets === undefined) pairTargets(structure, k, targets, 0);
  let t = structure.targetStart[k]!;
  for (let p = start; p < end; p += 1) {
    const lRe = share[2 * p]!;
    const lIm = share[2 * p + 1]!;
    const pRe = dipole[2 * p]!;
    const pIm = dipole[2 * p + 1]!;
    dipole[2 * p] = 0;
    dipole[2 * p + 1] = 0;
    sumRe += pRe;
    sumIm += pIm;
    const i = 2 * rows[p]!;
    dipole[i]! += lRe * jRe - lIm * jIm - (gRe * pRe - gIm * pIm);
    dipole[i + 1]! += lRe * jIm + lIm * jRe - (gRe * pIm + gIm * pRe);
    for (let q = p + 1; q < end; q += 1) {
      const to = 2 * targets[t++]!;
      const qRe = dipole[2 * q]!;
      const qIm = dipole[2 * q + 1]!;
      const mRe = share[2 * q]!;
      const mIm = share[2 * q + 1]!;
      dipole[to]! += lRe * qRe - lIm * qIm - (mRe * pRe - mIm * pIm);
      dipole[to + 1]! += lRe * qIm + lIm * qRe - (mRe * pIm + mIm * pRe);
    }
  }
  const invRe = inverse[2 * k]!;
  const invIm = inverse[2 * k + 1]!;
  x[2 * k] = sumRe * invRe - sumIm * invIm;
  x[2 * k + 1] = sumRe * invIm + sumIm * invRe;
}
