import { copyParts, type Links, mostLinks, newPairParts, type PairParts } from './pair-parts.js';
import type { ReadingSpace } from './space.js';

/** Changes of one branch each that can be held at once. */
export const mostStrokes = 12;

/**
 * Changes of admittance, one after the other. With z the impedance across the branch as the strokes before it leave the
 * network, v the volts there with its own EMF, and t its transfer to a pair p:
 *
 *   k = dy / (1 + dy z)      v_p -= t k v      z_p -= t k t
 */
export class Strokes {
  count = 0;
  /** Transfers from the pair at hand to strokes, each as the strokes before it leave the network. */
  readonly t: Float64Array = new Float64Array(2 * mostStrokes);
  /** What `lessVolts` and `lessOhms` leave of volts and ohms. */
  re = 0;
  im = 0;
  private readonly links: Links;
  private readonly parts: PairParts[] = [];
  /** By stroke: its frequency, its k, and its amps k v. */
  readonly hertz: Int8Array = new Int8Array(mostStrokes);
  readonly k: Float64Array = new Float64Array(2 * mostStrokes);
  readonly w: Float64Array = new Float64Array(2 * mostStrokes);
  /** By stroke and earlier stroke: the transfer between them times the earlier one's k. */
  private readonly l = new Float64Array(2 * mostStrokes * mostStrokes);

  constructor(links: Links) {
    this.links = links;
  }

  take(other: Strokes): void {
    this.count = other.count;
    for (let s = 0; s < this.count; s += 1) {
      copyParts(this.partsOf(s), other.parts[s]!, this.links.count);
      this.hertz[s] = other.hertz[s]!;
      for (let q = 0; q < 2 * s; q += 1) this.l[2 * s * mostStrokes + q] = other.l[2 * s * mostStrokes + q]!;
      for (let part = 2 * s; part < 2 * s + 2; part += 1) {
        this.k[part] = other.k[part]!;
        this.w[part] = other.w[part]!;
      }
    }
  }

  /** Positions of a stroke's ends. */
  ends(s: number): readonly [a: number, b: number] {
    const { at } = this.parts[s]!;
    return [at[0]!, at[1]!];
  }

  /** Strokes before a link lie on one side of it. */
  partAt(link: number): void {
    for (let s = 0; s < this.count; s += 1) this.parts[s]!.through[link] = 0;
  }

  /** One more, on the pair at hand, whose transfers were told: dy, its pivot 1 + dy z, and the volts across it. */
  add(
    frequency: number,
    dyRe: number,
    dyIm: number,
    pRe: number,
    pIm: number,
    vRe: number,
    vIm: number,
  ): void {
    const s = this.count;
    copyParts(this.partsOf(s), this.links.pair, mostLinks);
    this.hertz[s] = frequency;
    for (let q = 0; q < s; q += 1) {
      const tRe = this.t[2 * q]!;
      const tIm = this.t[2 * q + 1]!;
      const kRe = this.k[2 * q]!;
      const kIm = this.k[2 * q + 1]!;
      this.l[2 * (s * mostStrokes + q)] = tRe * kRe - tIm * kIm;
      this.l[2 * (s * mostStrokes + q) + 1] = tRe * kIm + tIm * kRe;
    }
    const square = pRe * pRe + pIm * pIm;
    const kRe = (dyRe * pRe + dyIm * pIm) / square;
    const kIm = (dyIm * pRe - dyRe * pIm) / square;
    this.k[2 * s] = kRe;
    this.k[2 * s + 1] = kIm;
    this.w[2 * s] = kRe * vRe - kIm * vIm;
    this.w[2 * s + 1] = kRe * vIm + kIm * vRe;
    this.count = s + 1;
  }

  /** Transfers to the pair at hand. */
  tell(space: ReadingSpace, frequency: number): void {
    const { links } = this;
    for (let q = 0; q < this.count; q += 1) {
      const there = this.hertz[q] === frequency;
      if (there) links.transfer(space, frequency, this.parts[q]!, links.pair);
      this.lessEarlier(q, there ? links.re : 0, there ? links.im : 0);
    }
  }

  /** The same for a pair of the space that leads across no link: one column tells of it all. */
  tellFromColumn(space: ReadingSpace, index: number, frequency: number): void {
    if (this.count === 0) return;
    const column = space.column(index);
    for (let q = 0; q < this.count; q += 1) {
      let re = 0;
      let im = 0;
      if (this.hertz[q] === frequency) {
        const { count, at, sign } = this.parts[q]!;
        for (let e = 0; e < count; e += 1) {
          re += sign[e]! * column.re[at[e]!]!;
          im += sign[e]! * column.im[at[e]!]!;
        }
      }
      this.lessEarlier(q, re, im);
    }
  }

  /** What strokes leave of volts across the pair whose transfers were told. */
  lessVolts(ofRe: number, ofIm: number): void {
    let re = ofRe;
    let im = ofIm;
    for (let q = 0; q < this.count; q += 1) {
      const tRe = this.t[2 * q]!;
      const tIm = this.t[2 * q + 1]!;
      const wRe = this.w[2 * q]!;
      const wIm = this.w[2 * q + 1]!;
      re -= tRe * wRe - tIm * wIm;
      im -= tRe * wIm + tIm * wRe;
    }
    this.re = re;
    this.im = im;
  }

  /** The same of a transfer impedance to the pair whose transfers to strokes are `to`. */
  lessOhms(ofRe: number, ofIm: number, to: Float64Array): void {
    let re = ofRe;
    let im = ofIm;
    for (let q = 0; q < this.count; q += 1) {
      const tRe = this.t[2 * q]!;
      const tIm = this.t[2 * q + 1]!;
      const kRe = this.k[2 * q]!;
      const kIm = this.k[2 * q + 1]!;
      const byRe = tRe * kRe - tIm * kIm;
      const byIm = tRe * kIm + tIm * kRe;
      re -= byRe * to[2 * q]! - byIm * to[2 * q + 1]!;
      im -= byRe * to[2 * q + 1]! + byIm * to[2 * q]!;
    }
    this.re = re;
    this.im = im;
  }

  private lessEarlier(q: number, ofRe: number, ofIm: number): void {
    let re = ofRe;
    let im = ofIm;
    for (let r = 0; r < q; r += 1) {
      const at = 2 * (q * mostStrokes + r);
      const tRe = this.t[2 * r]!;
      const tIm = this.t[2 * r + 1]!;
      re -= tRe * this.l[at]! - tIm * this.l[at + 1]!;
      im -= tRe * this.l[at + 1]! + tIm * this.l[at]!;
    }
    this.t[2 * q] = re;
    this.t[2 * q + 1] = im;
  }

  private partsOf(s: number): PairParts {
    const kept = this.parts[s] ?? newPairParts();
    this.parts[s] = kept;
    return kept;
  }
}
