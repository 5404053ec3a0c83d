import { labelIslands } from './islands.js';
import { drivenIslands, type OperatingPoint } from './point.js';

/** Volts, amps or ohms as a phasor. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

/**
 * What can be asked of a solved network, broken or sound: open-circuit volts between two nodes, and the transfer
 * impedance from one pair to another (volts across c-d for one amp driven in at a and out at b). Nodes of
 * different islands have no voltage between them.
 */
export interface View {
  readonly point: OperatingPoint;
  readonly outputs: readonly boolean[];
  /** Branch admittance is as in `point`, but for this branch. */
  readonly changed: { readonly branch: number; readonly conducts: boolean } | undefined;
  island(node: number): number;
  isDriven(island: number): boolean;
  volts(frequency: number, a: number, b: number): Complex;
  transfer(frequency: number, a: number, b: number, c: number, d: number): Complex;
}

interface Column {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** A network that was factored; columns of its inverse are solved for on demand and kept. */
export class PointView implements View {
  readonly point: OperatingPoint;
  readonly changed = undefined;
  private readonly columns: Map<number, Column>;

  constructor(point: OperatingPoint, columns: Map<number, Column> = new Map()) {
    this.point = point;
    this.columns = columns;
  }

  /** The same network seen with a fault that changes no branch in this state (an idle load, an output already off). */
  laidOver(point: OperatingPoint): PointView {
    return new PointView(point, this.columns);
  }

  get outputs(): readonly boolean[] {
    return this.point.outputs;
  }

  island(node: number): number {
    return node < 0 ? 0 : this.point.islands[node]!;
  }

  isDriven(island: number): boolean {
    return this.point.driven[island] === true;
  }

  volts(frequency: number, a: number, b: number): Complex {
    return difference(this.point.phasors[frequency]!, a, b);
  }

  transfer(frequency: number, a: number, b: number, c: number, d: number): Complex {
    return difference(this.column(frequency, a, b), c, d);
  }

  /** Y^-1 (e_a - e_b). */
  column(frequency: number, a: number, b: number): Column {
    const count = this.point.structure.nodeCount + 1;
    const key = (frequency * count + a + 1) * count + b + 1;
    const kept = this.columns.get(key);
    if (kept !== undefined) return kept;
    const column = { re: new Float64Array(count - 1), im: new Float64Array(count - 1) };
    if (a >= 0) column.re[a] = 1;
    if (b >= 0) column.re[b] = -1;
    this.point.phasors[frequency]!.factor.solve(column.re, column.im);
    this.columns.set(key, column);
    return column;
  }
}

/** Below this a branch taken away was a bridge; up to `greyZone` the update is not trusted (performance.md §3). */
const bridgeZone = 1e-10;
const greyZone = 1e-7;

/**
 * One branch's admittance changed by dy, without factoring again. With z = Y^-1 (e_from - e_to), zz its own
 * impedance and u = v_from - v_to + e its drive: k = dy / (1 + dy zz), v' = v - z k u, z'_pq = z_pq - k z_p z_q.
 */
export class ChangedView implements View {
  readonly point: OperatingPoint;
  readonly outputs: readonly boolean[];
  readonly changed: { readonly branch: number; readonly conducts: boolean };
  private readonly base: PointView;
  private readonly from: number;
  private readonly to: number;
  private readonly factors: readonly { readonly k: Complex; readonly ku: Complex }[];

  private constructor(
    base: PointView,
    point: OperatingPoint,
    outputs: readonly boolean[],
    branch: number,
    conducts: boolean,
    factors: readonly { readonly k: Complex; readonly ku: Complex }[],
  ) {
    this.base = base;
    this.point = point;
    this.outputs = outputs;
    this.changed = { branch, conducts };
    this.from = base.point.structure.from[branch]!;
    this.to = base.point.structure.to[branch]!;
    this.factors = factors;
  }

  /**
   * The view with the branch at `siemens` per frequency (null: taken away); undefined where only a new factor
   * gives a trustworthy answer.
   */
  static of(
    base: PointView,
    overlaid: OperatingPoint,
    branch: number,
    siemens: readonly Complex[] | null,
    isBridge: boolean,
  ): ChangedView | undefined {
    const { structure, phasors } = base.point;
    const from = structure.from[branch]!;
    const to = structure.to[branch]!;
    if (siemens === null && isBridge) {
      const none = phasors.map(() => ({ k: zero, ku: zero }));
      return new ChangedView(base, cutPoint(overlaid, branch), overlaid.outputs, branch, false, none);
    }
    if (base.island(from) !== base.island(to)) return undefined;
    const factors: { k: Complex; ku: Complex }[] = [];
    for (const [index, phasor] of phasors.entries()) {
      const own = { re: phasor.y.re[branch]!, im: phasor.y.im[branch]! };
      const wanted = siemens === null ? zero : siemens[index]!;
      const dy = { re: wanted.re - own.re, im: wanted.im - own.im };
      const column = base.column(index, from, to);
      const zz = difference(column, from, to);
      const denominator = add({ re: 1, im: 0 }, multiply(dy, zz));
      const size = Math.hypot(denominator.re, denominator.im);
      if (!(size >= (siemens === null ? greyZone : bridgeZone))) return undefined;
      const k = divide(dy, denominator);
      const drive = difference(phasor, from, to);
      const u = { re: drive.re + phasor.emf.re[branch]!, im: drive.im + phasor.emf.im[branch]! };
      factors.push({ k, ku: multiply(k, u) });
    }
    return new ChangedView(base, overlaid, overlaid.outputs, branch, siemens !== null, factors);
  }

  island(node: number): number {
    return node < 0 ? 0 : this.point.islands[node]!;
  }

  isDriven(island: number): boolean {
    return this.point.driven[island] === true;
  }

  volts(frequency: number, a: number, b: number): Complex {
    const { ku } = this.factors[frequency]!;
    const open = this.base.volts(frequency, a, b);
    if (ku === zero) return open;
    return subtract(open, multiply(ku, this.own(frequency, a, b)));
  }

  transfer(frequency: number, a: number, b: number, c: number, d: number): Complex {
    const { k } = this.factors[frequency]!;
    const open = this.base.transfer(frequency, a, b, c, d);
    if (k === zero) return open;
    return subtract(open, multiply(k, multiply(this.own(frequency, a, b), this.own(frequency, c, d))));
  }

  /** Transfer impedance between a pair and the changed branch. */
  private own(frequency: number, a: number, b: number): Complex {
    return difference(this.base.column(frequency, this.from, this.to), a, b);
  }
}

/** A bridge carries no current: taking it away leaves every voltage as it was and parts one island in two. */
function cutPoint(point: OperatingPoint, branch: number): OperatingPoint {
  const present = point.present.slice();
  present[branch] = 0;
  const islands = new Int32Array(point.islands.length);
  const count = labelIslands(point.structure, present, islands);
  return { ...point, present, islands, driven: drivenIslands(point.plan.circuit, islands, count, present) };
}

/** RMS over all frequencies; undefined between islands. */
export function rmsVolts(view: View, a: number, b: number): number | undefined {
  if (view.island(a) !== view.island(b)) return undefined;
  let square = 0;
  for (let frequency = 0; frequency < view.point.phasors.length; frequency += 1) {
    const { re, im } = view.volts(frequency, a, b);
    square += re * re + im * im;
  }
  return Math.sqrt(square);
}

/** Whether a branch carries current at all in a view: present, and not the one that was taken away. */
export function isPresent(view: View, branch: number): boolean {
  if (view.changed?.branch === branch) return view.changed.conducts;
  return view.point.present[branch] === 1;
}

const zero: Complex = { re: 0, im: 0 };

function difference(
  vector: { readonly re: Float64Array; readonly im: Float64Array },
  a: number,
  b: number,
): Complex {
  return {
    re: (a < 0 ? 0 : vector.re[a]!) - (b < 0 ? 0 : vector.re[b]!),
    im: (a < 0 ? 0 : vector.im[a]!) - (b < 0 ? 0 : vector.im[b]!),
  };
}

export function add(a: Complex, b: Complex): Complex {
  return { re: a.re + b.re, im: a.im + b.im };
}

export function subtract(a: Complex, b: Complex): Complex {
  return { re: a.re - b.re, im: a.im - b.im };
}

export function multiply(a: Complex, b: Complex): Complex {
  return { re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re };
}

export function divide(a: Complex, b: Complex): Complex {
  const square = b.re * b.re + b.im * b.im;
  return { re: (a.re * b.re + a.im * b.im) / square, im: (a.im * b.re - a.re * b.im) / square };
}
