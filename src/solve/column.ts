import { pushDipoles } from './dipoles.js';
import { type Factor, spreadBack } from './factor.js';

/**
 * z_b = Y^-1 (e_from - e_to) (ohms): the volts that 1 A put in at `from` and drawn out at `to` makes, by node from
 * re[at], im[at] on. False, with the arrays untouched, where no such current can flow: the ends lie in different islands.
 */
export function branchColumn(factor: Factor, b: number, re: Float64Array, im: Float64Array, at = 0): boolean {
  const { dipole, structure } = factor;
  const { from, to, position, parent, slot, sign, nodeCount } = structure;
  if (!factor.isJoined(from[b]!, to[b]!)) return false;
  const s = slot[b]!;
  if (s < 0) {
    re.fill(0, at, at + nodeCount);
    im.fill(0, at, at + nodeCount);
    return true;
  }
  dipole[2 * s] = sign[b]!;
  let k = s < nodeCount ? s : Math.min(position[from[b]!]!, position[to[b]!]!);
  for (; k !== -1; k = parent[k]!) pushDipoles(factor, k);
  spreadBack(factor, re, im, at);
  return true;
}

/** A complex number of ohms. */
export interface Impedance {
  readonly re: number;
  readonly im: number;
}

/**
 * Thevenin impedance (ohms) between two nodes, either of which may be `ground`:
 *
 *   (e_a - e_b)^T Y^-1 (e_a - e_b) = sum of f_k^2 / d_k,   f = e_a - e_b moved forward, f_i += share_ki f_k
 *
 * Only the two chains of parents are walked. Undefined where no path joins the nodes.
 */
export function pairImpedance(factor: Factor, a: number, b: number): Impedance | undefined {
  const { structure, share, inverse, x } = factor;
  const { position, parent, columnStart, rows, nodeCount } = structure;
  if (!factor.isJoined(a, b)) return undefined;
  const first = a < 0 ? -1 : position[a]!;
  const second = b < 0 ? -1 : position[b]!;
  if (first >= 0) x[2 * first]! += 1;
  if (second >= 0) x[2 * second]! -= 1;
  const orEnd = (k: number): number => (k < 0 ? nodeCount : k);
  let low = orEnd(first);
  let high = orEnd(second);
  let re = 0;
  let im = 0;
  for (let k = Math.min(low, high); k < nodeCount; k = Math.min(low, high)) {
    const fRe = x[2 * k]!;
    const fIm = x[2 * k + 1]!;
    x[2 * k] = 0;
    x[2 * k + 1] = 0;
    for (let p = columnStart[k]!; p < columnStart[k + 1]!; p += 1) {
      const i = 2 * rows[p]!;
      x[i]! += share[2 * p]! * fRe - share[2 * p + 1]! * fIm;
      x[i + 1]! += share[2 * p]! * fIm + share[2 * p + 1]! * fRe;
    }
    const squareRe = fRe * fRe - fIm * fIm;
    const squareIm = 2 * fRe * fIm;
    re += squareRe * inverse[2 * k]! - squareIm * inverse[2 * k + 1]!;
    im += squareRe * inverse[2 * k + 1]! + squareIm * inverse[2 * k]!;
    if (low === k) low = orEnd(parent[k]!);
    if (high === k) high = orEnd(parent[k]!);
  }
  return { re, im };
}
