import type { Elimination } from './eliminate.js';
import { pairTargets } from './pattern.js';

/** What a guarded elimination met. */
export interface Guard {
  /** Nodes whose pivot had cancelled and was lifted. */
  readonly lifted: number;
  /** Largest ratio of the terms added up in a pivot to what was left of them; 1 where nothing cancelled. */
  readonly cancellation: number;
}

/** A pivot of which less than this part of its terms is left is lifted. */
const liftBelow = 1e-8;
/** Keeps products of `met` finite. */
const mostMet = 1e100;

/**
 * The elimination of `eliminate` for networks with both kinds of reactance, where admittances can cancel:
 *
 *   d_k    = g_k + sum of w_ki
 *   met_ij = sum of |y| of the branches there + sum over k of met_ki met_kj / |d_k|,  met_i for g_i likewise
 *   s_k    = met_k + sum of met_ki, so that rounding has cost d_k about 1e-16 s_k     |a + jb| taken as |a| + |b|
 *   o_k    = sum of |y| of the node's own branches
 *   where |d_k| < 1e-8 min(s_k, o_k), a conductance of that size lifts it
 *
 * A series resonance is no fault of the network, so elimination goes on past it. A lifted pivot solves a slightly
 * different network; refinement brings the answer back to the true one, or does not settle where there is none.
 * Past a lifted pivot s_k can be far above anything in the network, hence o_k; where stiff wires end in a weak leak,
 * d_k is rightly far below o_k, hence s_k. The conductance goes into the slot of k that has met most, never one that
 * has met nothing: islands stay what they are. s_k = 0 is the last node of an island that ground does not reach,
 * pinned at 0 V.
 *
 * `met` comes in with the sums of |y| over the branches of each slot, `own` by position with o_k.
 */
export function eliminateGuarded(into: Elimination, met: Float64Array, own: Float64Array): Guard {
  const { structure, share, inverse, targets } = into;
  const { nodeCount, columnStart, rows, targetStart } = structure;
  const findTargets = structure.targets === undefined;
  let lifted = 0;
  let cancellation = 1;
  let end = columnStart[0]!;
  for (let k = 0; k < nodeCount; k += 1) {
    const start = end;
    end = columnStart[k + 1]!;
    let dRe = share[2 * k]!;
    let dIm = share[2 * k + 1]!;
    let s = met[k]!;
    for (let p = start; p < end; p += 1) {
      dRe += share[2 * p]!;
      dIm += share[2 * p + 1]!;
      s += met[p]!;
    }
    const least = liftBelow * Math.min(s, own[k]!);
    if (Math.abs(dRe) + Math.abs(dIm) < least) {
      share[2 * heaviest(met, k, start, end)]! += least;
      dRe += least;
      lifted += 1;
    }
    const square = dRe * dRe + dIm * dIm;
    if (square === 0) {
      inverse[2 * k] = 0;
      inverse[2 * k + 1] = 0;
      continue;
    }
    cancellation = Math.max(cancellation, s / (Math.abs(dRe) + Math.abs(dIm)));
    const gRe = share[2 * k]!;
    const gIm = share[2 * k + 1]!;
    const invRe = dRe / square;
    const invIm = -dIm / square;
    inverse[2 * k] = invRe;
    inverse[2 * k + 1] = invIm;
    share[2 * k] = gRe * invRe - gIm * invIm;
    share[2 * k + 1] = gRe * invIm + gIm * invRe;
    const inverseSize = Math.sqrt(invRe * invRe + invIm * invIm);
    if (findTargets) pairTargets(structure, k, targets, 0);
    let t = targetStart[k]!;
    for (let p = start; p < end; p += 1) {
      const wRe = share[2 * p]!;
      const wIm = share[2 * p + 1]!;
      const lRe = wRe * invRe - wIm * invIm;
      const lIm = wRe * invIm + wIm * invRe;
      const i = rows[p]!;
      share[2 * i]! += lRe * gRe - lIm * gIm;
      share[2 * i + 1]! += lRe * gIm + lIm * gRe;
      const spread = met[p]! * inverseSize;
      met[i] = Math.min(met[i]! + spread * met[k]!, mostMet);
      for (let q = p + 1; q < end; q += 1) {
        const to = targets[t++]!;
        share[2 * to]! += lRe * share[2 * q]! - lIm * share[2 * q + 1]!;
        share[2 * to + 1]! += lRe * share[2 * q + 1]! + lIm * share[2 * q]!;
        met[to] = Math.min(met[to]! + spread * met[q]!, mostMet);
      }
      share[2 * p] = lRe;
      share[2 * p + 1] = lIm;
    }
  }
  return { lifted, cancellation };
}

/** Of the slots of column k, that to the reference among them, the one that has met most. */
function heaviest(met: Float64Array, k: number, start: number, end: number): number {
  let best = k;
  for (let p = start; p < end; p += 1) if (met[p]! > met[best]!) best = p;
  return best;
}
