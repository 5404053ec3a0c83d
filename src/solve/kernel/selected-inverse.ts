import type { Factor } from './factor.js';
import { pairTargets } from './pattern.js';

/**
 * The impedance between the two ends of every slot of a factor, in pairs by slot: of branch b it is at `slot[b]`, with
 * everything else of the network and the branch itself in parallel. From the last position to the first, with s the
 * shares of position k (they add up to 1, the one to the reference among them) and i one of its rows or the reference:
 *
 *   r_ki = 1 / d_k + sum over p of s_p r_pi - sum over p < q of s_p s_q r_pq
 *
 * Rows of k are rows of one another, so each r on the right is there already: the entries of the inverse that the factor
 * needs and no others, as Takahashi has it, but impedances between nodes instead of potentials against the reference. They
 * are never the difference of large numbers: s_p r_pi is at most 1 / d_k + s_p r_ki, so a wire beside megohms keeps
 * all its digits, and 1 - y r is 0 to rounding exactly where the branch alone joins its ends.
 *
 * Between nodes of different islands, and in a factor that had to be lifted, what stands there means nothing.
 */
export function acrossSlots({ structure, share, inverse, targets }: Factor): Float64Array {
  const { nodeCount, columnStart, rows, targetStart } = structure;
  const across = new Float64Array(share.length);
  for (let k = nodeCount - 1; k >= 0; k -= 1) {
    const start = columnStart[k]!;
    const end = columnStart[k + 1]!;
    if (structure.targets === undefined) pairTargets(structure, k, targets, 0);
    let t = targetStart[k]!;
    let re = inverse[2 * k]!;
    let im = inverse[2 * k + 1]!;
    for (let p = start; p < end; p += 1) {
      const pRe = share[2 * p]!;
      const pIm = share[2 * p + 1]!;
      // The reference, in slot k, is the last of the others.
      for (let next = p + 1; next <= end; next += 1) {
        const q = next === end ? k : next;
        const r = 2 * (next === end ? rows[p]! : targets[t++]!);
        const rRe = across[r]!;
        const rIm = across[r + 1]!;
        const qRe = share[2 * q]!;
        const qIm = share[2 * q + 1]!;
        const byQRe = qRe * rRe - qIm * rIm;
        const byQIm = qRe * rIm + qIm * rRe;
        across[2 * p]! += byQRe;
        across[2 * p + 1]! += byQIm;
        across[2 * q]! += pRe * rRe - pIm * rIm;
        across[2 * q + 1]! += pRe * rIm + pIm * rRe;
        re -= pRe * byQRe - pIm * byQIm;
        im -= pRe * byQIm + pIm * byQRe;
      }
    }
    for (let p = start; p < end; p += 1) {
      across[2 * p]! += re;
      across[2 * p + 1]! += im;
    }
    across[2 * k]! += re;
    across[2 * k + 1]! += im;
  }
  return across;
}
