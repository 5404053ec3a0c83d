import type { Structure } from './structure.js';

/**
 * How far Kirchhoff's current law is from holding, over all nodes the largest
 *
 *   |sum of s_b y_b (v_from - v_to + e_b)| / (E max |y_b|)       s_b = 1 at from, -1 at to
 *
 * over the present branches of the node, E being the largest volts in the network, |v| or |e|. It has no unit. A sound
 * solution is below 1e-12; above 1e-9 the volts must not be used. The measure is what E drives through the stiffest
 * branch, not the branch currents: where no current flows those are rounding all of them. |a + jb| is taken as |a| + |b|.
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
    let stiffest = 0;
    for (let at = incidentStart[i]!; at < incidentStart[i + 1]!; at += 1) {
      const b = incident[at]!;
      const re = yRe[b]!;
      const im = yIm[b]!;
      if (re === 0 && im === 0) continue;
      const f = from[b]!;
      const t = to[b]!;
      const sign = f === i ? 1 : -1;
      const dropRe = sign * ((f < 0 ? 0 : vRe[f]!) - (t < 0 ? 0 : vRe[t]!) + eRe[b]!);
      const dropIm = sign * ((f < 0 ? 0 : vIm[f]!) - (t < 0 ? 0 : vIm[t]!) + eIm[b]!);
      sumRe += re * dropRe - im * dropIm;
      sumIm += re * dropIm + im * dropRe;
      stiffest = Math.max(stiffest, Math.abs(re) + Math.abs(im));
    }
    if (stiffest > 0) worst = Math.max(worst, (Math.abs(sumRe) + Math.abs(sumIm)) / stiffest);
  }
  return worst === 0 ? 0 : worst / largestVolts(structure, yRe, yIm, eRe, eIm, vRe, vIm);
}

function largestVolts(
  structure: Structure,
  yRe: Float64Array,
  yIm: Float64Array,
  eRe: Float64Array,
  eIm: Float64Array,
  vRe: Float64Array,
  vIm: Float64Array,
): number {
  let largest = 0;
  for (let i = 0; i < structure.nodeCount; i += 1) {
    largest = Math.max(largest, Math.abs(vRe[i]!) + Math.abs(vIm[i]!));
  }
  for (let b = 0; b < structure.branchCount; b += 1) {
    if (yRe[b] !== 0 || yIm[b] !== 0) largest = Math.max(largest, Math.abs(eRe[b]!) + Math.abs(eIm[b]!));
  }
  return largest;
}
