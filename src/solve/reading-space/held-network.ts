import type { AlteredSpace } from './altered-space.js';
import { type Laid, nothingLaid } from './laid-fault.js';
import type { LegNets, NetsBySpace, Shorts } from './leg-nets.js';
import { noChange, type OneChange, type OneChanges, type Stroke } from './one-change.js';
import type { Seen, SeenNetwork } from './seen.js';
import { mixed, type NodeVolts, type ReadingSpace } from './space.js';
import { mostStrokes, type Strokes } from './strokes.js';

/** A branch taken away that leaves less than this of 1 - y z may have joined two parts alone: `AlteredSpace` looks at that. */
const looksAlone = 1e-6;
/** Below this too few digits are left; and the share of a pivot that rounding may cost it, as in `AlteredSpace`. */
const leastPivot = 1e-11;
const mostRounding = 1e-3;
const rounding = 4e-16;

/**
 * A solved network with whatever stays laid over it, in flat arrays by node, and one change of one admittance more, the
 * next every time. What stays is worked into the arrays once, so that the next costs a few multiplications for each pair
 * that is looked at. With z the impedance across the change, v the volts there and its own EMF, and t(p) its transfer
 * to a pair p, all of the network that stays:
 *
 *   k = dy / (1 + dy z)      v(p) - t(p) k v      z(p, q) - t(p) k t(q)
 *
 * A branch that alone joined two parts carried nothing: nothing moves then but the islands. All else (two changes and
 * more, what joins islands, what leaves too few digits) is for `AlteredSpace`.
 *
 * Arrays by position have real and imaginary parts one after the other.
 */
export class HeldNetwork implements SeenNetwork {
  readonly space: ReadingSpace;
  re = 0;
  im = 0;
  ohmsRe = 0;
  ohmsIm = 0;
  seenAt = 0;
  private readonly changes: OneChanges;
  private readonly label: Int32Array;
  private readonly volts: Float64Array;
  /** By pair, made when it is first looked at. */
  private readonly columns: Float64Array[] = [];
  private readonly made: Uint8Array;
  private readonly gone: number[] = [];
  private readonly joined: number[] = [];
  /** Nets that conductors make of it, and whether those short something: found when it is asked for. */
  private nets: LegNets | undefined;
  private heldNets: LegNets | undefined;
  private heldShorts: Shorts | undefined;
  /** Branches that actuators move here. */
  private readonly movedBranches: Uint8Array;
  /** Strokes that stay: k and k v of each, and the volts of every node for one amp through it, as those before it leave them. */
  private count = 0;
  private readonly k = new Float64Array(2 * mostStrokes);
  private readonly w = new Float64Array(2 * mostStrokes);
  private readonly hertz = new Int8Array(mostStrokes);
  private readonly spread: Float64Array[] = [];
  /** What the fault at hand does; its stroke, with its k and k v; or the islands where it parts one. */
  private own: OneChange = noChange;
  private stroke: Stroke | undefined;
  private kRe = 0;
  private kIm = 0;
  private wRe = 0;
  private wIm = 0;
  private split: Int32Array | null = null;
  /** Transfer from that stroke to the pair that was looked at last, and to the one that is kept. */
  private tRe = 0;
  private tIm = 0;
  private readonly fixed = { frequency: 0, index: 0, tRe: 0, tIm: 0 };
  private highNode = 0;
  /** Work space: volts of every node. */
  private readonly room: Float64Array;

  constructor(changes: OneChanges) {
    const { space } = changes;
    this.space = space;
    this.changes = changes;
    this.label = new Int32Array(space.nodeCount + 1);
    this.volts = new Float64Array(2 * (space.nodeCount + 1));
    this.room = new Float64Array(this.volts.length);
    this.made = new Uint8Array(space.pairs.length);
    this.movedBranches = new Uint8Array(space.from.length);
  }

  /** Works in what stays, from the same space: `moved` are branches that actuators move. False where islands were joined. */
  hold(room: AlteredSpace, moved: readonly { readonly branch: number }[]): boolean {
    if (room.joinsIslands) return false;
    const { gone, joined, movedBranches } = this;
    this.label.set(room.labels);
    gone.length = 0;
    joined.length = 0;
    for (const branch of room.removed) gone.push(branch);
    for (const position of room.added) joined.push(position);
    movedBranches.fill(0);
    for (const { branch } of moved) movedBranches[branch] = 1;
    this.made.fill(0);
    this.heldShorts = undefined;
    this.highNode = 0;
    this.holdStrokes(room.strokes);
    this.lay(nothingLaid);
    return true;
  }

  private holdStrokes(strokes: Strokes): void {
    const { space, volts, spread, k, w, hertz } = this;
    interleave(space.volts, volts);
    this.count = 0;
    for (let q = 0; q < strokes.count; q += 1) {
      const [a, b] = strokes.ends(q);
      hertz[q] = strokes.hertz[q]!;
      for (let part = 2 * q; part < 2 * q + 2; part += 1) {
        k[part] = strokes.k[part]!;
        w[part] = strokes.w[part]!;
      }
      const own = spread[q] ?? new Float64Array(volts.length);
      spread[q] = own;
      interleave(this.changes.column(hertz[q]!, a, b), own);
      this.lessStrokes(own, a, b);
      this.count = q + 1;
      less(volts, own, w[2 * q]!, w[2 * q + 1]!);
    }
  }

  /** Takes from a column of the space, of the pair with these ends, what strokes take from it. */
  private lessStrokes(column: Float64Array, a: number, b: number): void {
    const { k, spread, count } = this;
    for (let q = 0; q < count; q += 1) {
      const own = spread[q]!;
      const tRe = own[2 * a]! - own[2 * b]!;
      const tIm = own[2 * a + 1]! - own[2 * b + 1]!;
      if (tRe === 0 && tIm === 0) continue;
      const kRe = k[2 * q]!;
      const kIm = k[2 * q + 1]!;
      less(column, own, tRe * kRe - tIm * kIm, tRe * kIm + tIm * kRe);
    }
  }

  private column(index: number): Float64Array {
    const kept = this.columns[index];
    if (this.made[index] === 1) return kept!;
    const { space } = this;
    const column = kept ?? new Float64Array(this.volts.length);
    this.columns[index] = column;
    this.made[index] = 1;
    interleave(space.column(index), column);
    this.lessStrokes(column, space.pairA[index]!, space.pairB[index]!);
    return column;
  }

  shorts(nets: NetsBySpace): Shorts {
    const { gone, joined, own } = this;
    if (joined.length === 0 && own.joined.length === 0) return 'no';
    if (this.heldShorts === undefined) {
      const base = nets.netsOf(this.space);
      if (base.isOpen || (gone.length === 0 && joined.length === 0)) this.nets = base;
      else {
        this.heldNets ??= base.another();
        this.heldNets.hold(gone, joined);
        this.nets = this.heldNets;
      }
      this.heldShorts = this.nets.shorts([], []);
    }
    if (own.joined.length === 0) {
      // What is taken away joins nothing.
      if (this.heldShorts === 'no' || own.gone.length === 0) return this.heldShorts;
      if (this.heldShorts === 'yes' && this.nets!.staysShorted(own.gone)) return 'yes';
    }
    return this.nets!.shorts(own.gone, own.joined);
  }

  /** One more fault, instead of the one before; false where that is not to be told from here. */
  lay(laid: Laid): boolean {
    const own = this.changes.of(laid);
    if (own === null) return false;
    for (let at = 0; at < own.touched.length; at += 1)
      if (this.movedBranches[own.touched[at]!] === 1) return false;
    this.own = own;
    this.stroke = undefined;
    this.split = null;
    const { stroke } = own;
    return stroke === undefined || this.strike(stroke);
  }

  private strike(stroke: Stroke): boolean {
    const { branch, a, b, leaves, split } = stroke;
    // Taken away twice is no more than once.
    if (branch >= 0 && this.gone.includes(branch)) return leaves;
    if (split !== null && !this.isCrossed(split)) {
      this.split = split;
      return true;
    }
    if (this.label[a] !== this.label[b]) return false;
    const { dyRe, dyIm } = stroke;
    let { ohmsRe, ohmsIm } = stroke;
    for (let q = 0; q < this.count; q += 1) {
      const own = this.spread[q]!;
      const tRe = own[2 * a]! - own[2 * b]!;
      const tIm = own[2 * a + 1]! - own[2 * b + 1]!;
      const squareRe = tRe * tRe - tIm * tIm;
      const squareIm = 2 * tRe * tIm;
      const kRe = this.k[2 * q]!;
      const kIm = this.k[2 * q + 1]!;
      ohmsRe -= squareRe * kRe - squareIm * kIm;
      ohmsIm -= squareRe * kIm + squareIm * kRe;
    }
    const pivotRe = 1 + dyRe * ohmsRe - dyIm * ohmsIm;
    const pivotIm = dyRe * ohmsIm + dyIm * ohmsRe;
    const square = pivotRe * pivotRe + pivotIm * pivotIm;
    if (!(square >= leastPivot * leastPivot) || (leaves && square < looksAlone * looksAlone)) return false;
    if ((branch < 0 || this.count > 0) && this.isRounded(stroke, square)) return false;
    const kRe = (dyRe * pivotRe + dyIm * pivotIm) / square;
    const kIm = (dyIm * pivotRe - dyRe * pivotIm) / square;
    const vRe = this.volts[2 * a]! - this.volts[2 * b]! + stroke.emfRe;
    const vIm = this.volts[2 * a + 1]! - this.volts[2 * b + 1]! + stroke.emfIm;
    this.stroke = stroke;
    this.kRe = kRe;
    this.kIm = kIm;
    this.wRe = kRe * vRe - kIm * vIm;
    this.wIm = kRe * vIm + kIm * vRe;
    return true;
  }

  /** Whether something that was joined leads past a branch that alone joined its ends. */
  private isCrossed(split: Int32Array): boolean {
    const { joined } = this;
    for (let at = 0; at < joined.length; at += 2)
      if (split[joined[at]!] !== split[joined[at + 1]!]) return true;
    return false;
  }

  /** Impedances of nodes against the reference are good to some 1e-16 of them: whether that matters here. */
  private isRounded(stroke: Stroke, pivotSquare: number): boolean {
    const size = this.changes.sizeAt(stroke);
    return rounding * size * stroke.dy > mostRounding * Math.sqrt(pivotSquare);
  }

  conducts(branch: number): boolean {
    if (this.space.point.present[branch] !== 1) return false;
    return !this.gone.includes(branch) && !this.own.gone.includes(branch);
  }

  siemens(branch: number): number {
    return this.space.siemens(this.seenAt, branch);
  }

  look(index: number): Seen {
    const { space, label, split, volts, stroke } = this;
    const a = space.pairA[index]!;
    const b = space.pairB[index]!;
    if (label[a] !== label[b] || (split !== null && split[a] !== split[b])) return 'floating';
    const frequency = space.frequency[a]!;
    this.seenAt = frequency;
    if (frequency === mixed) return 'unknown';
    this.re = volts[2 * a]! - volts[2 * b]!;
    this.im = volts[2 * a + 1]! - volts[2 * b + 1]!;
    this.tRe = 0;
    this.tIm = 0;
    if (stroke === undefined || stroke.frequency !== frequency) return 'known';
    this.tellTransfer(index, stroke);
    const { tRe, tIm, wRe, wIm } = this;
    this.re -= tRe * wRe - tIm * wIm;
    this.im -= tRe * wIm + tIm * wRe;
    return 'known';
  }

  private tellTransfer(index: number, { a, b }: Stroke): void {
    const column = this.column(index);
    this.tRe = column[2 * a]! - column[2 * b]!;
    this.tIm = column[2 * a + 1]! - column[2 * b + 1]!;
  }

  lookOhms(index: number): void {
    const { space, tRe, tIm } = this;
    const a = space.pairA[index]!;
    const b = space.pairB[index]!;
    const column = this.column(index);
    const byRe = tRe * this.kRe - tIm * this.kIm;
    const byIm = tRe * this.kIm + tIm * this.kRe;
    this.ohmsRe = column[2 * a]! - column[2 * b]! - (byRe * tRe - byIm * tIm);
    this.ohmsIm = column[2 * a + 1]! - column[2 * b + 1]! - (byRe * tIm + byIm * tRe);
  }

  fix(index: number): void {
    const { fixed, space } = this;
    this.look(index);
    fixed.index = index;
    fixed.frequency = space.frequency[space.pairA[index]!]!;
    fixed.tRe = this.tRe;
    fixed.tIm = this.tIm;
  }

  transferToFixed(index: number): number {
    const { space, fixed, tRe, tIm } = this;
    const a = space.pairA[index]!;
    const b = space.pairB[index]!;
    if (space.frequency[a] !== fixed.frequency) return 0;
    const column = this.column(fixed.index);
    const byRe = tRe * this.kRe - tIm * this.kIm;
    const byIm = tRe * this.kIm + tIm * this.kRe;
    const re = column[2 * a]! - column[2 * b]! - (byRe * fixed.tRe - byIm * fixed.tIm);
    const im = column[2 * a + 1]! - column[2 * b + 1]! - (byRe * fixed.tIm + byIm * fixed.tRe);
    return Math.sqrt(re * re + im * im);
  }

  /** What is parted by the fault at hand counts with the rest: that makes volts more and never less. */
  highestVolts(position: number, enough: number): number {
    const { space, stroke, volts } = this;
    if (this.count === 0 && stroke === undefined) return space.highestVolts(position);
    const now = stroke === undefined ? volts : this.struck(stroke);
    let most = this.voltsOf(now, this.highNode, position);
    for (let node = 0; node < space.nodeCount && most < enough; node += 1) {
      const each = this.voltsOf(now, node, position);
      if (each <= most) continue;
      most = each;
      this.highNode = node;
    }
    return most;
  }

  /** Volts of every node with the stroke at hand. */
  private struck({ frequency, a, b }: Stroke): Float64Array {
    const { room: column, volts, wRe, wIm } = this;
    interleave(this.changes.column(frequency, a, b), column);
    this.lessStrokes(column, a, b);
    for (let at = 0; at < volts.length; at += 2) {
      const tRe = column[at]!;
      const tIm = column[at + 1]!;
      column[at] = volts[at]! - (tRe * wRe - tIm * wIm);
      column[at + 1] = volts[at + 1]! - (tRe * wIm + tIm * wRe);
    }
    return column;
  }

  /** The more of a node's volts against a position and against the reference, as far as they are of its island. */
  private voltsOf(volts: Float64Array, node: number, position: number): number {
    const { label, space } = this;
    const { nodeCount } = space;
    if (space.frequency[node] === mixed) return 0;
    const re = volts[2 * node]!;
    const im = volts[2 * node + 1]!;
    const own =
      label[node] === label[position] ? size(re - volts[2 * position]!, im - volts[2 * position + 1]!) : 0;
    if (label[node] !== label[nodeCount]) return own;
    return Math.max(own, size(re - volts[2 * nodeCount]!, im - volts[2 * nodeCount + 1]!));
  }
}

function size(re: number, im: number): number {
  return Math.sqrt(re * re + im * im);
}

function interleave({ re, im }: NodeVolts, into: Float64Array): void {
  for (let node = 0; node < re.length; node += 1) {
    into[2 * node] = re[node]!;
    into[2 * node + 1] = im[node]!;
  }
}

/** Takes so many times the volts of one column from another. */
function less(from: Float64Array, column: Float64Array, byRe: number, byIm: number): void {
  for (let at = 0; at < from.length; at += 2) {
    const re = column[at]!;
    const im = column[at + 1]!;
    from[at]! -= re * byRe - im * byIm;
    from[at + 1]! -= re * byIm + im * byRe;
  }
}
