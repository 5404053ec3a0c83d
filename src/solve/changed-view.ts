import { add, type Complex, difference, divide, multiply, subtract } from './complex.js';
import { fluxOf } from './coupling.js';
import { mostUnknowns, newSmallSystem, solveSmall } from './kernel/small-system.js';
import { admittanceOf } from './plan.js';
import type { OperatingPoint } from './point.js';
import { type Column, joinedIn, type PointView, type View } from './view.js';

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
 * Least pivot of I + D A'ZA, as `solveSmall` scales it, that is trusted: volts are off by about 5e-14 over it
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
  /** Per frequency: w = K (A'v + e), amps. */
  private readonly w: readonly (readonly Complex[])[];

  private constructor(
    base: PointView,
    point: OperatingPoint,
    strokes: readonly Stroke[],
    w: readonly (readonly Complex[])[],
  ) {
    this.base = base;
    this.point = point;
    this.strokes = strokes;
    this.w = w;
  }

  /**
   * The network of `point`, seen from `base`; undefined where only a new factor gives an answer to trust: with too many
   * strokes, one between islands, a system all but singular, or a base near resonance, which is known by refinement alone.
   */
  static of(base: PointView, point: OperatingPoint, strokes: readonly Stroke[]): ChangedView | undefined {
    if (strokes.length > mostUnknowns) return undefined;
    if (strokes.some(({ from, to }) => base.island(from) !== base.island(to))) return undefined;
    if (base.point.phasors.some(({ factor }) => factor.delicate)) return undefined;
    const w: (readonly Complex[])[] = [];
    for (let frequency = 0; frequency < point.phasors.length; frequency += 1) {
      const drive = strokes.map(({ from, to, emf }) => add(base.volts(frequency, from, to), emf[frequency]!));
      const amps = compensate(base, strokes, frequency, drive);
      if (amps === undefined) return undefined;
      w.push(amps);
    }
    return new ChangedView(base, point, strokes, w);
  }

  get on(): readonly boolean[] {
    return this.point.on;
  }

  ends(branch: number): readonly [from: number, to: number] {
    const moved = this.point.overlay.moved.get(branch);
    return moved === undefined ? this.base.ends(branch) : [moved.from, moved.to];
  }

  admittance(frequency: number, branch: number): Complex {
    return admittanceOf(this.point.plan, frequency, branch, this.point.conducts[branch] ?? null);
  }

  island(node: number): number {
    return node < 0 ? 0 : this.point.islands[node]!;
  }

  isDriven(island: number): boolean {
    return this.point.driven[island] === true;
  }

  joined(frequency: number, a: number, b: number): boolean {
    return joinedIn(this.point, frequency, a, b);
  }

  volts(frequency: number, a: number, b: number): Complex {
    const w = this.w[frequency]!;
    return this.strokes.reduce(
      (sum, { from, to }, index) =>
        subtract(sum, multiply(this.base.transfer(frequency, from, to, a, b), w[index]!)),
      this.base.volts(frequency, a, b),
    );
  }

  emf(frequency: number, branch: number): Complex {
    const { plan, conducts } = this.point;
    const { winding } = plan.circuit.branches[branch]!;
    if (winding === undefined || conducts[branch] !== 'own') return this.base.emf(frequency, branch);
    const volts = (each: number) => this.volts(frequency, ...this.ends(each));
    const flux = fluxOf(plan, frequency, winding.transformer, conducts, volts) ?? { re: 0, im: 0 };
    return { re: -winding.turns * flux.re, im: -winding.turns * flux.im };
  }

  transfer(frequency: number, a: number, b: number, c: number, d: number): Complex {
    const amps = this.ampsAlong(frequency, c, d);
    return this.strokes.reduce(
      (sum, { from, to }, index) =>
        subtract(sum, multiply(this.base.transfer(frequency, from, to, a, b), amps[index]!)),
      this.base.transfer(frequency, a, b, c, d),
    );
  }

  ohms(frequency: number, a: number, b: number): Complex {
    const amps = this.ampsAlong(frequency, a, b);
    return this.strokes.reduce(
      (left, { from, to }, index) =>
        subtract(left, multiply(this.base.transfer(frequency, from, to, a, b), amps[index]!)),
      this.base.ohms(frequency, a, b),
    );
  }

  column(frequency: number, a: number, b: number): Column {
    const { base, strokes } = this;
    return lessStrokes(
      base.column(frequency, a, b),
      base,
      frequency,
      strokes,
      this.ampsAlong(frequency, a, b),
    );
  }

  nodeVolts(frequency: number): Column {
    const { base, strokes, w } = this;
    return lessStrokes(base.nodeVolts(frequency), base, frequency, strokes, w[frequency]!);
  }

  /** What the strokes draw for one amp through a pair. */
  private ampsAlong(frequency: number, a: number, b: number): readonly Complex[] {
    const along = this.strokes.map(({ from, to }) => this.base.transfer(frequency, from, to, a, b));
    const amps = compensate(this.base, this.strokes, frequency, along);
    // `of` has found the system sound, and it is the same one here.
    if (amps === undefined) throw new Error('a network lost its compensation');
    return amps;
  }
}

/** Takes so many times the columns of strokes from the volts of every node. */
function lessStrokes(
  { re, im }: Column,
  base: PointView,
  frequency: number,
  strokes: readonly Stroke[],
  amps: readonly Complex[],
): Column {
  const nowRe = re.slice();
  const nowIm = im.slice();
  for (const [index, { from, to }] of strokes.entries()) {
    const { re: ownRe, im: ownIm } = base.column(frequency, from, to);
    const { re: byRe, im: byIm } = amps[index]!;
    for (let node = 0; node < nowRe.length; node += 1) {
      nowRe[node]! -= ownRe[node]! * byRe - ownIm[node]! * byIm;
      nowIm[node]! -= ownRe[node]! * byIm + ownIm[node]! * byRe;
    }
  }
  return { re: nowRe, im: nowIm };
}

/** Work space; used within one call only. */
const system = newSmallSystem();

/** K times a drive along the strokes; undefined when the matrix is all but singular. */
function compensate(
  base: PointView,
  strokes: readonly Stroke[],
  frequency: number,
  drive: readonly Complex[],
): Complex[] | undefined {
  const columns = strokes.map(({ from, to }) => base.column(frequency, from, to));
  const [only] = strokes;
  if (strokes.length === 1 && only !== undefined) {
    const dy = only.dy[frequency]!;
    const each = multiply(dy, difference(columns[0]!, only.from, only.to));
    const pivot = { re: 1 + each.re, im: each.im };
    if (!(Math.hypot(pivot.re, pivot.im) >= greyZone)) return undefined;
    return [divide(multiply(dy, drive[0]!), pivot)];
  }
  system.size = strokes.length;
  for (const [i, { dy }] of strokes.entries()) {
    for (const [j, { from, to }] of strokes.entries()) {
      const each = multiply(dy[frequency]!, difference(columns[i]!, from, to));
      system.aRe[i * mostUnknowns + j] = each.re + (i === j ? 1 : 0);
      system.aIm[i * mostUnknowns + j] = each.im;
    }
    const right = multiply(dy[frequency]!, drive[i]!);
    system.xRe[i] = right.re;
    system.xIm[i] = right.im;
  }
  if (!(solveSmall(system) >= greyZone)) return undefined;
  return strokes.map((_, i) => ({ re: system.xRe[i]!, im: system.xIm[i]! }));
}
