import type { Ohms } from '../circuit/circuit.js';
import { add, type Complex, multiply, subtract } from './complex.js';
import { type Interval, type Intervals, intersect, quadraticAtMostZero } from './interval.js';
import { isPresent, type View } from './view.js';

/**
 * A volt, an amp or an ohm of a network in which one value x (the ohms of one branch, or the share of its volts that
 * a supply gives) is free and all else stays: (a + b x) / (c + d x), the bilinear form of any linear network.
 */
export interface ValueCurve {
  readonly a: Complex;
  readonly b: Complex;
  readonly c: Complex;
  readonly d: Complex;
}

const zero: Complex = { re: 0, im: 0 };
const one: Complex = { re: 1, im: 0 };

function scaled({ re, im }: Complex, by: number): Complex {
  return { re: re * by, im: im * by };
}

/** What of a network hangs on one free value, each a curve of it. */
export interface Curves {
  /** Phasor from `red` to `black` with a meter of `inputOhms` on them. */
  readonly volts: (frequency: number, red: number, black: number, inputOhms: Ohms) => ValueCurve;
  /** Through a branch, from its first node to its second. */
  readonly amps: (frequency: number, branch: number) => ValueCurve;
  /** Between two places of a dead network. */
  readonly ohms: (red: number, black: number) => ValueCurve;
}

/** The ohms of one branch free, its reactance as it stands, in the network of a view. */
export function curvesOfOhms(view: View, branch: number): Curves {
  const kept = new Map<number, FreeBranch>();
  const free = (frequency: number): FreeBranch => {
    const known = kept.get(frequency) ?? freeBranch(view, frequency, branch);
    kept.set(frequency, known);
    return known;
  };
  return {
    volts: (frequency, red, black, inputOhms) => voltsCurve(view, free(frequency), red, black, inputOhms),
    amps: (frequency, metered) => ampsCurve(view, free(frequency), metered),
    ohms: (red, black) => ohmsCurve(view, free(0), red, black),
  };
}

/** The share of its volts that a supply gives free: everything is a straight line through two values of it. */
export function curvesOfShare(first: View, second: View, x0: number, x1: number): Curves {
  const line = (at: (view: View) => ValueCurve) =>
    lineThrough(x0, valueAt(at(first), 0), x1, valueAt(at(second), 0));
  return {
    volts: (frequency, red, black, inputOhms) =>
      line((view) => voltsCurve(view, fixed(frequency), red, black, inputOhms)),
    amps: (frequency, metered) => line((view) => ampsCurve(view, fixed(frequency), metered)),
    ohms: (red, black) => ohmsCurve(first, fixed(0), red, black),
  };
}

/**
 * A branch whose ohms are free. With z = R + jX, y its admittance now, Z the impedance across it and g = 1 - y Z, what
 * its change of admittance does elsewhere is multiplied by (1 - y z) / (Z + g z).
 */
interface FreeBranch {
  /** Absent where nothing hangs on it: it lets nothing through at this frequency. */
  readonly branch?: number;
  readonly frequency: number;
  readonly y: Complex;
  readonly z: Complex;
  readonly g: Complex;
  readonly reactance: number;
  /** Volts that drive current through it, its own EMF included. */
  readonly drive: Complex;
}

function fixed(frequency: number): FreeBranch {
  return { frequency, y: zero, z: one, g: zero, reactance: 0, drive: zero };
}

/** Rounding leaves this of a g that is nothing: the branch alone joins two parts of the network. */
const bridge = 1e-10;

function freeBranch(view: View, frequency: number, branch: number): FreeBranch {
  const y = view.admittance(frequency, branch);
  if (!isPresent(view, branch) || (y.re === 0 && y.im === 0)) return fixed(frequency);
  const [from, to] = view.ends(branch);
  const z = view.transfer(frequency, from, to, from, to);
  const yz = multiply(y, z);
  const left = { re: 1 - yz.re, im: -yz.im };
  const g = Math.hypot(left.re, left.im) < bridge ? zero : left;
  const reactance = -y.im / (y.re * y.re + y.im * y.im);
  const drive = add(view.volts(frequency, from, to), view.emf(frequency, branch));
  return { branch, frequency, y, z, g, reactance, drive };
}

/** What (p + q z) / (r + s z), z = R + jX, is in R. */
function inOhms({ reactance }: FreeBranch, p: Complex, q: Complex, r: Complex, s: Complex): ValueCurve {
  const x = { re: 0, im: reactance };
  return { a: add(p, multiply(q, x)), b: q, c: add(r, multiply(s, x)), d: s };
}

/** The impedance by which amps in the free branch move volts between two places. */
function mutualOf(view: View, { branch, frequency }: FreeBranch, red: number, black: number): Complex {
  return branch === undefined ? zero : view.transfer(frequency, ...view.ends(branch), red, black);
}

/**
 * With U and T the open volts and the inner impedance between the leads, M the mutual impedance, w the branch's drive:
 * (U (Z + g z) - M w (1 - y z)) Rm / ((Rm + T)(Z + g z) - M^2 (1 - y z)).
 */
function voltsCurve(view: View, free: FreeBranch, red: number, black: number, inputOhms: Ohms): ValueCurve {
  const { frequency, y, z, g, drive } = free;
  const open = view.volts(frequency, red, black);
  const inner = view.transfer(frequency, red, black, red, black);
  const mutual = mutualOf(view, free, red, black);
  const pushed = multiply(mutual, drive);
  // In units of the meter's own resistance, so that an ideal one is no special case.
  const square = scaled(multiply(mutual, mutual), 1 / inputOhms);
  const load = add(one, scaled(inner, 1 / inputOhms));
  return inOhms(
    free,
    subtract(multiply(open, z), pushed),
    add(multiply(open, g), multiply(pushed, y)),
    subtract(multiply(load, z), square),
    add(multiply(load, g), multiply(square, y)),
  );
}

function ampsCurve(view: View, free: FreeBranch, metered: number): ValueCurve {
  const { branch, frequency, z, g, drive } = free;
  if (metered === branch) return inOhms(free, drive, zero, z, g);
  const [from, to] = view.ends(metered);
  const { a, b, c, d } = voltsCurve(view, free, from, to, Number.POSITIVE_INFINITY);
  const y = view.admittance(frequency, metered);
  const emf = view.emf(frequency, metered);
  return { a: multiply(y, add(a, multiply(emf, c))), b: multiply(y, add(b, multiply(emf, d))), c, d };
}

function ohmsCurve(view: View, free: FreeBranch, red: number, black: number): ValueCurve {
  const { y, z, g } = free;
  const inner = view.transfer(0, red, black, red, black);
  const mutual = mutualOf(view, free, red, black);
  const square = multiply(mutual, mutual);
  return inOhms(
    free,
    subtract(multiply(inner, z), square),
    add(multiply(inner, g), multiply(square, y)),
    z,
    g,
  );
}

function lineThrough(x0: number, at0: Complex, x1: number, at1: Complex): ValueCurve {
  const b = scaled(subtract(at1, at0), 1 / (x1 - x0));
  return { a: subtract(at0, scaled(b, x0)), b, c: one, d: zero };
}

export function valueAt({ a, b, c, d }: ValueCurve, x: number): Complex {
  const above = x === Number.POSITIVE_INFINITY ? b : add(a, scaled(b, x));
  const below = x === Number.POSITIVE_INFINITY ? d : add(c, scaled(d, x));
  const square = below.re * below.re + below.im * below.im;
  return {
    re: (above.re * below.re + above.im * below.im) / square,
    im: (above.im * below.re - above.re * below.im) / square,
  };
}

/** The x from 0 on at which the size of a phasor is at most `most`: |a + b x|^2 <= most^2 |c + d x|^2. */
export function whereAtMost({ a, b, c, d }: ValueCurve, most: number): Intervals {
  if (most < 0) return [];
  if (most === Number.POSITIVE_INFINITY) return quadraticAtMostZero(0, 0, 0);
  const dot = (p: Complex, q: Complex) => p.re * q.re + p.im * q.im;
  const square = most * most;
  return quadraticAtMostZero(
    dot(b, b) - square * dot(d, d),
    2 * (dot(a, b) - square * dot(c, d)),
    dot(a, a) - square * dot(c, c),
  );
}

export function whereAtLeast(curve: ValueCurve, least: number): Intervals {
  if (least <= 0) return quadraticAtMostZero(0, 0, 0);
  // |N|^2 >= least^2 |D|^2 is |D|^2 <= |N|^2 / least^2.
  return whereAtMost({ a: curve.c, b: curve.d, c: curve.a, d: curve.b }, 1 / least);
}

/** The x at which a dc value, with its sign, is from `low` to `high`; every coefficient is real. */
export function whereBetween({ a, b, c, d }: ValueCurve, { low, high }: Interval): Intervals {
  // Multiplied by the square of the denominator, so that its sign does not matter: (N - k D) D.
  const below = (k: number, sign: 1 | -1) =>
    quadraticAtMostZero(
      sign * (b.re - k * d.re) * d.re,
      sign * ((a.re - k * c.re) * d.re + (b.re - k * d.re) * c.re),
      sign * (a.re - k * c.re) * c.re,
    );
  return intersect(below(high, 1), below(low, -1));
}
