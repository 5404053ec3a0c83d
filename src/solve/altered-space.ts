import { joinNodes } from './joined-labels.js';
import type { LaidChange } from './laid-fault.js';
import { admittanceOf, type Conduct } from './plan.js';
import { mixed, type ReadingSpace } from './reading-space.js';

/** Changes of one branch each that can be held at once, and joinings of islands. */
const mostStrokes = 12;
const mostLinks = 6;
/** Ends of a pair, and two more for each link it leads across. */
const mostEnds = 2 + 2 * mostLinks;
/** Islands that change one after the other. */
const mostPartings = 12;

/** A branch taken away that leaves less than this of 1 - y z may have joined two parts alone: its islands are looked at. */
const looksAlone = 1e-6;
/** Below this too few digits are left. */
const leastPivot = 1e-11;
/** Share of a pivot that rounding may cost it, and rounding of an impedance, as a share of that to the reference. */
const mostRounding = 1e-3;
const rounding = 4e-16;

/** What is known of a pair: its volts, that no path joins its ends, or nothing. */
export type Seen = 'known' | 'floating' | 'unknown';

/** A network with faults laid over it, as it is seen from the pairs of a reading space. */
export interface SeenNetwork {
  readonly space: ReadingSpace;
  /** Of the pair looked at last: volts, and ohms where they were asked for. */
  readonly re: number;
  readonly im: number;
  readonly ohmsRe: number;
  readonly ohmsIm: number;
  /** And their frequency; `mixed` where there are several. */
  readonly seenAt: number;
  /** Branches that conduct no more where they did, and pairs of positions, one after the other, that do now. */
  readonly removed: readonly number[];
  readonly added: readonly number[];
  conducts(branch: number): boolean;
  /** Size of a branch's admittance as it was solved, at the frequency of the pair looked at last. */
  siemens(branch: number): number;
  look(index: number): Seen;
  lookOhms(index: number): void;
  fix(index: number): void;
  transferToFixed(index: number): number;
  highestVolts(position: number): number;
}

/**
 * A reading space with a few branches changed one after the other (*strokes*), each in closed form. With z the
 * impedance across the branch as the strokes before it leave the network, v the volts there with its own EMF, and t its
 * transfer to a pair p:
 *
 *   k = dy / (1 + dy z)      v_p -= t k v      z_p -= t k t
 *
 * A branch that alone held two parts together carries no current: nothing moves but the islands. So it is the other way
 * round with one that joins two islands (a *link*): a pair with an end in each is seen as two pairs, one on each side
 * of it. What can't be told to enough digits makes the whole unknown.
 *
 * One object is used over and over; nothing is allocated once it has its arrays.
 */
export class AlteredSpace implements SeenNetwork {
  space: ReadingSpace;
  /** What was looked at last: volts, and ohms where they were asked for. */
  re = 0;
  im = 0;
  ohmsRe = 0;
  ohmsIm = 0;
  seenAt = 0;
  private label: Int32Array;
  private frequency: Int8Array;
  private strokes = 0;
  private links = 0;
  private partings = 0;
  /** Branches that conduct no more, and pairs of positions that do now. */
  private readonly gone: number[] = [];
  private readonly joined: number[] = [];
  private readonly ends = new Int32Array(mostStrokes * mostEnds);
  private readonly signs = new Int8Array(mostStrokes * mostEnds);
  private readonly endCount = new Int32Array(mostStrokes);
  private readonly acrossLinks = new Int8Array(mostStrokes * mostLinks);
  private readonly hertz = new Int8Array(mostStrokes);
  private readonly k = new Float64Array(2 * mostStrokes);
  /** Amps of each stroke, k v; and by stroke and earlier stroke the transfer between them times the earlier one's k. */
  private readonly w = new Float64Array(2 * mostStrokes);
  private readonly l = new Float64Array(2 * mostStrokes * mostStrokes);
  private readonly linkEnds = new Int32Array(2 * mostLinks);
  private readonly linkOhms = new Float64Array(2 * mostLinks);
  /** The islands before each link. */
  private readonly linkLabels: Int32Array[] = [];
  private readonly labelRoom: Int32Array[] = [];
  private readonly frequencyRoom: Int8Array[] = [];
  /** The pair at hand: its ends on either side of links, their signs, and its amps through links. */
  private count = 0;
  private readonly at = new Int32Array(mostEnds);
  private readonly sign = new Int8Array(mostEnds);
  private readonly through = new Int8Array(mostLinks);
  /** Transfers from the pair at hand to strokes. */
  private readonly t = new Float64Array(2 * mostStrokes);

  /** The pair that `fix` keeps, in the same form. */
  private readonly fixed = {
    index: 0,
    count: 0,
    at: new Int32Array(mostEnds),
    sign: new Int8Array(mostEnds),
    through: new Int8Array(mostLinks),
    t: new Float64Array(2 * mostStrokes),
  };

  constructor(space: ReadingSpace) {
    this.space = space;
    this.label = space.island;
    this.frequency = space.frequency;
  }

  /** The space as it was solved. */
  begin(space: ReadingSpace): void {
    this.space = space;
    this.label = space.island;
    this.frequency = space.frequency;
    this.strokes = 0;
    this.links = 0;
    this.partings = 0;
    this.gone.length = 0;
    this.joined.length = 0;
  }

  /** The same as another stands, to which more is then done: only what it holds is copied. */
  take(other: AlteredSpace): void {
    this.begin(other.space);
    this.label = other.label;
    this.frequency = other.frequency;
    this.strokes = other.strokes;
    this.links = other.links;
    this.partings = other.partings;
    for (const branch of other.gone) this.gone.push(branch);
    for (const position of other.joined) this.joined.push(position);
    for (let s = 0; s < this.strokes; s += 1) {
      this.endCount[s] = other.endCount[s]!;
      this.hertz[s] = other.hertz[s]!;
      for (let e = s * mostEnds; e < s * mostEnds + this.endCount[s]!; e += 1) {
        this.ends[e] = other.ends[e]!;
        this.signs[e] = other.signs[e]!;
      }
      for (let j = s * mostLinks; j < s * mostLinks + this.links; j += 1)
        this.acrossLinks[j] = other.acrossLinks[j]!;
      for (let q = 0; q < 2 * s; q += 1) this.l[2 * s * mostStrokes + q] = other.l[2 * s * mostStrokes + q]!;
      for (let part = 2 * s; part < 2 * s + 2; part += 1) {
        this.k[part] = other.k[part]!;
        this.w[part] = other.w[part]!;
      }
    }
    for (let link = 0; link < this.links; link += 1) {
      this.linkLabels[link] = other.linkLabels[link]!;
      for (let part = 2 * link; part < 2 * link + 2; part += 1) {
        this.linkEnds[part] = other.linkEnds[part]!;
        this.linkOhms[part] = other.linkOhms[part]!;
      }
    }
  }

  /** Whether a branch conducts here where it did; one that was moved does so elsewhere. */
  conducts(branch: number): boolean {
    return this.space.point.present[branch] === 1 && !this.gone.includes(branch);
  }

  siemens(branch: number): number {
    return this.space.siemens(this.seenAt, branch);
  }

  get removed(): readonly number[] {
    return this.gone;
  }

  get added(): readonly number[] {
    return this.joined;
  }

  /** Lays a fault's changes over it, what is taken away first; false where what they do can't be told from here. */
  lay(changes: readonly LaidChange[], takenAway: Uint8Array): boolean {
    for (const change of changes) {
      const away = change.kind === 'absent' || change.kind === 'moved';
      if (away && this.conducts(change.branch) && !this.remove(change.branch)) return false;
    }
    for (const change of changes) if (!this.bringIn(change, takenAway)) return false;
    return true;
  }

  private bringIn(change: LaidChange, takenAway: Uint8Array): boolean {
    const { from, to, point } = this.space;
    switch (change.kind) {
      case 'conducts': {
        const { branch, ohms } = change;
        if (takenAway[branch] === 1) return true;
        if (point.present[branch] === 1) return this.bridge(branch, 1 / ohms);
        return this.join(branch, from[branch]!, to[branch]!, 1 / ohms, 0);
      }
      case 'worn': {
        if (point.present[change.branch] !== 1) return true;
        const frequency = this.frequency[from[change.branch]!]!;
        if (frequency === mixed) return false;
        const worn = { wornOhms: change.ohms };
        const { re, im } = admittanceOf(point.plan, frequency, change.branch, worn);
        return this.change(change.branch, re, im);
      }
      case 'moved': {
        if (point.present[change.branch] !== 1) return true;
        return this.land(change.branch, this.space.place(change.from), this.space.place(change.to));
      }
      case 'joins': {
        if (takenAway[change.branch] === 1) return true;
        return this.join(-1, this.space.place(change.from), this.space.place(change.to), 1 / change.ohms, 0);
      }
      default:
        return true;
    }
  }

  /** A contact that opens or closes, a motor that starts or stops; false where that can't be told from here. */
  move(branch: number, conduct: Conduct): boolean {
    const { point, from, to } = this.space;
    const there = point.present[branch] === 1;
    if (conduct === null) return !there || this.remove(branch);
    const frequency = this.frequency[from[branch]!]!;
    if (frequency === mixed) return false;
    const { re, im } = admittanceOf(point.plan, frequency, branch, conduct);
    return there ? this.change(branch, re, im) : this.join(branch, from[branch]!, to[branch]!, re, im);
  }

  /** Looks at a pair of the space: its volts are then `re` and `im`. */
  look(index: number): Seen {
    const { pairA, pairB } = this.space;
    const [a, b] = [pairA[index]!, pairB[index]!];
    if (this.label[a] !== this.label[b]) return 'floating';
    const frequency = this.frequency[a]!;
    this.seenAt = frequency;
    if (frequency === mixed) return 'unknown';
    if (this.links > 0) this.between(a, b);
    else {
      this.tellFromColumn(index, frequency);
      this.tell(a, b);
    }
    return 'known';
  }

  /** The impedance a meter sees at the pair looked at last: then `ohmsRe` and `ohmsIm`. */
  lookOhms(index: number): void {
    const { space } = this;
    const [a, b] = [space.pairA[index]!, space.pairB[index]!];
    if (this.links > 0) {
      this.part(a, b);
      this.selfTransfer(this.frequency[a]!);
    } else {
      const { re, im } = space.column(index);
      this.ohmsRe = re[a]! - re[b]!;
      this.ohmsIm = im[a]! - im[b]!;
    }
    this.lessOhms();
  }

  /** Keeps a pair, so that transfers from others to it can be asked for. */
  fix(index: number): void {
    const { pairA, pairB } = this.space;
    const [a, b] = [pairA[index]!, pairB[index]!];
    this.part(a, b);
    if (this.links > 0) this.tellFromStrokes(this.frequency[a]!);
    else this.tellFromColumn(index, this.frequency[a]!);
    this.fixed.index = index;
    this.fixed.count = this.count;
    for (let e = 0; e < this.count; e += 1) {
      this.fixed.at[e] = this.at[e]!;
      this.fixed.sign[e] = this.sign[e]!;
    }
    for (let link = 0; link < this.links; link += 1) this.fixed.through[link] = this.through[link]!;
    for (let part = 0; part < 2 * this.strokes; part += 1) this.fixed.t[part] = this.t[part]!;
  }

  /** Size of the transfer from the pair that was looked at last, of this place, to the fixed one, ohms. */
  transferToFixed(index: number): number {
    const { fixed, space } = this;
    const [a, b] = [space.pairA[index]!, space.pairB[index]!];
    const frequency = this.frequency[a]!;
    if (frequency !== this.frequency[space.pairA[fixed.index]!]) return 0;
    let re = 0;
    let im = 0;
    if (this.links === 0) {
      const column = space.column(fixed.index);
      re = column.re[a]! - column.re[b]!;
      im = column.im[a]! - column.im[b]!;
    } else {
      for (let j = 0; j < fixed.count; j += 1) {
        const column = space.nodeColumn(frequency, fixed.at[j]!);
        for (let e = 0; e < this.count; e += 1) {
          const sign = fixed.sign[j]! * this.sign[e]!;
          re += sign * column.re[this.at[e]!]!;
          im += sign * column.im[this.at[e]!]!;
        }
      }
      for (let link = 0; link < this.links; link += 1) {
        const amps = fixed.through[link]! * this.through[link]!;
        re += amps * this.linkOhms[2 * link]!;
        im += amps * this.linkOhms[2 * link + 1]!;
      }
    }
    for (let q = 0; q < this.strokes; q += 1) {
      const [tRe, tIm] = [this.t[2 * q]!, this.t[2 * q + 1]!];
      const [kRe, kIm] = [this.k[2 * q]!, this.k[2 * q + 1]!];
      const byRe = tRe * kRe - tIm * kIm;
      const byIm = tRe * kIm + tIm * kRe;
      re -= byRe * fixed.t[2 * q]! - byIm * fixed.t[2 * q + 1]!;
      im -= byRe * fixed.t[2 * q + 1]! + byIm * fixed.t[2 * q]!;
    }
    return Math.sqrt(re * re + im * im);
  }

  /** Volts between any two positions of one island: `re` and `im`. */
  between(a: number, b: number): void {
    this.part(a, b);
    this.tellFromStrokes(this.frequency[a]!);
    const { re, im } = this.space.volts;
    this.re = 0;
    this.im = 0;
    for (let e = 0; e < this.count; e += 1) {
      this.re += this.sign[e]! * re[this.at[e]!]!;
      this.im += this.sign[e]! * im[this.at[e]!]!;
    }
    this.lessVolts();
  }

  /** The most volts that any node has against a position of its island, or against the reference. */
  highestVolts(position: number): number {
    const { space } = this;
    if (this.strokes === 0 && this.links === 0) return space.highestVolts(position);
    let most = 0;
    for (let node = 0; node < space.nodeCount; node += 1) {
      for (const other of [position, space.nodeCount]) {
        if (this.label[node] !== this.label[other] || this.frequency[node] === mixed) continue;
        this.between(node, other);
        most = Math.max(most, Math.hypot(this.re, this.im));
      }
    }
    return most;
  }

  private remove(branch: number): boolean {
    const { from, to, point } = this.space;
    const a = from[branch]!;
    const frequency = this.frequency[a]!;
    if (frequency === mixed) return false;
    const { y, emf } = point.phasors[frequency]!;
    this.gone.push(branch);
    if (a === to[branch]) return true;
    return this.stroke(
      branch,
      a,
      to[branch]!,
      -y.re[branch]!,
      -y.im[branch]!,
      emf.re[branch]!,
      emf.im[branch]!,
      true,
    );
  }

  private change(branch: number, re: number, im: number): boolean {
    const { from, to, point } = this.space;
    const a = from[branch]!;
    const frequency = this.frequency[a]!;
    if (frequency === mixed) return false;
    if (a === to[branch]) return true;
    const { y, emf } = point.phasors[frequency]!;
    const [dyRe, dyIm] = [re - y.re[branch]!, im - y.im[branch]!];
    return this.stroke(branch, a, to[branch]!, dyRe, dyIm, emf.re[branch]!, emf.im[branch]!, false);
  }

  /** A part that conducted becomes a plain conductor, of which nets are made. */
  private bridge(branch: number, siemens: number): boolean {
    this.joined.push(this.space.from[branch]!, this.space.to[branch]!);
    return this.change(branch, siemens, 0);
  }

  /** A branch that was moved conducts at other places as it did. */
  private land(branch: number, a: number, b: number): boolean {
    const frequency = this.frequency[a]!;
    if (frequency === mixed) return false;
    const { y } = this.space.point.phasors[frequency]!;
    return this.join(-1, a, b, y.re[branch]!, y.im[branch]!);
  }

  private join(branch: number, a: number, b: number, re: number, im: number): boolean {
    this.joined.push(a, b);
    if (a === b) return true;
    if (this.label[a] !== this.label[b]) return this.link(a, b, re, im);
    return this.frequency[a] === mixed ? false : this.stroke(branch, a, b, re, im, 0, 0, false);
  }

  private link(a: number, b: number, re: number, im: number): boolean {
    if (this.links === mostLinks || this.partings === mostPartings) return false;
    if (!this.agreeOnFrequency(a, b)) return false;
    const square = re * re + im * im;
    this.linkEnds[2 * this.links] = a;
    this.linkEnds[2 * this.links + 1] = b;
    this.linkOhms[2 * this.links] = re / square;
    this.linkOhms[2 * this.links + 1] = -im / square;
    this.linkLabels[this.links] = this.label;
    for (let s = 0; s < this.strokes; s += 1) this.acrossLinks[s * mostLinks + this.links] = 0;
    this.links += 1;
    const before = this.label;
    const [one, other] = [before[a]!, before[b]!];
    const after = this.roomForLabels();
    for (let node = 0; node < after.length; node += 1)
      after[node] = before[node] === other ? one : before[node]!;
    this.label = after;
    return true;
  }

  /** Two islands that are joined have volts of one frequency, or one of them has none at all and nothing was done there. */
  private agreeOnFrequency(a: number, b: number): boolean {
    const [one, other] = [this.frequency[a]!, this.frequency[b]!];
    if (one === mixed || other === mixed) return false;
    if (one === other) return true;
    const { alive } = this.space;
    const dead = alive[a] === 0 ? a : alive[b] === 0 ? b : -1;
    if (dead === -1 || this.strokes > 0) return false;
    const before = this.frequency;
    const after = this.roomForFrequencies(before.length);
    for (let node = 0; node < after.length; node += 1)
      after[node] = this.label[node] === this.label[dead] ? (dead === a ? other : one) : before[node]!;
    this.frequency = after;
    return true;
  }

  private roomForFrequencies(length: number): Int8Array {
    const kept = this.frequencyRoom[this.partings];
    const room = kept?.length === length ? kept : new Int8Array(length);
    this.frequencyRoom[this.partings] = room;
    return room;
  }

  private roomForLabels(): Int32Array {
    const kept = this.labelRoom[this.partings];
    const length = this.space.nodeCount + 1;
    const room = kept?.length === length ? kept : new Int32Array(length);
    this.labelRoom[this.partings] = room;
    this.partings += 1;
    return room;
  }

  private stroke(
    branch: number,
    a: number,
    b: number,
    dyRe: number,
    dyIm: number,
    eRe: number,
    eIm: number,
    leaves: boolean,
  ): boolean {
    const s = this.strokes;
    if (s === mostStrokes) return false;
    const { space } = this;
    const frequency = this.frequency[a]!;
    this.part(a, b);
    this.tellFromStrokes(frequency);
    const exact = branch >= 0 && this.count === 2 && space.island[a] === space.island[b];
    if (exact) {
      this.ohmsRe = space.across[2 * branch]!;
      this.ohmsIm = space.across[2 * branch + 1]!;
    } else this.selfTransfer(frequency);
    this.lessOhms();
    const { ohmsRe, ohmsIm } = this;
    const pivotRe = 1 + dyRe * ohmsRe - dyIm * ohmsIm;
    const pivotIm = dyRe * ohmsIm + dyIm * ohmsRe;
    const square = pivotRe * pivotRe + pivotIm * pivotIm;
    if (leaves && square < looksAlone * looksAlone && this.partedBy(branch)) return true;
    if (!(square >= leastPivot * leastPivot)) return false;
    if (!(exact && s === 0) && this.isRounded(frequency, a, b, Math.hypot(dyRe, dyIm), Math.sqrt(square)))
      return false;
    this.keep(s, frequency);
    const { re, im } = space.volts;
    this.re = eRe;
    this.im = eIm;
    for (let e = 0; e < this.count; e += 1) {
      this.re += this.sign[e]! * re[this.at[e]!]!;
      this.im += this.sign[e]! * im[this.at[e]!]!;
    }
    this.lessVolts();
    const kRe = (dyRe * pivotRe + dyIm * pivotIm) / square;
    const kIm = (dyIm * pivotRe - dyRe * pivotIm) / square;
    this.k[2 * s] = kRe;
    this.k[2 * s + 1] = kIm;
    this.w[2 * s] = kRe * this.re - kIm * this.im;
    this.w[2 * s + 1] = kRe * this.im + kIm * this.re;
    this.strokes = s + 1;
    return true;
  }

  /** Whether a branch that is gone now joined its ends alone; the islands are then those without it. */
  private partedBy(branch: number): boolean {
    const { space } = this;
    const split = this.joined.length === 0 ? space.splitBy(branch) : null;
    if (split !== null && this.partings === 0) {
      this.splitFurther(split);
      return true;
    }
    if (split === null && this.gone.length === 1 && this.joined.length === 0) return false;
    if (this.partings === mostPartings) return false;
    const before = this.partings;
    const labels = this.roomForLabels();
    joinNodes(space, this.gone, this.joined, labels);
    if (labels[space.from[branch]!] !== labels[space.to[branch]!]) {
      this.label = labels;
      return true;
    }
    this.partings = before;
    return false;
  }

  /** No way between two nodes on one side of a bridge leads over it: it splits each island by its own two sides. */
  private splitFurther(split: Int32Array): void {
    if (this.label === this.space.island) {
      this.label = split;
      return;
    }
    const before = this.label;
    const labels = this.roomForLabels();
    for (let node = 0; node < labels.length; node += 1)
      labels[node] = before[node]! * labels.length + split[node]!;
    this.label = labels;
  }

  /** Impedances of nodes against the reference are good to some 1e-16 of them: whether that matters here. */
  private isRounded(frequency: number, a: number, b: number, dy: number, pivot: number): boolean {
    const [one, other] = [this.space.nodeColumn(frequency, a), this.space.nodeColumn(frequency, b)];
    const size =
      Math.abs(one.re[a]!) + Math.abs(one.im[a]!) + Math.abs(other.re[b]!) + Math.abs(other.im[b]!);
    return rounding * size * dy > mostRounding * pivot;
  }

  private keep(s: number, frequency: number): void {
    this.endCount[s] = this.count;
    this.hertz[s] = frequency;
    for (let e = 0; e < this.count; e += 1) {
      this.ends[s * mostEnds + e] = this.at[e]!;
      this.signs[s * mostEnds + e] = this.sign[e]!;
    }
    for (let link = 0; link < this.links; link += 1)
      this.acrossLinks[s * mostLinks + link] = this.through[link]!;
    for (let q = 0; q < s; q += 1) {
      const [tRe, tIm] = [this.t[2 * q]!, this.t[2 * q + 1]!];
      const [kRe, kIm] = [this.k[2 * q]!, this.k[2 * q + 1]!];
      this.l[2 * (s * mostStrokes + q)] = tRe * kRe - tIm * kIm;
      this.l[2 * (s * mostStrokes + q) + 1] = tRe * kIm + tIm * kRe;
    }
  }

  /** A pair as pairs that lie on one side of every link, the last link first. */
  private part(a: number, b: number): void {
    this.at[0] = a;
    this.sign[0] = 1;
    this.at[1] = b;
    this.sign[1] = -1;
    this.count = 2;
    for (let link = this.links - 1; link >= 0; link -= 1) {
      const labels = this.linkLabels[link]!;
      const [one, other] = [this.linkEnds[2 * link]!, this.linkEnds[2 * link + 1]!];
      let amps = 0;
      for (let e = 0; e < this.count; e += 1) if (labels[this.at[e]!] === labels[one]) amps += this.sign[e]!;
      this.through[link] = amps;
      if (amps === 0) continue;
      this.at[this.count] = one;
      this.sign[this.count] = -amps;
      this.at[this.count + 1] = other;
      this.sign[this.count + 1] = amps;
      this.count += 2;
    }
  }

  /** Impedance across the pair at hand, before any stroke. */
  private selfTransfer(frequency: number): void {
    this.ohmsRe = 0;
    this.ohmsIm = 0;
    for (let j = 0; j < this.count; j += 1) {
      const { re, im } = this.space.nodeColumn(frequency, this.at[j]!);
      for (let e = 0; e < this.count; e += 1) {
        const sign = this.sign[j]! * this.sign[e]!;
        this.ohmsRe += sign * re[this.at[e]!]!;
        this.ohmsIm += sign * im[this.at[e]!]!;
      }
    }
    for (let link = 0; link < this.links; link += 1) {
      const square = this.through[link]! * this.through[link]!;
      this.ohmsRe += square * this.linkOhms[2 * link]!;
      this.ohmsIm += square * this.linkOhms[2 * link + 1]!;
    }
  }

  /** Transfers from the pair at hand to every stroke, each as the strokes before it leave the network. */
  private tellFromStrokes(frequency: number): void {
    for (let q = 0; q < this.strokes; q += 1) {
      let re = 0;
      let im = 0;
      if (this.hertz[q] === frequency) {
        for (let j = q * mostEnds; j < q * mostEnds + this.endCount[q]!; j += 1) {
          const column = this.space.nodeColumn(frequency, this.ends[j]!);
          for (let e = 0; e < this.count; e += 1) {
            const sign = this.signs[j]! * this.sign[e]!;
            re += sign * column.re[this.at[e]!]!;
            im += sign * column.im[this.at[e]!]!;
          }
        }
        for (let link = 0; link < this.links; link += 1) {
          const amps = this.through[link]! * this.acrossLinks[q * mostLinks + link]!;
          re += amps * this.linkOhms[2 * link]!;
          im += amps * this.linkOhms[2 * link + 1]!;
        }
      }
      this.lessEarlier(q, re, im);
    }
  }

  /** The same for a pair of the space, where there are no links. */
  private tellFromColumn(index: number, frequency: number): void {
    if (this.strokes === 0) return;
    const column = this.space.column(index);
    for (let q = 0; q < this.strokes; q += 1) {
      const [a, b] = [this.ends[q * mostEnds]!, this.ends[q * mostEnds + 1]!];
      const apart = this.hertz[q] !== frequency;
      this.lessEarlier(
        q,
        apart ? 0 : column.re[a]! - column.re[b]!,
        apart ? 0 : column.im[a]! - column.im[b]!,
      );
    }
  }

  private lessEarlier(q: number, ofRe: number, ofIm: number): void {
    let re = ofRe;
    let im = ofIm;
    for (let r = 0; r < q; r += 1) {
      const at = 2 * (q * mostStrokes + r);
      const [tRe, tIm] = [this.t[2 * r]!, this.t[2 * r + 1]!];
      re -= tRe * this.l[at]! - tIm * this.l[at + 1]!;
      im -= tRe * this.l[at + 1]! + tIm * this.l[at]!;
    }
    this.t[2 * q] = re;
    this.t[2 * q + 1] = im;
  }

  private tell(a: number, b: number): void {
    const { re, im } = this.space.volts;
    this.re = re[a]! - re[b]!;
    this.im = im[a]! - im[b]!;
    this.lessVolts();
  }

  private lessVolts(): void {
    for (let q = 0; q < this.strokes; q += 1) {
      const [tRe, tIm] = [this.t[2 * q]!, this.t[2 * q + 1]!];
      const [wRe, wIm] = [this.w[2 * q]!, this.w[2 * q + 1]!];
      this.re -= tRe * wRe - tIm * wIm;
      this.im -= tRe * wIm + tIm * wRe;
    }
  }

  private lessOhms(): void {
    for (let q = 0; q < this.strokes; q += 1) {
      const [tRe, tIm] = [this.t[2 * q]!, this.t[2 * q + 1]!];
      const [kRe, kIm] = [this.k[2 * q]!, this.k[2 * q + 1]!];
      const squareRe = tRe * tRe - tIm * tIm;
      const squareIm = 2 * tRe * tIm;
      this.ohmsRe -= squareRe * kRe - squareIm * kIm;
      this.ohmsIm -= squareRe * kIm + squareIm * kRe;
    }
  }
}
