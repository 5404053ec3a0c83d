import type { ReadingSpace } from './space.js';

/** Joinings of islands that can be held at once. */
export const mostLinks = 6;
/** Ends of a pair, and two more for each link it leads across. */
const mostEnds = 2 + 2 * mostLinks;

/** A pair as pairs that lie on one side of every link: ends with their signs, and its amps through links. */
export interface PairParts {
  count: number;
  readonly at: Int32Array;
  readonly sign: Int8Array;
  readonly through: Int8Array;
}

export function newPairParts(): PairParts {
  return {
    count: 0,
    at: new Int32Array(mostEnds),
    sign: new Int8Array(mostEnds),
    through: new Int8Array(mostLinks),
  };
}

export function copyParts(to: PairParts, from: PairParts, links: number): void {
  to.count = from.count;
  for (let e = 0; e < from.count; e += 1) {
    to.at[e] = from.at[e]!;
    to.sign[e] = from.sign[e]!;
  }
  for (let link = 0; link < links; link += 1) to.through[link] = from.through[link]!;
}

/** Branches that join two islands, one after the other, and the pair at hand as it leads across them. */
export class Links {
  count = 0;
  readonly pair: PairParts = newPairParts();
  /** What `transfer` found, ohms. */
  re = 0;
  im = 0;
  /** By link: its two ends, its ohms, and the islands before it. */
  readonly ends: Int32Array = new Int32Array(2 * mostLinks);
  readonly ohms: Float64Array = new Float64Array(2 * mostLinks);
  readonly labels: Int32Array[] = [];

  take(other: Links): void {
    this.count = other.count;
    for (let link = 0; link < this.count; link += 1) this.labels[link] = other.labels[link]!;
    for (let part = 0; part < 2 * this.count; part += 1) {
      this.ends[part] = other.ends[part]!;
      this.ohms[part] = other.ohms[part]!;
    }
  }

  /** Siemens of the branch, and the islands before it. */
  add(a: number, b: number, re: number, im: number, labels: Int32Array): void {
    const square = re * re + im * im;
    const at = 2 * this.count;
    this.ends[at] = a;
    this.ends[at + 1] = b;
    this.ohms[at] = re / square;
    this.ohms[at + 1] = -im / square;
    this.labels[this.count] = labels;
    this.count += 1;
  }

  /** Parts the pair at hand, at the last link first. */
  part(a: number, b: number): void {
    const { pair } = this;
    const { at, sign } = pair;
    at[0] = a;
    sign[0] = 1;
    at[1] = b;
    sign[1] = -1;
    pair.count = 2;
    for (let link = this.count - 1; link >= 0; link -= 1) {
      const labels = this.labels[link]!;
      const one = this.ends[2 * link]!;
      const other = this.ends[2 * link + 1]!;
      let amps = 0;
      for (let e = 0; e < pair.count; e += 1) if (labels[at[e]!] === labels[one]) amps += sign[e]!;
      pair.through[link] = amps;
      if (amps === 0) continue;
      at[pair.count] = one;
      sign[pair.count] = -amps;
      at[pair.count + 1] = other;
      sign[pair.count + 1] = amps;
      pair.count += 2;
    }
  }

  /** Volts of the solved network and no stroke, across the pair at hand: `re` and `im`. */
  tell({ volts: { re, im } }: ReadingSpace): void {
    const { count, at, sign } = this.pair;
    this.re = 0;
    this.im = 0;
    for (let e = 0; e < count; e += 1) {
      this.re += sign[e]! * re[at[e]!]!;
      this.im += sign[e]! * im[at[e]!]!;
    }
  }

  /** Transfer impedance between two pairs before any stroke: `re` and `im`. */
  transfer(space: ReadingSpace, frequency: number, one: PairParts, other: PairParts): void {
    let ohmsRe = 0;
    let ohmsIm = 0;
    for (let j = 0; j < one.count; j += 1) {
      const { re, im } = space.nodeColumn(frequency, one.at[j]!);
      for (let e = 0; e < other.count; e += 1) {
        const sign = one.sign[j]! * other.sign[e]!;
        ohmsRe += sign * re[other.at[e]!]!;
        ohmsIm += sign * im[other.at[e]!]!;
      }
    }
    for (let link = 0; link < this.count; link += 1) {
      const amps = one.through[link]! * other.through[link]!;
      ohmsRe += amps * this.ohms[2 * link]!;
      ohmsIm += amps * this.ohms[2 * link + 1]!;
    }
    this.re = ohmsRe;
    this.im = ohmsIm;
  }
}
