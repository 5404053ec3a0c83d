import { type Factor, islandRoots } from './factor.js';
import { ground } from './structure.js';

/** Correction passes before a resonant network is given up. */
const mostPasses = 8;
/** A correction this small against the volts is rounding. */
const settledBelow = 1e-13;
/** Where corrections stop shrinking earlier than that, this much is still an answer. */
const goodEnoughBelow = 1e-9;
/** Each pass must leave at most this part of the error. */
const shrinkTo = 0.5;

/**
 * Iterative refinement of volts in place: what is left of Kirchhoff's law at the nodes goes through the factor again.
 *
 *   r_i = -sum of s_b y_b (v_from - v_to + e_b) at node i,  v += Y^-1 r        s_b = 1 at from, -1 at to
 *
 * False where the corrections do not die out.
 */
export function refine(
  factor: Factor,
  yRe: Float64Array,
  yIm: Float64Array,
  eRe: Float64Array,
  eIm: Float64Array,
  vRe: Float64Array,
  vIm: Float64Array,
): boolean {
  const { restRe, restIm } = factor;
  let before = Number.POSITIVE_INFINITY;
  let ratio = 0;
  for (let pass = 0; pass < mostPasses; pass += 1) {
    gatherImbalance(factor, yRe, yIm, eRe, eIm, vRe, vIm);
    factor.solve(restRe, restIm);
    for (let i = 0; i < vRe.length; i += 1) {
      vRe[i]! += restRe[i]!;
      vIm[i]! += restIm[i]!;
    }
    const correction = largest(restRe, restIm);
    const volts = largest(vRe, vIm);
    ratio = volts === 0 ? 0 : correction / volts;
    if (ratio <= settledBelow || correction > before * shrinkTo) break;
    before = correction;
  }
  return ratio <= goodEnoughBelow;
}

/**
 * Whether the network has one answer at all. Where a coil and a capacitor cut a node off by cancelling, nothing but the
 * lifted pivot holds its volts, and refinement cannot see it. With E what the lifting added to Y,
 *
 *   x -> (Y + E)^-1 E x = x - (Y + E)^-1 Y x
 *
 * keeps such volts as they are and makes all others small. Volts common to an island without ground do not count.
 */
export function isDetermined(factor: Factor, yRe: Float64Array, yIm: Float64Array): boolean {
  if (factor.lifted === 0) return true;
  const n = factor.structure.nodeCount;
  // Any volts will do that no network has reason to share: multiples of the golden and the plastic ratio.
  const xRe = Float64Array.from({ length: n }, (_, i) => 1 + ((i * 0.6180339887498949) % 1));
  const xIm = Float64Array.from({ length: n }, (_, i) => 1 + ((i * 0.7548776662466927) % 1));
  const none = new Float64Array(yRe.length);
  const roots = islandRoots(factor);
  takeAway(factor, roots, yRe, yIm, none, xRe, xIm);
  const once = largest(xRe, xIm);
  if (once <= goodEnoughBelow) return true;
  takeAway(factor, roots, yRe, yIm, none, xRe, xIm);
  return largest(xRe, xIm) <= once * shrinkTo;
}

/** x -= (Y + E)^-1 Y x, and from each island without ground the x of its pinned node. */
function takeAway(
  factor: Factor,
  roots: Int32Array,
  yRe: Float64Array,
  yIm: Float64Array,
  none: Float64Array,
  xRe: Float64Array,
  xIm: Float64Array,
): void {
  const { restRe, restIm } = factor;
  gatherImbalance(factor, yRe, yIm, none, none, xRe, xIm);
  factor.solve(restRe, restIm);
  for (let i = 0; i < xRe.length; i += 1) {
    restRe[i]! += xRe[i]!;
    restIm[i]! += xIm[i]!;
  }
  for (let i = 0; i < xRe.length; i += 1) {
    const root = roots[i]!;
    xRe[i] = restRe[i]! - (root === ground ? 0 : restRe[root]!);
    xIm[i] = restIm[i]! - (root === ground ? 0 : restIm[root]!);
  }
}

/** r into the factor's rest, by node. */
function gatherImbalance(
  factor: Factor,
  yRe: Float64Array,
  yIm: Float64Array,
  eRe: Float64Array,
  eIm: Float64Array,
  vRe: Float64Array,
  vIm: Float64Array,
): void {
  const { restRe, restIm } = factor;
  const { from, to, branchCount } = factor.structure;
  restRe.fill(0);
  restIm.fill(0);
  for (let b = 0; b < branchCount; b += 1) {
    const f = from[b]!;
    const t = to[b]!;
    const dropRe = (f < 0 ? 0 : vRe[f]!) - (t < 0 ? 0 : vRe[t]!) + eRe[b]!;
    const dropIm = (f < 0 ? 0 : vIm[f]!) - (t < 0 ? 0 : vIm[t]!) + eIm[b]!;
    const re = yRe[b]! * dropRe - yIm[b]! * dropIm;
    const im = yRe[b]! * dropIm + yIm[b]! * dropRe;
    if (f >= 0) {
      restRe[f]! -= re;
      restIm[f]! -= im;
    }
    if (t >= 0) {
      restRe[t]! += re;
      restIm[t]! += im;
    }
  }
}

function largest(re: Float64Array, im: Float64Array): number {
  let size = 0;
  for (let i = 0; i < re.length; i += 1) size = Math.max(size, Math.abs(re[i]!), Math.abs(im[i]!));
  return size;
}
