import type { Branch, Ratio } from '../../circuit/circuit.js';
import type { Complex } from '../complex.js';
import type { Column, View } from '../view.js';

/** A part with a tolerance: its admittance as built, and by what that is multiplied at the ends of its tolerance. */
export interface Part {
  readonly branch: Branch;
  readonly y: Complex;
  readonly least: number;
  readonly most: number;
}

export interface Source {
  /** How far its volts may be from what was solved. */
  readonly spread: Ratio;
  /** EMF in the metered branch itself, for its current. */
  readonly emf: Complex;
}

/** One part that was set: volts of every port for one amp through it, just before, and its k. */
interface Setting {
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly kRe: number;
  readonly kIm: number;
}

/**
 * A network as seen from some pairs of nodes (ports): the volts u at each, from every supply, and the impedances z
 * between them. Port 0 is where the meter is; the others are the parts that have a tolerance. One part changed by dy
 *
 *   k = dy / (1 + dy z_ii)      u_j -= z_ji k u_i      z_jl -= z_ji k z_il
 *
 * leaves such a network again, so that any corner of the tolerances is reached part by part, without solving anew. Of
 * z only what a look needs is kept up to date, its row of port 0 and its diagonal; a part's column is worked out from
 * those set before it when it is set itself.
 */
export class Ports {
  readonly count: number;
  readonly parts: readonly Part[];
  readonly sources: readonly Source[];
  /** Volts, by source and then by port. */
  readonly uRe: readonly Float64Array[];
  readonly uIm: readonly Float64Array[];
  /** Ohms from port 0 to each port, and of each port by itself. */
  readonly rowRe: Float64Array;
  readonly rowIm: Float64Array;
  readonly ownRe: Float64Array;
  readonly ownIm: Float64Array;
  /** Siemens of each port's part as it is set; at port 0 of the metered branch, if it is one. */
  readonly yRe: Float64Array;
  readonly yIm: Float64Array;
  /** Volts of every port for one amp through each, with parts as built. */
  private readonly built: readonly Column[];
  private readonly settings: Setting[];
  /** What `compensate` found. */
  kRe = 0;
  kIm = 0;

  private constructor(from: Ports | undefined, made: Made) {
    const { built, parts, sources, uRe, uIm } = made;
    const count = built.length;
    this.count = count;
    this.built = built;
    this.parts = parts;
    this.sources = sources;
    this.uRe = uRe;
    this.uIm = uIm;
    const room = (kept: Float64Array | undefined) => kept?.slice() ?? new Float64Array(count);
    this.rowRe = room(from?.rowRe);
    this.rowIm = room(from?.rowIm);
    this.ownRe = room(from?.ownRe);
    this.ownIm = room(from?.ownIm);
    this.yRe = room(from?.yRe);
    this.yIm = room(from?.yIm);
    this.settings = from === undefined ? [] : [...from.settings];
  }

  /** Parts as built, seen from a meter on two nodes. `volts`: of every node, from each source. */
  static of(
    view: View,
    frequency: number,
    meter: readonly [number, number],
    parts: readonly Part[],
    sources: readonly Source[],
    volts: readonly Column[],
  ): Ports {
    const ends = Int32Array.from([meter, ...parts.map(({ branch }) => view.ends(branch.index))].flat());
    const across = (part: 're' | 'im') => volts.map((each) => differences(each[part], ends));
    const built = Array.from({ length: ends.length / 2 }, (_, port) => {
      const { re, im } = view.column(frequency, ends[2 * port]!, ends[2 * port + 1]!);
      return { re: differences(re, ends), im: differences(im, ends) };
    });
    const ports = new Ports(undefined, { built, parts, sources, uRe: across('re'), uIm: across('im') });
    for (const [index, { y }] of parts.entries()) {
      ports.yRe[index + 1] = y.re;
      ports.yIm[index + 1] = y.im;
    }
    ports.rowRe.set(built[0]!.re);
    ports.rowIm.set(built[0]!.im);
    for (const [port, { re, im }] of built.entries()) {
      ports.ownRe[port] = re[port]!;
      ports.ownIm[port] = im[port]!;
    }
    return ports;
  }

  copy(): Ports {
    const { built, parts, sources, uRe, uIm } = this;
    const copies = (all: readonly Float64Array[]) => all.map((each) => each.slice());
    return new Ports(this, { built, parts, sources, uRe: copies(uRe), uIm: copies(uIm) });
  }

  /** Gives a part this multiple of its nominal admittance. */
  set(port: number, multiple: number): void {
    const { uRe, uIm, rowRe, rowIm, ownRe, ownIm } = this;
    const setting = this.settingOf(port, multiple);
    const { re, im, kRe, kIm } = setting;
    for (let source = 0; source < uRe.length; source += 1)
      less(
        uRe[source]!,
        uIm[source]!,
        re,
        im,
        ...product(kRe, kIm, uRe[source]![port]!, uIm[source]![port]!),
      );
    less(rowRe, rowIm, re, im, ...product(kRe, kIm, re[0]!, im[0]!));
    for (let j = 0; j < re.length; j += 1) {
      const squareRe = re[j]! * re[j]! - im[j]! * im[j]!;
      const squareIm = 2 * re[j]! * im[j]!;
      ownRe[j]! -= squareRe * kRe - squareIm * kIm;
      ownIm[j]! -= squareRe * kIm + squareIm * kRe;
    }
    this.settings.push(setting);
    const { y } = this.parts[port - 1]!;
    this.yRe[port] = y.re * multiple;
    this.yIm[port] = y.im * multiple;
  }

  /** k of a part's change to a multiple of its nominal admittance. */
  compensate(port: number, multiple: number): void {
    const { y } = this.parts[port - 1]!;
    const dyRe = y.re * multiple - this.yRe[port]!;
    const dyIm = y.im * multiple - this.yIm[port]!;
    const ownRe = this.ownRe[port]!;
    const ownIm = this.ownIm[port]!;
    const re = 1 + dyRe * ownRe - dyIm * ownIm;
    const im = dyRe * ownIm + dyIm * ownRe;
    const square = re * re + im * im;
    this.kRe = (dyRe * re + dyIm * im) / square;
    this.kIm = (dyIm * re - dyRe * im) / square;
  }

  /** Whether nothing is out of phase: then volts have a sign, and may pass through 0 between two corners. */
  get isReal(): boolean {
    const { uRe, uIm, rowRe, rowIm, ownRe, ownIm, yRe, yIm } = this;
    return (
      uRe.every((re, source) => inPhase(re, uIm[source]!)) &&
      inPhase(rowRe, rowIm) &&
      inPhase(ownRe, ownIm) &&
      inPhase(yRe, yIm)
    );
  }

  private settingOf(port: number, multiple: number): Setting {
    const { built, settings } = this;
    const re = built[port]!.re.slice();
    const im = built[port]!.im.slice();
    for (let at = 0; at < settings.length; at += 1) {
      const each = settings[at]!;
      less(re, im, each.re, each.im, ...product(each.kRe, each.kIm, each.re[port]!, each.im[port]!));
    }
    this.compensate(port, multiple);
    return { re, im, kRe: this.kRe, kIm: this.kIm };
  }
}

interface Made {
  readonly built: readonly Column[];
  readonly parts: readonly Part[];
  readonly sources: readonly Source[];
  readonly uRe: readonly Float64Array[];
  readonly uIm: readonly Float64Array[];
}

function product(aRe: number, aIm: number, bRe: number, bIm: number): [re: number, im: number] {
  return [aRe * bRe - aIm * bIm, aRe * bIm + aIm * bRe];
}

/** Takes so many times one vector from another. */
function less(
  re: Float64Array,
  im: Float64Array,
  byRe: Float64Array,
  byIm: Float64Array,
  kRe: number,
  kIm: number,
): void {
  if (kRe === 0 && kIm === 0) return;
  for (let j = 0; j < re.length; j += 1) {
    re[j]! -= byRe[j]! * kRe - byIm[j]! * kIm;
    im[j]! -= byRe[j]! * kIm + byIm[j]! * kRe;
  }
}

/** Of volts by node, at the ends of each port. */
function differences(byNode: Float64Array, ends: Int32Array): Float64Array {
  const across = new Float64Array(ends.length / 2);
  for (let port = 0; port < across.length; port += 1) {
    const a = ends[2 * port]!;
    const b = ends[2 * port + 1]!;
    across[port] = (a < 0 ? 0 : byNode[a]!) - (b < 0 ? 0 : byNode[b]!);
  }
  return across;
}

function inPhase(re: Float64Array, im: Float64Array): boolean {
  return im.every((each, at) => Math.abs(each) <= 1e-12 * Math.abs(re[at]!) || Math.abs(each) < 1e-15);
}
