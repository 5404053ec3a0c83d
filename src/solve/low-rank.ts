import {
  type BranchChanges,
  type ChangeOutcome,
  type Compensation,
  compensate,
  newCompensation,
  type SolvedState,
} from './compensation.js';

/** Used within one call only, so that none allocates. */
const compensation: Compensation = newCompensation();

/**
 * Volts of each node after the changes, into vRe, vIm (length n; may be the base's own).
 *
 * A bridge carries no current. Opened, it leaves every volt of the base as it was: those on the live side stand, and
 * on the side cut off they are against that island's own reference, as for any island that ground does not reach.
 */
export function changeBranches(
  base: SolvedState,
  changes: BranchChanges,
  vRe: Float64Array,
  vIm: Float64Array,
): ChangeOutcome {
  const outcome = compensate(base, changes, compensation);
  if (outcome.kind === 'refactor') return outcome;
  const { re: zRe, im: zIm, factor } = base.columns;
  const n = factor.structure.nodeCount;
  let { vRe: fromRe, vIm: fromIm } = base;
  if (compensation.count === 0) {
    vRe.set(fromRe);
    vIm.set(fromIm);
  }
  for (let c = 0; c < compensation.count; c += 1) {
    const at = compensation.columns[c]!;
    const xRe = compensation.re[c]!;
    const xIm = compensation.im[c]!;
    for (let i = 0; i < n; i += 1) {
      vRe[i] = fromRe[i]! + xRe * zRe[at + i]! - xIm * zIm[at + i]!;
      vIm[i] = fromIm[i]! + xRe * zIm[at + i]! + xIm * zRe[at + i]!;
    }
    fromRe = vRe;
    fromIm = vIm;
  }
  return outcome;
}
