import { type AdmittanceChange, type FewChanges, noChanges } from './few-changes.js';
import { copy, type HeldNetwork, less, newVolts } from './held-network.js';
import type { Laid } from './laid-fault.js';
import type { NetsBySpace, Shorts } from './leg-nets.js';
import type { Seen, SeenNetwork } from './seen.js';
import { looksAlone, mixed, type NodeVolts, type ReadingSpace } from './space.js';

/** Below this too few digits are left; and the share of a pivot that rounding may cost it, as in `AlteredSpace`. */
const leastPivot = 1e-11;
const mostRounding = 1e-3;
const rounding = 4e-16;
/** Strokes of one fault: two wires taken away and put in elsewhere. */
const mostOwn = 4;
const mostSplits = 2;

/**
 * A held network with the fault at hand laid over it, one after another: up to four strokes, and one link between islands.
 * With z the impedance across a change, v the volts there and its own EMF, and t(p) its transfer to a pair p, as the
 * network and the strokes before it leave them:
 *
 *   k = dy / (1 + dy z)      v(p) -= t(p) k v      z(p, q) -= t(p) k t(q)
 *
 * All else (more links, strokes that lead over one, what leaves too few digits) is for `AlteredSpace`.
 */
export class StruckNetwork implements SeenNetwork {
  space: ReadingSpace;
  private held: HeldNetwork;
  re = 0;
  im = 0;
  ohmsRe = 0;
  ohmsIm = 0;
  seenAt = 0;
  private own: FewChanges = noChanges;
  private count = 0;
  private readonly strokes: AdmittanceChange[] = [];
  private readonly k = new Float64Array(2 * mostOwn);
  private readonly w = new Float64Array(2 * mostOwn);
  /** By stroke and earlier stroke: the transfer between them times the earlier one's k. */
  private readonly l = new Float64Array(2 * mostOwn * mostOwn);
  /** Volts of every node for one amp through each stroke, as the held network has them; made when they are asked for. */
  private readonly spread: NodeVolts[] = [];
  private readonly spreadMade = new Uint8Array(mostOwn);
  private splitCount = 0;
  private readonly splits: Int32Array[] = [];
  private link: AdmittanceChange | undefined;
  /** Transfers from strokes to the pair that was looked at last, and to the one that is kept. */
  private readonly t = new Float64Array(2 * mostOwn);
  /** Ends of the pair that was looked at last: two, or four where it leads over the link. */
  private readonly ends = new Int32Array(4);
  private across = false;
  private betweenRe = 0;
  private betweenIm = 0;
  private readonly fixed = {
    index: 0,
    frequency: 0,
    across: false,
    ends: new Int32Array(4),
    t: new Float64Array(2 * mostOwn),
  };
  private highNode = 0;
  private readonly work: NodeVolts[] = [];

  constructor(held: HeldNetwork) {
    this.held = held;
    this.space = held.space;
  }

  /** One more fault, instead of the one before; false where that is not to be told from here. */
  lay(held: HeldNetwork, laid: Laid): boolean {
    const own = held.changes.of(laid);
    if (own === null) return false;
    const { touched, changes } = own;
    for (let at = 0; at < touched.length; at += 1) if (held.isMoved(touched[at]!)) return false;
    this.held = held;
    this.space = held.space;
    this.own = own;
    this.count = 0;
    this.splitCount = 0;
    this.link = undefined;
    for (let at = 0; at < changes.length; at += 1) if (!this.change(changes[at]!)) return false;
    return true;
  }

  private change(change: AdmittanceChange): boolean {
    const { branch, a, b, leaves, split, frequency } = change;
    const { removed, added, frequencies } = this.held;
    // Taken away twice is no more than once.
    if (branch >= 0 && removed.includes(branch)) return leaves;
    if (frequencies[a] !== frequency || frequencies[b] !== frequency) return false;
    if (split !== null && !isCrossed(split, added)) {
      if (this.splitCount === mostSplits) return false;
      this.splits[this.splitCount] = split;
      this.splitCount += 1;
      return true;
    }
    if (!this.isApart(a, b)) return this.stroke(change);
    if (branch >= 0 || this.link !== undefined) return false;
    this.link = change;
    return true;
  }

  private stroke(change: AdmittanceChange): boolean {
    const { a, b, dyRe, dyIm, branch, leaves } = change;
    const { held, count, k, w } = this;
    if (count === mostOwn) return false;
    held.tellOhms(change.frequency, a, b, branch);
    let ohmsRe = held.re;
    let ohmsIm = held.im;
    let vRe = held.volts.re[a]! - held.volts.re[b]! + change.emfRe;
    let vIm = held.volts.im[a]! - held.volts.im[b]! + change.emfIm;
    for (let q = 0; q < count; q += 1) {
      this.tellTransferBetween(q, change.frequency, a, b);
      const tRe = this.t[2 * q]!;
      const tIm = this.t[2 * q + 1]!;
      const byRe = tRe * k[2 * q]! - tIm * k[2 * q + 1]!;
      const byIm = tRe * k[2 * q + 1]! + tIm * k[2 * q]!;
      this.l[2 * (count * mostOwn + q)] = byRe;
      this.l[2 * (count * mostOwn + q) + 1] = byIm;
      ohmsRe -= byRe * tRe - byIm * tIm;
      ohmsIm -= byRe * tIm + byIm * tRe;
      vRe -= tRe * w[2 * q]! - tIm * w[2 * q + 1]!;
      vIm -= tRe * w[2 * q + 1]! + tIm * w[2 * q]!;
    }
    const pivotRe = 1 + dyRe * ohmsRe - dyIm * ohmsIm;
    const pivotIm = dyRe * ohmsIm + dyIm * ohmsRe;
    const square = pivotRe * pivotRe + pivotIm * pivotIm;
    if (!(square >= leastPivot * leastPivot) || (leaves && square < looksAlone * looksAlone)) return false;
    const exact = branch >= 0 && held.strokeCount === 0 && count === 0;
    if (!exact && this.isRounded(change, square)) return false;
    const kRe = (dyRe * pivotRe + dyIm * pivotIm) / square;
    const kIm = (dyIm * pivotRe - dyRe * pivotIm) / square;
    this.strokes[count] = change;
    k[2 * count] = kRe;
    k[2 * count + 1] = kIm;
    w[2 * count] = kRe * vRe - kIm * vIm;
    w[2 * count + 1] = kRe * vIm + kIm * vRe;
    this.spreadMade[count] = 0;
    this.count = count + 1;
    return true;
  }

  /** Impedances of nodes against the reference are good to some 1e-16 of them: whether that matters here. */
  private isRounded(change: AdmittanceChange, pivotSquare: number): boolean {
    const { dyRe, dyIm } = change;
    const { changes } = this.held;
    const least = pivotSquare / (dyRe * dyRe + dyIm * dyIm);
    const isMore = (ohms: number) => ((rounding * ohms) / mostRounding) ** 2 > least;
    return isMore(2 * changes.mostSize) && isMore(changes.sizeAt(change));
  }

  private spreadOf(stroke: number): NodeVolts {
    const kept = this.spread[stroke] ?? newVolts(this.space.nodeCount + 1);
    this.spread[stroke] = kept;
    if (this.spreadMade[stroke] === 1) return kept;
    const { frequency, a, b } = this.strokes[stroke]!;
    this.held.fill(kept, frequency, a, b);
    this.spreadMade[stroke] = 1;
    return kept;
  }

  /** Transfer to a stroke from the pair with these ends, of which `u` are the volts at those of the stroke or the other way round. */
  private tellTransfer(stroke: number, frequency: number, u: NodeVolts, a: number, b: number): void {
    const there = this.strokes[stroke]!.frequency === frequency;
    this.keepTransfer(stroke, there ? u.re[a]! - u.re[b]! : 0, there ? u.im[a]! - u.im[b]! : 0);
  }

  private tellTransferBetween(stroke: number, frequency: number, a: number, b: number): void {
    const { held } = this;
    const own = this.strokes[stroke]!;
    if (own.frequency !== frequency) {
      this.keepTransfer(stroke, 0, 0);
      return;
    }
    held.tellTransfer(frequency, own.a, own.b, a, b);
    this.keepTransfer(stroke, held.re, held.im);
  }

  /** As the strokes before it leave it. */
  private keepTransfer(stroke: number, ofRe: number, ofIm: number): void {
    const { t, l } = this;
    let re = ofRe;
    let im = ofIm;
    for (let q = 0; q < stroke; q += 1) {
      const at = 2 * (stroke * mostOwn + q);
      re -= t[2 * q]! * l[at]! - t[2 * q + 1]! * l[at + 1]!;
      im -= t[2 * q]! * l[at + 1]! + t[2 * q + 1]! * l[at]!;
    }
    t[2 * stroke] = re;
    t[2 * stroke + 1] = im;
  }

  conducts(branch: number): boolean {
    if (this.space.point.present[branch] !== 1) return false;
    return !this.held.removed.includes(branch) && !this.own.gone.includes(branch);
  }

  shorts(nets: NetsBySpace): Shorts {
    return this.held.shorts(nets, this.own.gone, this.own.joined);
  }

  siemens(branch: number): number {
    return this.space.siemens(this.seenAt, branch);
  }

  look(index: number): Seen {
    const { space, held, ends } = this;
    const a = space.pairs.a[index]!;
    const b = space.pairs.b[index]!;
    const across = this.isApart(a, b);
    ends[0] = a;
    ends[1] = b;
    if (across && !this.leadOver(a, b)) return 'floating';
    this.across = across;
    const frequency = held.frequencies[a]!;
    this.seenAt = frequency;
    if (frequency === mixed) return 'unknown';
    this.tellBetween(held.volts, ends, across);
    let re = this.betweenRe;
    let im = this.betweenIm;
    const { strokes, t, w } = this;
    for (let q = 0; q < this.count; q += 1) {
      const stroke = strokes[q]!;
      if (stroke.frequency !== frequency) this.keepTransfer(q, 0, 0);
      else if (across) {
        held.tellTransfer(frequency, stroke.a, stroke.b, ends[0]!, ends[1]!);
        const oneRe = held.re;
        const oneIm = held.im;
        held.tellTransfer(frequency, stroke.a, stroke.b, ends[2]!, ends[3]!);
        this.keepTransfer(q, oneRe + held.re, oneIm + held.im);
      } else this.tellTransfer(q, frequency, held.column(index), stroke.a, stroke.b);
      re -= t[2 * q]! * w[2 * q]! - t[2 * q + 1]! * w[2 * q + 1]!;
      im -= t[2 * q]! * w[2 * q + 1]! + t[2 * q + 1]! * w[2 * q]!;
    }
    this.re = re;
    this.im = im;
    return 'known';
  }

  lookOhms(index: number): void {
    const { held, ends, t, link, seenAt } = this;
    if (this.across && link !== undefined) {
      const square = link.re * link.re + link.im * link.im;
      held.tellOhms(seenAt, ends[0]!, ends[1]!, -1);
      this.ohmsRe = link.re / square + held.re;
      this.ohmsIm = held.im - link.im / square;
      held.tellOhms(seenAt, ends[2]!, ends[3]!, -1);
      this.ohmsRe += held.re;
      this.ohmsIm += held.im;
      // A transformer may couple the two sides.
      held.tellTransfer(seenAt, ends[0]!, ends[1]!, ends[2]!, ends[3]!);
      this.lessOhms(this.ohmsRe + 2 * held.re, this.ohmsIm + 2 * held.im, t);
    } else {
      this.tellBetween(held.column(index), ends, false);
      this.lessOhms(this.betweenRe, this.betweenIm, t);
    }
  }

  private lessOhms(ofRe: number, ofIm: number, to: Float64Array): void {
    const { t, k } = this;
    let re = ofRe;
    let im = ofIm;
    for (let q = 0; q < this.count; q += 1) {
      const byRe = t[2 * q]! * k[2 * q]! - t[2 * q + 1]! * k[2 * q + 1]!;
      const byIm = t[2 * q]! * k[2 * q + 1]! + t[2 * q + 1]! * k[2 * q]!;
      re -= byRe * to[2 * q]! - byIm * to[2 * q + 1]!;
      im -= byRe * to[2 * q + 1]! + byIm * to[2 * q]!;
    }
    this.ohmsRe = re;
    this.ohmsIm = im;
  }

  fix(index: number): void {
    const { fixed, ends, t } = this;
    this.look(index);
    fixed.index = index;
    fixed.across = this.across;
    fixed.frequency = this.seenAt;
    for (let e = 0; e < 4; e += 1) fixed.ends[e] = ends[e]!;
    for (let part = 0; part < 2 * this.count; part += 1) fixed.t[part] = t[part]!;
  }

  /** NaN between two pairs that both lead over a link. */
  transferToFixed(index: number): number {
    const { held, fixed, ends, across } = this;
    if (this.seenAt !== fixed.frequency) return 0;
    if (across && fixed.across) return Number.NaN;
    if (fixed.across) this.tellBetween(held.column(index), fixed.ends, true);
    else this.tellBetween(held.column(fixed.index), ends, across);
    this.lessOhms(this.betweenRe, this.betweenIm, fixed.t);
    return Math.sqrt(this.ohmsRe * this.ohmsRe + this.ohmsIm * this.ohmsIm);
  }

  /** What is parted by the fault at hand counts with the rest: that makes volts more and never less. */
  highestVolts(position: number, enough: number): number {
    const { space, held } = this;
    const isStill = this.count === 0 && this.link === undefined;
    if (isStill && held.strokeCount === 0 && held.linkCount === 0) return space.highestVolts(position);
    const now = isStill ? held.volts : this.nodeVolts();
    let most = this.voltsOf(now, this.highNode, position);
    for (let node = 0; node < space.nodeCount && most < enough; node += 1) {
      const each = this.voltsOf(now, node, position);
      if (each <= most) continue;
      most = each;
      this.highNode = node;
    }
    return most;
  }

  /** Volts of every node; on one side of the link they are moved, so that nothing drops over it. */
  private nodeVolts(): NodeVolts {
    const { held, link, l, w } = this;
    const now = this.workRoom(mostOwn);
    copy(held.volts, now);
    for (let q = 0; q < this.count; q += 1) {
      const own = this.workRoom(q);
      copy(this.spreadOf(q), own);
      for (let r = 0; r < q; r += 1) {
        const at = 2 * (q * mostOwn + r);
        less(own, this.workRoom(r), l[at]!, l[at + 1]!);
      }
      less(now, own, w[2 * q]!, w[2 * q + 1]!);
    }
    if (link === undefined) return now;
    const { nodeCount } = this.space;
    const [kept, moved] = this.isApart(link.b, nodeCount) ? [link.a, link.b] : [link.b, link.a];
    const re = now.re[kept]! - now.re[moved]!;
    const im = now.im[kept]! - now.im[moved]!;
    for (let node = 0; node < nodeCount; node += 1) {
      if (this.isApart(node, moved)) continue;
      now.re[node]! += re;
      now.im[node]! += im;
    }
    return now;
  }

  private workRoom(at: number): NodeVolts {
    const room = this.work[at] ?? newVolts(this.space.nodeCount + 1);
    this.work[at] = room;
    return room;
  }

  /** The more of a node's volts against a position and against the reference, as far as they are of its island. */
  private voltsOf(volts: NodeVolts, node: number, position: number): number {
    const { nodeCount } = this.space;
    if (this.held.frequencies[node] === mixed) return 0;
    let most = 0;
    for (const other of [position, nodeCount]) {
      if (!this.mayMeet(node, other)) continue;
      const re = volts.re[node]! - volts.re[other]!;
      const im = volts.im[node]! - volts.im[other]!;
      most = Math.max(most, Math.sqrt(re * re + im * im));
    }
    return most;
  }

  /** Whether two positions are of one island, as they were before the fault at hand parted any. */
  private mayMeet(one: number, other: number): boolean {
    const { labels } = this.held;
    if (labels[one] === labels[other]) return true;
    const { link } = this;
    if (link === undefined) return false;
    const a = labels[link.a];
    const b = labels[link.b];
    return (labels[one] === a && labels[other] === b) || (labels[one] === b && labels[other] === a);
  }

  /** Whether nothing but a link joins two positions. */
  private isApart(one: number, other: number): boolean {
    const { labels } = this.held;
    if (labels[one] !== labels[other]) return true;
    for (let at = 0; at < this.splitCount; at += 1) {
      const split = this.splits[at]!;
      if (split[one] !== split[other]) return true;
    }
    return false;
  }

  /** Whether the link joins two positions that are apart: `ends` are then one, its end there, its other end, and the other. */
  private leadOver(one: number, other: number): boolean {
    const { link, ends } = this;
    if (link === undefined) return false;
    const there = !this.isApart(one, link.a) && !this.isApart(other, link.b);
    if (!there && (this.isApart(one, link.b) || this.isApart(other, link.a))) return false;
    ends[0] = one;
    ends[1] = there ? link.a : link.b;
    ends[2] = there ? link.b : link.a;
    ends[3] = other;
    return true;
  }

  /** Of u between two ends, or on both sides of the link. */
  private tellBetween(u: NodeVolts, ends: Int32Array, across: boolean): void {
    const a = ends[0]!;
    const b = ends[1]!;
    this.betweenRe = u.re[a]! - u.re[b]!;
    this.betweenIm = u.im[a]! - u.im[b]!;
    if (!across) return;
    const c = ends[2]!;
    const d = ends[3]!;
    this.betweenRe += u.re[c]! - u.re[d]!;
    this.betweenIm += u.im[c]! - u.im[d]!;
  }
}

/** Whether something that was joined leads past a branch that alone joined its ends. */
function isCrossed(split: Int32Array, joined: readonly number[]): boolean {
  for (let at = 0; at < joined.length; at += 2)
    if (split[joined[at]!] !== split[joined[at + 1]!]) return true;
  return false;
}
