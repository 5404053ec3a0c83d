import type { Structure } from './structure.js';

/**
 * How far Kirchhoff's current law is from holding: over all nodes, the largest
 *
 *   |sum of s_b y_b (v_from - v_to + e_b)| / largest |y_b| max(|v_from|, |v_to|, |e_b|)      s_b = 1 at from, -1 at to
 *
 * over the branches of the node, with |a + jb| taken as |a| + |b|. It has no unit. A sound solution is below 1e-12;
 * above 1e-9 the volts must not be used. The terms are those that make up the sum, not the branch currents: at a dead
 * end these are all rounding.
 */
export function residual(
  structure: Structure,
  yRe: Float64Array,
  yIm: Float64Array,
  eRe: Float64Array,
  eIm: Float64Array,
  vRe: Float64Array,
  vIm: Float64Array,
): number {
  const { from, to, incident, incidentStart, nodeCount } = structure;
  let worst = 0;
  for (let i = 0; i < nodeCount; i += 1) {
    let sumRe = 0;
    let sumIm = 0;
    let largest = 0;
    for (let at = incidentStart[i]!; at < incidentStart[i + 1]!; at += 1) {
      const b = incident[at]!;
      const re = yRe[b]!;
      const im = yIm[b]!;
      if (re === 0 && im === 0) continue;
      const f = from[b]!;
      const t = to[b]!;
      const fRe = f < 0 ? 0 : vRe[f]!;
      const fIm = f < 0 ? 0 : vIm[f]!;
      const tRe = t < 0 ? 0 : vRe[t]!;
      const tIm = t < 0 ? 0 : vIm[t]!;
      const sign = f === i ? 1 : -1;
      const dropRe = sign * (fRe - tRe + eRe[b]!);
      const dropIm = sign * (fIm - tIm + eIm[b]!);
      sumRe += re * dropRe - im * dropIm;
      sumIm += re * dropIm + im * dropRe;
      const volts = Math.max(
        Math.abs(fRe) + Math.abs(fIm),
        Math.abs(tRe) + Math.abs(tIm),
        Math.abs(eRe[b]!) + Math.abs(eIm[b]!),
      );
      largest = Math.max(largest, (Math.abs(re) + Math.abs(im)) * volts);
    }
    if (largest !== 0) worst = Math.max(worst, (Math.abs(sumRe) + Math.abs(sumIm)) / largest);
  }
  return worst;
}
