import { pushDipoles } from './dipoles.js';
import { type Factor, spreadBack } from './factor.js';
import { isDetermined, refine } from './refine.js';

/**
 * Volts of each node (length n) under the EMFs eRe[b] + j eIm[b] (volts), with I_b = y_b (v_from - v_to + e_b) from
 * `from` to `to`. `y` must be what the factor was loaded with. Volts of an island that ground does not reach are
 * against a node of its own.
 *
 * False where a resonance leaves no settled answer: the volts are then not to be used.
 */
export function solveSources(
  factor: Factor,
  yRe: Float64Array,
  yIm: Float64Array,
  eRe: Float64Array,
  eIm: Float64Array,
  vRe: Float64Array,
  vIm: Float64Array,
): boolean {
  plantSources(factor, yRe, yIm, eRe, eIm);
  sweep(factor, vRe, vIm);
  if (!factor.delicate) return true;
  return isDetermined(factor, yRe, yIm) && refine(factor, yRe, yIm, eRe, eIm, vRe, vIm);
}

/** Dipole of branch b: current y e out of `from` and into `to`, so -y e into the earlier position when that is `from`. */
function plantSources(
  factor: Factor,
  yRe: Float64Array,
  yIm: Float64Array,
  eRe: Float64Array,
  eIm: Float64Array,
): void {
  const { structure, dipole } = factor;
  const { slot, sign, branchCount } = structure;
  for (let b = 0; b < branchCount; b += 1) {
    const re = eRe[b]!;
    const im = eIm[b]!;
    if ((re === 0 && im === 0) || (yRe[b] === 0 && yIm[b] === 0)) continue;
    const s = slot[b]!;
    if (s < 0) continue;
    dipole[2 * s]! -= sign[b]! * (yRe[b]! * re - yIm[b]! * im);
    dipole[2 * s + 1]! -= sign[b]! * (yRe[b]! * im + yIm[b]! * re);
    touchAbove(factor, b);
  }
}

/** Marks the positions that a dipole on branch b can reach: its earlier end and that one's parents. */
function touchAbove(factor: Factor, b: number): void {
  const { touched } = factor;
  const { slot, from, to, position, parent, nodeCount } = factor.structure;
  const s = slot[b]!;
  let k = s < nodeCount ? s : Math.min(position[from[b]!]!, position[to[b]!]!);
  for (; k !== -1 && touched[k] === 0; k = parent[k]!) touched[k] = 1;
}

/** Moves all planted dipoles up and the volts back down. Leaves dipoles and marks zero. */
function sweep(factor: Factor, vRe: Float64Array, vIm: Float64Array): void {
  const { touched } = factor;
  const { nodeCount } = factor.structure;
  for (let k = 0; k < nodeCount; k += 1) {
    if (touched[k] === 0) continue;
    touched[k] = 0;
    pushDipoles(factor, k);
  }
  spreadBack(factor, vRe, vIm);
}
