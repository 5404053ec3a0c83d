import type { Circuit } from '../circuit/circuit.js';
import { add, type Complex, difference, divide, multiply } from './complex.js';
import type { Factor } from './kernel/factor.js';
import { solveSources } from './kernel/sources.js';
import type { Admittances, Conduct, Plan } from './plan.js';

/** A winding that conducts as built: `turns` in volts of its rated no-load voltage. */
interface Winding {
  readonly branch: number;
  readonly turns: number;
}

/**
 * Transformers on a factored network. A winding is a branch of its own resistance and leakage with an EMF from the
 * flux F of its core, F in units of the rated one; the ampere-turns of all windings magnetise the core:
 *
 *   i_k = y_k (v_k - n_k F)          sum of n_k i_k = Ym F
 *
 * With b = sum of n_k y_k (e_from - e_to) over the windings of a core, d = Ym + sum of n_k^2 y_k, and Y the network
 * without any flux, Y v = J + B F and B'v = D F. So, with X = Y^-1 B, which is what one unit of flux alone gives,
 *
 *   v = v0 + X F      (D - B'X) F = B'v0
 *
 * D - B'X is not formed as written: its entries are the ampere-turns that the windings draw, Ym + sum of n_k y_k (n_k -
 * x_k) on the diagonal, where an idle winding has n_k - x_k = 0. Islands stay what they are: no current crosses a core.
 */
export class Coupling {
  private readonly cores: readonly (readonly Winding[])[];
  private readonly y: Admittances;
  /** Cores that couple anything here, by their place in `cores`. */
  private readonly live: readonly number[];
  /** X, a column a live core. */
  private readonly columns: readonly Admittances[];
  /** The inverse of D - B'X, row by row. */
  private readonly inverse: Admittances;

  private constructor(
    cores: readonly (readonly Winding[])[],
    y: Admittances,
    live: readonly number[],
    columns: readonly Admittances[],
    inverse: Admittances,
  ) {
    this.cores = cores;
    this.y = y;
    this.live = live;
    this.columns = columns;
    this.inverse = inverse;
  }

  /** Undefined where no winding of any core conducts as built, or at dc. */
  static of(
    circuit: Circuit,
    factor: Factor,
    y: Admittances,
    magnetising: Admittances,
    asBuilt: (branch: number) => boolean,
  ): Coupling | undefined {
    const cores = circuit.transformers.map(({ windings }) =>
      windings.filter(asBuilt).map((branch) => ({ branch, turns: circuit.branches[branch]!.winding!.turns })),
    );
    // A lone winding is a choke: its core still sets what it draws.
    const live = [...cores.keys()].filter(
      (core) => cores[core]!.length > 0 && Number.isFinite(magnetising.im[core]!),
    );
    if (live.length === 0) return undefined;
    const columns = live.map((core) => columnOf(factor, y, cores[core]!));
    const system = live.map((row) =>
      live.map((column, index) => entryOf(factor, y, magnetising, cores, row, column, columns[index]!)),
    );
    return new Coupling(cores, y, live, columns, inverseOf(system));
  }

  /** In place: node volts without flux to node volts with it. */
  apply(from: Int32Array, to: Int32Array, re: Float64Array, im: Float64Array): void {
    const drive = this.live.map((core) => this.ampereTurns(core, from, to, re, im));
    for (const [index, { re: xRe, im: xIm }] of this.columns.entries()) {
      let [fRe, fIm] = [0, 0];
      for (const [k, each] of drive.entries()) {
        const at = index * this.live.length + k;
        const [a, b] = [this.inverse.re[at]!, this.inverse.im[at]!];
        fRe += a * each.re - b * each.im;
        fIm += a * each.im + b * each.re;
      }
      for (let node = 0; node < re.length; node += 1) {
        re[node]! += fRe * xRe[node]! - fIm * xIm[node]!;
        im[node]! += fRe * xIm[node]! + fIm * xRe[node]!;
      }
    }
  }

  /**
   * What flux adds to the impedance between two nodes. As Y is symmetric, B'Y^-1 is X': with x = X'(e_a - e_b), x'(D - B'X)^-1 x.
   */
  between(a: number, b: number): Complex {
    const across = this.columns.map((column) => difference(column, a, b));
    let sum: Complex = { re: 0, im: 0 };
    for (const [row, left] of across.entries()) {
      for (const [column, right] of across.entries()) {
        const at = row * this.live.length + column;
        const each = { re: this.inverse.re[at]!, im: this.inverse.im[at]! };
        sum = add(sum, multiply(left, multiply(each, right)));
      }
    }
    return sum;
  }

  /** B'v of one core, amps. */
  private ampereTurns(
    core: number,
    from: Int32Array,
    to: Int32Array,
    re: Float64Array,
    im: Float64Array,
  ): Complex {
    let [sumRe, sumIm] = [0, 0];
    for (const { branch, turns } of this.cores[core]!) {
      const vRe = re[from[branch]!]! - re[to[branch]!]!;
      const vIm = im[from[branch]!]! - im[to[branch]!]!;
      const [yRe, yIm] = [this.y.re[branch]!, this.y.im[branch]!];
      sumRe += turns * (yRe * vRe - yIm * vIm);
      sumIm += turns * (yRe * vIm + yIm * vRe);
    }
    return { re: sumRe, im: sumIm };
  }
}

/**
 * The flux of a core, in units of the rated one, from the volts at its windings alone: F = B'v / d. A winding's EMF is
 * -n_k F. Undefined where the core couples nothing.
 */
export function fluxOf(
  plan: Plan,
  frequency: number,
  core: number,
  conducts: readonly Conduct[],
  volts: (branch: number) => Complex,
): Complex | undefined {
  const { circuit, magnetising, admittances } = plan;
  const own = magnetising[frequency]!;
  if (!Number.isFinite(own.im[core]!)) return undefined;
  const { re, im } = admittances[frequency]!;
  let drive: Complex = { re: 0, im: 0 };
  let draws: Complex = { re: own.re[core]!, im: own.im[core]! };
  for (const branch of circuit.transformers[core]!.windings) {
    if (conducts[branch] !== 'own') continue;
    const { turns } = circuit.branches[branch]!.winding!;
    const y = { re: turns * re[branch]!, im: turns * im[branch]! };
    drive = add(drive, multiply(y, volts(branch)));
    draws = add(draws, { re: turns * y.re, im: turns * y.im });
  }
  return divide(drive, draws);
}

/** X: volts of every node with one unit of flux in a core and no other source. */
function columnOf(factor: Factor, y: Admittances, windings: readonly Winding[]): Admittances {
  const { branchCount, nodeCount } = factor.structure;
  const emf = { re: new Float64Array(branchCount), im: new Float64Array(branchCount) };
  for (const { branch, turns } of windings) emf.re[branch] = -turns;
  const column = { re: new Float64Array(nodeCount), im: new Float64Array(nodeCount) };
  solveSources(factor, y.re, y.im, emf.re, emf.im, column.re, column.im);
  return column;
}

/** Ampere-turns that a core's windings draw for one unit of flux in another, and its own magnetising current. */
function entryOf(
  factor: Factor,
  y: Admittances,
  magnetising: Admittances,
  cores: readonly (readonly Winding[])[],
  row: number,
  column: number,
  x: Admittances,
): Complex {
  const { from, to } = factor.structure;
  let [re, im] = row === column ? [magnetising.re[row]!, magnetising.im[row]!] : [0, 0];
  for (const { branch, turns } of cores[row]!) {
    const own = row === column ? turns : 0;
    const vRe = own - (x.re[from[branch]!]! - x.re[to[branch]!]!);
    const vIm = -(x.im[from[branch]!]! - x.im[to[branch]!]!);
    re += turns * (y.re[branch]! * vRe - y.im[branch]! * vIm);
    im += turns * (y.re[branch]! * vIm + y.im[branch]! * vRe);
  }
  return { re, im };
}

/** Gauss-Jordan without exchanging rows: the diagonal holds each core's own magnetising current and more. */
function inverseOf(system: readonly (readonly Complex[])[]): Admittances {
  const n = system.length;
  const re = Float64Array.from(system.flat(), (each) => each.re);
  const im = Float64Array.from(system.flat(), (each) => each.im);
  const scale = (at: number, byRe: number, byIm: number) => {
    const kept = re[at]!;
    re[at] = kept * byRe - im[at]! * byIm;
    im[at] = kept * byIm + im[at]! * byRe;
  };
  for (let k = 0; k < n; k += 1) {
    const pivot = k * n + k;
    const square = re[pivot]! ** 2 + im[pivot]! ** 2;
    const [pRe, pIm] = [re[pivot]! / square, -im[pivot]! / square];
    re[pivot] = 1;
    im[pivot] = 0;
    for (let j = 0; j < n; j += 1) scale(k * n + j, pRe, pIm);
    for (let i = 0; i < n; i += 1) {
      if (i === k) continue;
      const at = i * n + k;
      const [lRe, lIm] = [re[at]!, im[at]!];
      re[at] = 0;
      im[at] = 0;
      for (let j = 0; j < n; j += 1) {
        const above = k * n + j;
        re[i * n + j]! -= lRe * re[above]! - lIm * im[above]!;
        im[i * n + j]! -= lRe * im[above]! + lIm * re[above]!;
      }
    }
  }
  return { re, im };
}
