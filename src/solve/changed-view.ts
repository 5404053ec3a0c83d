import { mostUnknowns, newSmallSystem, solveSmall } from './kernel/small-system.js';
import type { OperatingPoint } from './point.js';
import { add, type Complex, difference, multiply, type PointView, subtract, type View } from './view.js';

/** One admittance taken from, or put into, a factored network: a branch that opens, closes, changes or moves. */
export interface Stroke {
  readonly from: number;
  readonly to: number;
  /** Change of admittance per frequency, siemens. */
  readonly dy: readonly Complex[];
  /** EMF of the branch per frequency, volts; zero but for a source leg. */
  readonly emf: readonly Complex[];
}

/**
 * Least determinant of I + D A'ZA, as `solveSmall` scales it, that is trusted: volts are off by about 5e-14 over it
 * (measured on random networks), so a smaller one has lost the digits that would tell right from wrong.
 */
const greyZone = 1e-7;

/**
 * A factored network with a few admittances changed, without factoring again. With A the columns e_from - e_to of
 * the strokes, D their dy, Z = Y^-1, e their EMFs:
 *
 *   K = (I + D A'ZA)^-1 D        v' = v - ZA K (A'v + e)        Z' = Z - ZA K A'Z
 *
 * Every pair that is asked for must lie in one island, and the strokes must leave the islands as they were.
 */
export class ChangedView implements View {
  readonly point: OperatingPoint;
  private readonly base: PointView;
  private readonly strokes: readonly Stroke[];
  /** Per frequency: K by rows, and w = K (A'v + e). */
  private readonly k: readonly (readonly (readonly Complex[])[])[];
  private readonly w: readonly (readonly Complex[])[];

  private constructor(
    base: PointView,
    point: OperatingPoint,
    strokes: readonly Stroke[],
    k: readonly (readonly (readonly Complex[])[])[],
  ) {
    this.base = base;
    this.point = point;
    this.strokes = strokes;
    this.k = k;
    this.w = k.map((rows, frequency) => {
      const drive = strokes.map(({ from, to, emf }) => add(base.volts(frequency, from, to), emf[frequency]!));
      return rows.map((row) =>
        row.reduce((sum, each, index) => add(sum, multiply(each, drive[index]!)), zero),
      );
    });
  }

  /**
   * The network of `point`, seen from `base`; undefined where only a new factor gives an answer to trust: with too many
   * strokes, one between islands, a system all but singular, or a base near resonance, which is known by refinement alone.
   */
  static of(base: PointView, point: OperatingPoint, strokes: readonly Stroke[]): ChangedView | undefined {
    if (strokes.length > mostUnknowns) return undefined;
    if (strokes.some(({ from, to }) => base.island(from) !== base.island(to))) return undefined;
    if (base.point.phasors.some(({ factor }) => factor.delicate)) return undefined;
    const k: (readonly (readonly Complex[])[])[] = [];
    for (let frequency = 0; frequency < point.phasors.length; frequency += 1) {
      const rows = compensation(base, strokes, frequency);
      if (rows === undefined) return undefined;
      k.push(rows);
    }
    return new ChangedView(base, point, strokes, k);
  }

  get outputs(): readonly boolean[] {
    return this.point.outputs;
  }

  ends(branch: number): readonly [from: number, to: number] {
    const moved = this.point.overlay.moved.get(branch);
    return moved === undefined ? this.base.ends(branch) : [moved.from, moved.to];
  }

  admittance(frequency: number, branch: number): Complex {
    if (this.point.present[branch] !== 1) return zero;
    const ohms = this.point.overlay.branches.get(branch);
    if (typeof ohms === 'number') return { re: 1 / ohms, im: 0 };
    const { re, im } = this.point.plan.admittances[frequency]!;
    return { re: re[branch]!, im: im[branch]! };
  }

  island(node: number): number {
    return node < 0 ? 0 : this.point.islands[node]!;
  }

  isDriven(island: number): boolean {
    return this.point.driven[island] === true;
  }

  volts(frequency: number, a: number, b: number): Complex {
    const w = this.w[frequency]!;
    return this.strokes.reduce(
      (sum, { from, to }, index) =>
        subtract(sum, multiply(this.base.transfer(frequency, from, to, a, b), w[index]!)),
      this.base.volts(frequency, a, b),
    );
  }

  transfer(frequency: number, a: number, b: number, c: number, d: number): Complex {
    const left = this.strokes.map(({ from, to }) => this.base.transfer(frequency, from, to, a, b));
    const right = this.strokes.map(({ from, to }) => this.base.transfer(frequency, from, to, c, d));
    let sum = this.base.transfer(frequency, a, b, c, d);
    for (const [i, row] of this.k[frequency]!.entries()) {
      for (const [j, each] of row.entries())
        sum = subtract(sum, multiply(left[i]!, multiply(each, right[j]!)));
    }
    return sum;
  }
}

const zero: Complex = { re: 0, im: 0 };

/** Work space; used within one call only. */
const system = newSmallSystem();

/** K by rows, one column after another; undefined when the matrix is all but singular. */
function compensation(
  base: PointView,
  strokes: readonly Stroke[],
  frequency: number,
): Complex[][] | undefined {
  const count = strokes.length;
  const rows: Complex[][] = strokes.map(() => []);
  const columns = strokes.map(({ from, to }) => base.column(frequency, from, to));
  for (let column = 0; column < count; column += 1) {
    system.size = count;
    for (const [i, { dy }] of strokes.entries()) {
      for (const [j, { from, to }] of strokes.entries()) {
        const each = multiply(dy[frequency]!, difference(columns[i]!, from, to));
        system.aRe[i * mostUnknowns + j] = each.re + (i === j ? 1 : 0);
        system.aIm[i * mostUnknowns + j] = each.im;
      }
      const unit = i === column ? dy[frequency]! : zero;
      system.xRe[i] = unit.re;
      system.xIm[i] = unit.im;
    }
    if (!(solveSmall(system) >= greyZone)) return undefined;
    for (const [i, row] of rows.entries()) row.push({ re: system.xRe[i]!, im: system.xIm[i]! });
  }
  return rows;
}
