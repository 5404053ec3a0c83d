import type { BranchColumns } from './branch-columns.js';
import { mostUnknowns, newSmallSystem, type SmallSystem, solveSmall } from './small-system.js';

/**
 * What a few changed branches do to a state already solved. By the compensation theorem a branch that goes from y, e
 * to y', e' acts on the rest like a current x put in at its `from` and drawn out at its `to` beside the old branch:
 *
 *   u_b = v_from - v_to, z_b = Y^-1 (e_from - e_to), K_bc = (e_from - e_to)_b . z_c, D_b = y'_b - y_b
 *   (1 + D K) x = -(y' (u + e') - y (u + e)),   v' = v + sum of x_b z_b
 *
 * For one branch 1 + D K is a number; where it opens, 1 - y z: 0 when all its current has no other way.
 */

/** A state that is solved: y (siemens) is what the columns' factor was loaded with, e (volts) and v (volts) as in `solveSources`. */
export interface SolvedState {
  readonly columns: BranchColumns;
  readonly yRe: Float64Array;
  readonly yIm: Float64Array;
  readonly eRe: Float64Array;
  readonly eIm: Float64Array;
  readonly vRe: Float64Array;
  readonly vIm: Float64Array;
  /** From `findBridges` over the branches with y not 0. */
  readonly bridges: Uint8Array;
}

/** The first `count` entries: distinct branches with their new admittances (siemens) and EMFs (volts). `mostUnknowns` at most. */
export interface BranchChanges {
  count: number;
  readonly branches: Int32Array;
  readonly yRe: Float64Array;
  readonly yIm: Float64Array;
  readonly eRe: Float64Array;
  readonly eIm: Float64Array;
}

/** Currents (amps) beside the branches of a solved state that stand for a change of it. */
export interface Compensation {
  count: number;
  readonly branches: Int32Array;
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** Start of each branch's column in the state's columns, valid until other columns are asked for. */
  readonly columns: Int32Array;
}

/**
 * `solved`: the new volts are in the caller's arrays; with `cut`, a bridge was opened, so that the islands are to be
 * labelled anew. `refactor`: this way cannot be trusted here, nothing was written.
 */
export type ChangeOutcome =
  | { readonly kind: 'solved'; readonly cut: boolean }
  | { readonly kind: 'refactor' };

const solved: ChangeOutcome = { kind: 'solved', cut: false };
const solvedAndCut: ChangeOutcome = { kind: 'solved', cut: true };
const refactor: ChangeOutcome = { kind: 'refactor' };

/**
 * Measured on synthetic circuits: the error is about 5e-14 V / |1 - y z|. Below 1e-10 only bridges were found, but a
 * branch beside a leak of 1e12 ohm looks the same, so bridges are told by topology and everything below 1e-7 goes back.
 */
const smallestDivisor = 1e-7;
/** The same for |det (1 + D K)| as `solveSmall` scales it. Of pairs that together cut an island off it is all rounding. */
const smallestDeterminant = 1e-6;

/** Used within one call only, so that none allocates. */
const system: SmallSystem = newSmallSystem();
const stepRe = new Float64Array(mostUnknowns);
const stepIm = new Float64Array(mostUnknowns);

export function newChanges(): BranchChanges {
  return {
    count: 0,
    branches: new Int32Array(mostUnknowns),
    yRe: new Float64Array(mostUnknowns),
    yIm: new Float64Array(mostUnknowns),
    eRe: new Float64Array(mostUnknowns),
    eIm: new Float64Array(mostUnknowns),
  };
}

export function newCompensation(): Compensation {
  return {
    count: 0,
    branches: new Int32Array(mostUnknowns),
    re: new Float64Array(mostUnknowns),
    im: new Float64Array(mostUnknowns),
    columns: new Int32Array(mostUnknowns),
  };
}

/**
 * The currents x of a change, for readers that need a few volts only: the reading between two nodes changes by the sum
 * of x_b times its own share of column b. Branches of which the change is not felt outside have no entry.
 */
export function compensate(base: SolvedState, changes: BranchChanges, into: Compensation): ChangeOutcome {
  checkChanges(changes);
  if (base.columns.factor.delicate) return refactor;
  const adds = addsBranch(base, changes);
  let cut = false;
  let size = 0;
  for (let j = 0; j < changes.count; j += 1) {
    if (isUnchanged(base, changes, j)) continue;
    const b = changes.branches[j]!;
    const opens = changes.yRe[j] === 0 && changes.yIm[j] === 0;
    // Still a bridge after the change, and still without current: no volt moves.
    if (base.bridges[b] !== 0 && !adds && (opens || keepsSource(base, changes, j))) {
      cut ||= opens;
      continue;
    }
    const at = base.columns.at(b);
    if (at === -1) return refactor;
    into.branches[size] = b;
    into.columns[size] = at;
    stepRe[size] = changes.yRe[j]! - base.yRe[b]!;
    stepIm[size] = changes.yIm[j]! - base.yIm[b]!;
    currentStep(base, changes, j, size);
    size += 1;
  }
  into.count = size;
  system.size = size;
  if (!(size === 1 ? solveOne(base, into) : solveJoint(base, into))) return refactor;
  for (let c = 0; c < size; c += 1) {
    into.re[c] = system.xRe[c]!;
    into.im[c] = system.xIm[c]!;
  }
  return cut ? solvedAndCut : solved;
}

function checkChanges(changes: BranchChanges): void {
  const { count, branches } = changes;
  if (count > mostUnknowns) throw new Error(`${count} changes at once, where ${mostUnknowns} are the most`);
  for (let j = 1; j < count; j += 1) {
    for (let i = 0; i < j; i += 1) {
      if (branches[i] === branches[j]) throw new Error(`branch ${branches[j]} is changed twice`);
    }
  }
}

/** Whether a branch comes in that was absent: a bridge of the base may then be one no longer. */
function addsBranch(base: SolvedState, changes: BranchChanges): boolean {
  for (let j = 0; j < changes.count; j += 1) {
    const b = changes.branches[j]!;
    const wasAbsent = base.yRe[b] === 0 && base.yIm[b] === 0;
    if (wasAbsent && (changes.yRe[j] !== 0 || changes.yIm[j] !== 0)) return true;
  }
  return false;
}

function isUnchanged(base: SolvedState, changes: BranchChanges, j: number): boolean {
  const b = changes.branches[j]!;
  if (changes.yRe[j] !== base.yRe[b] || changes.yIm[j] !== base.yIm[b]) return false;
  return (changes.yRe[j] === 0 && changes.yIm[j] === 0) || keepsSource(base, changes, j);
}

function keepsSource(base: SolvedState, changes: BranchChanges, j: number): boolean {
  const b = changes.branches[j]!;
  return changes.eRe[j] === base.eRe[b] && changes.eIm[j] === base.eIm[b];
}

/** x_c = -(y' (u + e') - y (u + e)), the right-hand side for entry c. */
function currentStep(base: SolvedState, changes: BranchChanges, j: number, c: number): void {
  const { from, to } = base.columns.factor.structure;
  const b = changes.branches[j]!;
  const f = from[b]!;
  const t = to[b]!;
  const uRe = (f < 0 ? 0 : base.vRe[f]!) - (t < 0 ? 0 : base.vRe[t]!);
  const uIm = (f < 0 ? 0 : base.vIm[f]!) - (t < 0 ? 0 : base.vIm[t]!);
  const newRe = uRe + changes.eRe[j]!;
  const newIm = uIm + changes.eIm[j]!;
  const oldRe = uRe + base.eRe[b]!;
  const oldIm = uIm + base.eIm[b]!;
  system.xRe[c] =
    base.yRe[b]! * oldRe - base.yIm[b]! * oldIm - changes.yRe[j]! * newRe + changes.yIm[j]! * newIm;
  system.xIm[c] =
    base.yRe[b]! * oldIm + base.yIm[b]! * oldRe - changes.yRe[j]! * newIm - changes.yIm[j]! * newRe;
}

/** One change: x = x / (1 + D z). */
function solveOne(base: SolvedState, into: Compensation): boolean {
  const { columns } = base;
  const { from, to } = columns.factor.structure;
  const at = into.columns[0]!;
  const f = from[into.branches[0]!]!;
  const t = to[into.branches[0]!]!;
  const zRe = (f < 0 ? 0 : columns.re[at + f]!) - (t < 0 ? 0 : columns.re[at + t]!);
  const zIm = (f < 0 ? 0 : columns.im[at + f]!) - (t < 0 ? 0 : columns.im[at + t]!);
  const partRe = stepRe[0]! * zRe - stepIm[0]! * zIm;
  const partIm = stepRe[0]! * zIm + stepIm[0]! * zRe;
  const re = 1 + partRe;
  const square = re * re + partIm * partIm;
  const scale = Math.max(1, partRe * partRe + partIm * partIm);
  if (square < smallestDivisor * smallestDivisor * scale) return false;
  const xRe = system.xRe[0]!;
  const xIm = system.xIm[0]!;
  system.xRe[0] = (xRe * re + xIm * partIm) / square;
  system.xIm[0] = (xIm * re - xRe * partIm) / square;
  return true;
}

/** Several changes: 1 + D K by rows. */
function solveJoint(base: SolvedState, into: Compensation): boolean {
  const { aRe, aIm, size } = system;
  fillImpedances(base, into);
  for (let r = 0; r < size; r += 1) {
    for (let c = 0; c < size; c += 1) {
      const at = r * mostUnknowns + c;
      const kRe = aRe[at]!;
      const kIm = aIm[at]!;
      aRe[at] = stepRe[r]! * kRe - stepIm[r]! * kIm + (r === c ? 1 : 0);
      aIm[at] = stepRe[r]! * kIm + stepIm[r]! * kRe;
    }
  }
  return solveSmall(system) >= smallestDeterminant;
}

/**
 * K by rows. K_rc and K_cr are one number by reciprocity, but a column of a 1e12 ohm leak knows a contact's share of it
 * to 1e-4 ohm only: both are taken from the column of the branch with the lesser impedance of its own.
 */
function fillImpedances(base: SolvedState, into: Compensation): void {
  const { aRe, aIm, size } = system;
  for (let r = 0; r < size; r += 1) {
    for (let c = 0; c < size; c += 1) fillImpedance(base, into, r, c);
  }
  for (let r = 0; r < size; r += 1) {
    for (let c = 0; c < r; c += 1) {
      const byColumnC = r * mostUnknowns + c;
      const byColumnR = c * mostUnknowns + r;
      const better = ownImpedance(c) <= ownImpedance(r) ? byColumnC : byColumnR;
      const other = better === byColumnC ? byColumnR : byColumnC;
      aRe[other] = aRe[better]!;
      aIm[other] = aIm[better]!;
    }
  }
}

function fillImpedance(base: SolvedState, into: Compensation, r: number, c: number): void {
  const { re, im, factor } = base.columns;
  const f = factor.structure.from[into.branches[r]!]!;
  const t = factor.structure.to[into.branches[r]!]!;
  const at = into.columns[c]!;
  system.aRe[r * mostUnknowns + c] = (f < 0 ? 0 : re[at + f]!) - (t < 0 ? 0 : re[at + t]!);
  system.aIm[r * mostUnknowns + c] = (f < 0 ? 0 : im[at + f]!) - (t < 0 ? 0 : im[at + t]!);
}

function ownImpedance(r: number): number {
  return Math.abs(system.aRe[r * mostUnknowns + r]!) + Math.abs(system.aIm[r * mostUnknowns + r]!);
}
