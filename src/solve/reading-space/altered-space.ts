import { admittanceOf, type Conduct } from '../plan.js';
import { AlteredIslands } from './altered-islands.js';
import type { LaidChange } from './laid-fault.js';
import type { NetsBySpace, Shorts } from './leg-nets.js';
import { copyParts, Links, mostLinks, newPairParts } from './pair-parts.js';
import type { Seen, SeenNetwork } from './seen.js';
import { looksAlone, mixed, type ReadingSpace } from './space.js';
import { mostStrokes, Strokes } from './strokes.js';

/** Below this too few digits are left. */
const leastPivot = 1e-11;
/** Share of a pivot that rounding may cost it, and rounding of an impedance, as a share of that to the reference. */
const mostRounding = 1e-3;
const rounding = 4e-16;

/**
 * A reading space with a few branches changed one after the other, each in closed form (`Strokes`). A branch that alone
 * held two parts together carries no current: nothing moves but the islands. So it is the other way round with one that
 * joins two islands (a *link*): a pair with an end in each is seen as two pairs, one on each side of it. What can't be
 * told to enough digits makes the whole unknown.
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
  /** The node that had most volts last: it mostly has enough the next time. */
  private highNode = 0;
  private readonly islands: AlteredIslands;
  readonly links: Links = new Links();
  readonly strokes: Strokes = new Strokes(this.links);
  /** The pair that `fix` keeps. */
  private readonly fixed = {
    index: 0,
    inColumn: true,
    parts: newPairParts(),
    t: new Float64Array(2 * mostStrokes),
  };

  constructor(space: ReadingSpace) {
    this.space = space;
    this.islands = new AlteredIslands(space);
  }

  /** The space as it was solved. */
  begin(space: ReadingSpace): void {
    this.space = space;
    this.islands.begin(space);
    this.links.count = 0;
    this.strokes.count = 0;
  }

  /** The same as another stands, to which more is then done: only what it holds is copied. */
  take(other: AlteredSpace): void {
    this.space = other.space;
    this.islands.take(other.islands);
    this.links.take(other.links);
    this.strokes.take(other.strokes);
  }

  /** Whether a branch conducts here where it did; one that was moved does so elsewhere. */
  conducts(branch: number): boolean {
    return this.space.point.present[branch] === 1 && !this.islands.gone.includes(branch);
  }

  siemens(branch: number): number {
    return this.space.siemens(this.seenAt, branch);
  }

  get removed(): readonly number[] {
    return this.islands.gone;
  }

  get added(): readonly number[] {
    return this.islands.joined;
  }

  shorts(nets: NetsBySpace): Shorts {
    return this.added.length === 0 ? 'no' : nets.netsOf(this.space).shorts(this.removed, this.added);
  }

  /** The island of each position. */
  get labels(): Int32Array {
    return this.islands.label;
  }

  /** The frequency that is alive there. */
  get frequencies(): Int8Array {
    return this.islands.frequency;
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
    const { space } = this;
    const { from, to, point } = space;
    switch (change.kind) {
      case 'conducts': {
        const { branch, ohms } = change;
        if (takenAway[branch] === 1) return true;
        if (point.present[branch] === 1) return this.bridge(branch, 1 / ohms);
        return this.join(branch, from[branch]!, to[branch]!, 1 / ohms, 0);
      }
      case 'worn':
        return (
          point.present[change.branch] !== 1 || this.alter(change.branch, { wornOhms: change.ohms }, true)
        );
      case 'moved': {
        if (point.present[change.branch] !== 1) return true;
        return this.land(change.branch, space.place(change.from), space.place(change.to));
      }
      case 'joins': {
        if (takenAway[change.branch] === 1) return true;
        return this.join(-1, space.place(change.from), space.place(change.to), 1 / change.ohms, 0);
      }
      default:
        return true;
    }
  }

  /** A contact that opens or closes, a motor that starts or stops; false where that can't be told from here. */
  move(branch: number, conduct: Conduct): boolean {
    const there = this.space.point.present[branch] === 1;
    if (conduct === null) return !there || this.remove(branch);
    return this.alter(branch, conduct, there);
  }

  /** A branch comes to conduct in another way, or for the first time. */
  private alter(branch: number, conduct: Conduct, there: boolean): boolean {
    const { point, from, to } = this.space;
    const a = from[branch]!;
    const b = to[branch]!;
    const frequency = this.islands.frequency[a]!;
    if (frequency === mixed) return false;
    const { re, im } = admittanceOf(point.plan, frequency, branch, conduct);
    return there ? this.change(branch, re, im) : this.join(branch, a, b, re, im);
  }

  /** Looks at a pair of the space: its volts are then `re` and `im`. */
  look(index: number): Seen {
    const { space, islands } = this;
    const a = space.pairs.a[index]!;
    const b = space.pairs.b[index]!;
    if (islands.label[a] !== islands.label[b]) return 'floating';
    const frequency = islands.frequency[a]!;
    this.seenAt = frequency;
    if (frequency === mixed) return 'unknown';
    if (this.leadsAcross(a, b)) this.between(a, b);
    else {
      const { re, im } = space.volts;
      this.re = re[a]! - re[b]!;
      this.im = im[a]! - im[b]!;
      if (this.strokes.count > 0) {
        this.strokes.tellFromColumn(space, index, frequency);
        this.tell(this.re, this.im);
      }
    }
    return 'known';
  }

  /** The impedance a meter sees at the pair looked at last: then `ohmsRe` and `ohmsIm`. */
  lookOhms(index: number): void {
    const { space, links } = this;
    const a = space.pairs.a[index]!;
    const b = space.pairs.b[index]!;
    if (this.leadsAcross(a, b)) {
      links.transfer(space, this.islands.frequency[a]!, links.pair, links.pair);
      this.tellOhms(links.re, links.im);
    } else {
      const { re, im } = space.column(index);
      this.tellOhms(re[a]! - re[b]!, im[a]! - im[b]!);
    }
  }

  /** Keeps a pair, so that transfers from others to it can be asked for. */
  fix(index: number): void {
    const { space, fixed, links, strokes } = this;
    const a = space.pairs.a[index]!;
    const b = space.pairs.b[index]!;
    const frequency = this.islands.frequency[a]!;
    fixed.inColumn = !this.leadsAcross(a, b);
    if (links.count === 0) links.part(a, b);
    if (fixed.inColumn) strokes.tellFromColumn(space, index, frequency);
    else strokes.tell(space, frequency);
    fixed.index = index;
    copyParts(fixed.parts, links.pair, links.count);
    for (let part = 0; part < 2 * strokes.count; part += 1) fixed.t[part] = strokes.t[part]!;
  }

  /** Size of the transfer from the pair that was looked at last, of this place, to the fixed one, ohms. */
  transferToFixed(index: number): number {
    const { fixed, space, links, strokes } = this;
    const { frequency } = this.islands;
    const a = space.pairs.a[index]!;
    const b = space.pairs.b[index]!;
    if (frequency[a] !== frequency[space.pairs.a[fixed.index]!]) return 0;
    if (!fixed.inColumn || (links.count > 0 && links.pair.count > 2)) {
      links.transfer(space, frequency[a]!, fixed.parts, links.pair);
      strokes.lessOhms(links.re, links.im, fixed.t);
    } else {
      const { re, im } = space.column(fixed.index);
      strokes.lessOhms(re[a]! - re[b]!, im[a]! - im[b]!, fixed.t);
    }
    return Math.sqrt(strokes.re * strokes.re + strokes.im * strokes.im);
  }

  /** The most volts that any node has against a position of its island, or against the reference; no more than enough. */
  highestVolts(position: number, enough: number): number {
    const { space } = this;
    if (this.strokes.count === 0 && this.links.count === 0) return space.highestVolts(position);
    let most = this.voltsOf(this.highNode, position);
    for (let node = 0; node < space.nodeCount && most < enough; node += 1) {
      const volts = this.voltsOf(node, position);
      if (volts <= most) continue;
      most = volts;
      this.highNode = node;
    }
    return most;
  }

  /** The more of a node's volts against a position and against the reference, as far as they are of its island. */
  private voltsOf(node: number, position: number): number {
    const { label, frequency } = this.islands;
    const { nodeCount } = this.space;
    if (node >= nodeCount || frequency[node] === mixed) return 0;
    let most = 0;
    if (label[node] === label[position]) {
      this.between(node, position);
      most = Math.sqrt(this.re * this.re + this.im * this.im);
    }
    if (label[node] !== label[nodeCount]) return most;
    this.between(node, nodeCount);
    return Math.max(most, Math.sqrt(this.re * this.re + this.im * this.im));
  }

  /**
   * Whether a pair has ends on two sides of a link, or came to live at another frequency: its column does not tell of it.
   * With links it is then the pair at hand, in its parts.
   */
  private leadsAcross(a: number, b: number): boolean {
    const { links, islands, space } = this;
    if (links.count === 0) return false;
    links.part(a, b);
    return links.pair.count > 2 || islands.frequency[a] !== space.frequency[a];
  }

  /** Volts between any two positions of one island: `re` and `im`. */
  private between(a: number, b: number): void {
    const { links, space } = this;
    links.part(a, b);
    this.strokes.tell(space, this.islands.frequency[a]!);
    links.tell(space);
    this.tell(links.re, links.im);
  }

  private tell(voltsRe: number, voltsIm: number): void {
    const { strokes } = this;
    strokes.lessVolts(voltsRe, voltsIm);
    this.re = strokes.re;
    this.im = strokes.im;
  }

  private tellOhms(ohmsRe: number, ohmsIm: number): void {
    const { strokes } = this;
    strokes.lessOhms(ohmsRe, ohmsIm, strokes.t);
    this.ohmsRe = strokes.re;
    this.ohmsIm = strokes.im;
  }

  private remove(branch: number): boolean {
    this.islands.gone.push(branch);
    return this.change(branch, 0, 0, true);
  }

  /** A branch that conducts comes to have these siemens; `leaves`: none, for it is gone. */
  private change(branch: number, re: number, im: number, leaves = false): boolean {
    const { from, to, point } = this.space;
    const a = from[branch]!;
    const b = to[branch]!;
    const frequency = this.islands.frequency[a]!;
    if (frequency === mixed) return false;
    if (a === b) return true;
    const { y, emf } = point.phasors[frequency]!;
    const dyRe = re - y.re[branch]!;
    const dyIm = im - y.im[branch]!;
    return this.stroke(branch, a, b, dyRe, dyIm, emf.re[branch]!, emf.im[branch]!, leaves);
  }

  /** A part that conducted becomes a plain conductor, of which nets are made. */
  private bridge(branch: number, siemens: number): boolean {
    this.islands.joined.push(this.space.from[branch]!, this.space.to[branch]!);
    return this.change(branch, siemens, 0);
  }

  /** A branch that was moved conducts at other places as it did. */
  private land(branch: number, a: number, b: number): boolean {
    const frequency = this.islands.frequency[a]!;
    if (frequency === mixed) return false;
    const { y } = this.space.point.phasors[frequency]!;
    return this.join(-1, a, b, y.re[branch]!, y.im[branch]!);
  }

  private join(branch: number, a: number, b: number, re: number, im: number): boolean {
    const { islands } = this;
    islands.joined.push(a, b);
    if (a === b) return true;
    if (islands.label[a] !== islands.label[b]) return this.link(a, b, re, im);
    return islands.frequency[a] === mixed ? false : this.stroke(branch, a, b, re, im, 0, 0, false);
  }

  private link(a: number, b: number, re: number, im: number): boolean {
    const { links, strokes, islands } = this;
    const before = islands.label;
    if (links.count === mostLinks || !islands.join(a, b, strokes.count === 0)) return false;
    strokes.partAt(links.count);
    links.add(a, b, re, im, before);
    return true;
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
    const { space, links, strokes, islands } = this;
    if (strokes.count === mostStrokes) return false;
    const frequency = islands.frequency[a]!;
    links.part(a, b);
    strokes.tell(space, frequency);
    const exact = branch >= 0 && links.pair.count === 2 && space.island[a] === space.island[b];
    if (exact) this.tellOhms(space.across[2 * branch]!, space.across[2 * branch + 1]!);
    else {
      links.transfer(space, frequency, links.pair, links.pair);
      this.tellOhms(links.re, links.im);
    }
    const { ohmsRe, ohmsIm } = this;
    const pivotRe = 1 + dyRe * ohmsRe - dyIm * ohmsIm;
    const pivotIm = dyRe * ohmsIm + dyIm * ohmsRe;
    const square = pivotRe * pivotRe + pivotIm * pivotIm;
    if (leaves && square < looksAlone * looksAlone && islands.partedBy(branch)) return true;
    if (!(square >= leastPivot * leastPivot)) return false;
    const isExact = exact && strokes.count === 0;
    const dy = Math.sqrt(dyRe * dyRe + dyIm * dyIm);
    if (!isExact && this.isRounded(frequency, a, b, dy, Math.sqrt(square))) return false;
    links.tell(space);
    this.tell(links.re + eRe, links.im + eIm);
    strokes.add(frequency, dyRe, dyIm, pivotRe, pivotIm, this.re, this.im);
    return true;
  }

  /** Impedances of nodes against the reference are good to some 1e-16 of them: whether that matters here. */
  private isRounded(frequency: number, a: number, b: number, dy: number, pivot: number): boolean {
    const one = this.space.nodeColumn(frequency, a);
    const other = this.space.nodeColumn(frequency, b);
    const size =
      Math.abs(one.re[a]!) + Math.abs(one.im[a]!) + Math.abs(other.re[b]!) + Math.abs(other.im[b]!);
    return rounding * size * dy > mostRounding * pivot;
  }
}
