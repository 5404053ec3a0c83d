import { type Elimination, eliminate } from './eliminate.js';
import { eliminateGuarded } from './eliminate-guarded.js';
import { pairCount } from './pattern.js';
import { ground, type Structure } from './structure.js';

/** Work space within one call, one for all factors of a structure. */
type Room = Pick<Factor, 'targets' | 'x' | 'dipole' | 'touched' | 'restRe' | 'restIm'>;

const rooms = new WeakMap<Structure, Room>();

function roomOf(structure: Structure): Room {
  const kept = rooms.get(structure);
  if (kept !== undefined) return kept;
  const n = structure.nodeCount;
  const room = {
    targets: structure.targets ?? new Int32Array(widestColumn(structure)),
    x: new Float64Array(2 * n),
    dipole: new Float64Array(2 * structure.rows.length),
    touched: new Uint8Array(n),
    restRe: new Float64Array(n),
    restIm: new Float64Array(n),
  };
  rooms.set(structure, room);
  return room;
}

/**
 * The numeric factors of one set of admittances, and the room in which they are made. A factor is meant to be loaded
 * again for each state of its circuit; nothing is allocated then.
 *
 *   sum over branches b at node i of y_b (v_i - v_other) = J_i        y in siemens, v in volts, J in amps into node i
 */
export class Factor implements Elimination {
  readonly structure: Structure;
  readonly share: Float64Array;
  readonly inverse: Float64Array;
  readonly targets: Int32Array;
  /**
   * Work space in pairs, by position and by slot, and marks by position; zero between uses (see `dipoles.ts`). All factors
   * of a structure share it: a fault's network is factored once and kept for its answers, and its room would be most of it.
   */
  readonly x: Float64Array;
  readonly dipole: Float64Array;
  readonly touched: Uint8Array;
  /** Volts of a correction by node (see `sources.ts` and `refine.ts`). */
  readonly restRe: Float64Array;
  readonly restIm: Float64Array;
  /** Pivots lifted because their terms had cancelled (resonance). Answers then need refinement and a residual check. */
  lifted = 0;
  /** Largest ratio of what went into a pivot to what was left of it; 1 without both kinds of reactance. */
  cancellation = 1;
  private met: Float64Array | undefined;
  private own: Float64Array | undefined;

  constructor(structure: Structure) {
    const slots = structure.rows.length;
    this.structure = structure;
    this.share = new Float64Array(2 * slots);
    this.inverse = new Float64Array(2 * structure.nodeCount);
    const { targets, x, dipole, touched, restRe, restIm } = roomOf(structure);
    this.targets = targets;
    this.x = x;
    this.dipole = dipole;
    this.touched = touched;
    this.restRe = restRe;
    this.restIm = restIm;
  }

  /** Something cancelled by more than a thousandfold: answers need refinement, and no `ChangedView` is to build on them. */
  get delicate(): boolean {
    return this.lifted > 0 || this.cancellation > 1e3;
  }

  /**
   * Factors the network with admittance yRe[b] + j yIm[b] (siemens) in branch b; exactly 0 is an absent branch.
   * Parts must be passive: no negative conductance. Throws on an admittance that is not finite.
   */
  load(yRe: Float64Array, yIm: Float64Array): void {
    const { share } = this;
    const { slot, branchCount } = this.structure;
    share.fill(0);
    let zeroIfFinite = 0;
    let inductive = false;
    let capacitive = false;
    for (let b = 0; b < branchCount; b += 1) {
      const re = yRe[b]!;
      const im = yIm[b]!;
      zeroIfFinite += 0 * re + 0 * im;
      if (im < 0) inductive = true;
      else if (im > 0) capacitive = true;
      const s = slot[b]!;
      if (s < 0) continue;
      share[2 * s]! += re;
      share[2 * s + 1]! += im;
    }
    if (zeroIfFinite !== 0) throw new Error('an admittance is not a finite number');
    this.lifted = 0;
    this.cancellation = 1;
    if (inductive && capacitive) this.loadGuarded(yRe, yIm);
    else eliminate(this);
  }

  /**
   * In place: currents (amps) put in at each node -> volts of each node. In an island that ground does not reach the
   * currents must add up to nothing; its volts are against its own pinned node.
   *
   *   forward   J_i += share_ki J_k        backward   v_k = J_k / d_k + sum of share_ki v_i
   */
  solve(re: Float64Array, im: Float64Array): void {
    const { structure, share, inverse, x } = this;
    const { nodeCount, order, columnStart, rows } = structure;
    for (let k = 0; k < nodeCount; k += 1) {
      x[2 * k] = re[order[k]!]!;
      x[2 * k + 1] = im[order[k]!]!;
    }
    for (let k = 0; k < nodeCount; k += 1) {
      const jRe = x[2 * k]!;
      const jIm = x[2 * k + 1]!;
      if (jRe === 0 && jIm === 0) continue;
      const end = columnStart[k + 1]!;
      for (let p = columnStart[k]!; p < end; p += 1) {
        const i = 2 * rows[p]!;
        x[i]! += share[2 * p]! * jRe - share[2 * p + 1]! * jIm;
        x[i + 1]! += share[2 * p]! * jIm + share[2 * p + 1]! * jRe;
      }
      x[2 * k] = jRe * inverse[2 * k]! - jIm * inverse[2 * k + 1]!;
      x[2 * k + 1] = jRe * inverse[2 * k + 1]! + jIm * inverse[2 * k]!;
    }
    spreadBack(this, re, im);
  }

  private loadGuarded(yRe: Float64Array, yIm: Float64Array): void {
    const { slot, from, to, position, branchCount, nodeCount, rows } = this.structure;
    this.met ??= new Float64Array(rows.length);
    this.own ??= new Float64Array(nodeCount);
    const met = this.met.fill(0);
    const own = this.own.fill(0);
    for (let b = 0; b < branchCount; b += 1) {
      const s = slot[b]!;
      if (s < 0) continue;
      const size = Math.abs(yRe[b]!) + Math.abs(yIm[b]!);
      met[s]! += size;
      if (from[b] !== ground) own[position[from[b]!]!]! += size;
      if (to[b] !== ground) own[position[to[b]!]!]! += size;
    }
    const guard = eliminateGuarded(this, met, own);
    this.lifted = guard.lifted;
    this.cancellation = guard.cancellation;
  }
}

/** v_k = x_k + sum of share_ki v_i from the last position to the first, written by node. Leaves x zero. */
export function spreadBack(factor: Factor, vRe: Float64Array, vIm: Float64Array): void {
  const { structure, share, x } = factor;
  const { nodeCount, order, columnStart, rows } = structure;
  let end = columnStart[nodeCount]!;
  for (let k = nodeCount - 1; k >= 0; k -= 1) {
    const start = columnStart[k]!;
    let re = x[2 * k]!;
    let im = x[2 * k + 1]!;
    for (let p = start; p < end; p += 1) {
      const i = 2 * rows[p]!;
      const lRe = share[2 * p]!;
      const lIm = share[2 * p + 1]!;
      const vi = x[i]!;
      const wi = x[i + 1]!;
      re += lRe * vi - lIm * wi;
      im += lRe * wi + lIm * vi;
    }
    end = start;
    x[2 * k] = re;
    x[2 * k + 1] = im;
    vRe[order[k]!] = re;
    vIm[order[k]!] = im;
  }
  x.fill(0);
}

/** By node, the pinned node of its island; `ground` where ground reaches it. For the admittances loaded last. */
export function islandRoots(factor: Factor): Int32Array {
  const { structure, share, inverse } = factor;
  const { nodeCount, columnStart, rows, order } = structure;
  const roots = new Int32Array(nodeCount);
  // A node's root is its own where it is pinned, else that of the first row it gives a share to.
  for (let k = nodeCount - 1; k >= 0; k -= 1) {
    const pinned = inverse[2 * k] === 0 && inverse[2 * k + 1] === 0;
    let root = pinned ? order[k]! : ground;
    for (let p = columnStart[k]!; p < columnStart[k + 1]!; p += 1) {
      if (share[2 * p] === 0 && share[2 * p + 1] === 0) continue;
      root = roots[order[rows[p]!]!]!;
      break;
    }
    roots[order[k]!] = root;
  }
  return roots;
}

function widestColumn(structure: Structure): number {
  let widest = 0;
  for (let k = 0; k < structure.nodeCount; k += 1) widest = Math.max(widest, pairCount(structure, k));
  return widest;
}
