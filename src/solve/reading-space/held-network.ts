import { AlteredSpace } from './altered-space.js';
import type { FaultChanges } from './few-changes.js';
import type { LegNets, NetsBySpace, Shorts } from './leg-nets.js';
import type { NodeVolts, ReadingSpace } from './space.js';

/**
 * A solved network with what stays laid over it (`room`), worked once into flat arrays by position, so that what comes on
 * top costs little for each pair that is looked at (`StruckNetwork`). With u the volts of every node, of the sources or of one
 * amp through a pair, x and y the ends of a link of R ohms that carries i, and t the transfer to a stroke:
 *
 *   link    u += u(x) - u(y) - R i  on one side of it, the one without the reference
 *   stroke  u -= t k s              s: volts of every node for one amp through it, as strokes before it leave them
 */
export class HeldNetwork {
  readonly space: ReadingSpace;
  readonly changes: FaultChanges;
  volts: NodeVolts;
  private ownVolts: NodeVolts | undefined;
  /** Island of each position, and the frequency that is alive there. */
  labels: Int32Array;
  frequencies: Int8Array;
  /** Branches that conduct no more where they did, and ends of what does now, two and two. */
  removed: readonly number[] = [];
  added: readonly number[] = [];
  linkCount = 0;
  /** Volts of every node for one amp through each stroke, as those before it leave them. */
  readonly spread: NodeVolts[] = [];
  strokeCount = 0;
  /** What `tellOhms` found. */
  re = 0;
  im = 0;
  private work: NodeVolts | undefined;
  /** What stays, where anything does. */
  private room: AlteredSpace | undefined;
  /** By pair, made when it is first looked at. */
  private readonly columns: NodeVolts[] = [];
  private readonly made: (0 | 1)[] = [];
  /** Branches that actuators move here. */
  private moved: readonly { readonly branch: number }[] = [];
  /** Nets that conductors make of it, and whether those short something: found when it is asked for. */
  private nets: LegNets | undefined;
  private ownNets: LegNets | undefined;
  private heldShorts: Shorts | undefined;

  constructor(changes: FaultChanges) {
    const { space } = changes;
    this.space = space;
    this.changes = changes;
    this.labels = space.island;
    this.frequencies = space.frequency;
    this.volts = space.volts;
  }

  /** A network to lay over what is to stay; it is then worked in. */
  begin(): AlteredSpace {
    this.room ??= new AlteredSpace(this.space);
    this.room.begin(this.space);
    return this.room;
  }

  /** Works in what `begin` gave; `moved` are branches that actuators move. */
  workIn(moved: readonly { readonly branch: number }[]): void {
    const { room, spread } = this;
    if (room === undefined) throw new Error('nothing was laid');
    this.moved = moved;
    this.labels = room.labels;
    this.frequencies = room.frequencies;
    this.removed = room.removed;
    this.added = room.added;
    this.linkCount = room.links.count;
    this.made.fill(0);
    this.heldShorts = undefined;
    this.ownVolts ??= newVolts(this.space.nodeCount + 1);
    const volts = this.ownVolts;
    this.volts = volts;
    copy(this.space.volts, volts);
    this.shift(volts, false);
    const { strokes } = room;
    for (let q = 0; q < strokes.count; q += 1) {
      const [a, b] = strokes.ends(q);
      const own = spread[q] ?? newVolts(this.space.nodeCount + 1);
      spread[q] = own;
      this.strokeCount = q;
      this.fill(own, strokes.hertz[q]!, a, b);
      less(volts, own, strokes.w[2 * q]!, strokes.w[2 * q + 1]!);
    }
    this.strokeCount = strokes.count;
  }

  isMoved(branch: number): boolean {
    const { moved } = this;
    for (let at = 0; at < moved.length; at += 1) if (moved[at]!.branch === branch) return true;
    return false;
  }

  /** Volts of every node for one amp through a pair of the space. */
  column(index: number): NodeVolts {
    if (this.strokeCount === 0 && this.linkCount === 0) return this.space.column(index);
    if (this.made[index] === 1) return this.columns[index]!;
    const { space } = this;
    const column = this.columns[index] ?? newVolts(this.space.nodeCount + 1);
    this.columns[index] = column;
    this.made[index] = 1;
    const a = space.pairs.a[index]!;
    this.fill(column, this.frequencies[a]!, a, space.pairs.b[index]!, index);
    return column;
  }

  /** The same between any two positions of one island; `index`: that of the pair, if it is one of the space. */
  fill(into: NodeVolts, frequency: number, a: number, b: number, index = -1): void {
    const { space, changes } = this;
    if (this.isLinked(a, b)) this.fillFromNodes(into, frequency);
    else if (index >= 0 && space.frequency[a] === frequency) copy(space.column(index), into);
    else copy(changes.column(frequency, a, b), into);
    this.shift(into, true);
    if (this.room === undefined) return;
    const { k, hertz } = this.room.strokes;
    for (let q = 0; q < this.strokeCount; q += 1) {
      if (hertz[q] !== frequency) continue;
      const own = this.spread[q]!;
      const tRe = own.re[a]! - own.re[b]!;
      const tIm = own.im[a]! - own.im[b]!;
      if (tRe === 0 && tIm === 0) continue;
      const kRe = k[2 * q]!;
      const kIm = k[2 * q + 1]!;
      less(into, own, tRe * kRe - tIm * kIm, tRe * kIm + tIm * kRe);
    }
  }

  /** Impedance between two positions of one island, of a branch if it is one that conducts: then `re` and `im`. */
  tellOhms(frequency: number, a: number, b: number, branch: number): void {
    const { space } = this;
    if (this.isLinked(a, b)) {
      this.work ??= newVolts(this.space.nodeCount + 1);
      this.fill(this.work, frequency, a, b);
      this.re = this.work.re[a]! - this.work.re[b]!;
      this.im = this.work.im[a]! - this.work.im[b]!;
      return;
    }
    if (branch < 0) {
      this.tellTransfer(frequency, a, b, a, b);
      return;
    }
    this.re = space.across[2 * branch]!;
    this.im = space.across[2 * branch + 1]!;
    this.lessStrokes(frequency, a, b, a, b);
  }

  /** Transfer between two pairs of positions, of one island: then `re` and `im`. */
  tellTransfer(frequency: number, a: number, b: number, c: number, d: number): void {
    if (this.linkCount > 0) {
      this.work ??= newVolts(this.space.nodeCount + 1);
      this.fill(this.work, frequency, a, b);
      this.re = this.work.re[c]! - this.work.re[d]!;
      this.im = this.work.im[c]! - this.work.im[d]!;
      return;
    }
    const one = this.space.nodeColumn(frequency, a);
    const other = this.space.nodeColumn(frequency, b);
    this.re = one.re[c]! - one.re[d]! - (other.re[c]! - other.re[d]!);
    this.im = one.im[c]! - one.im[d]! - (other.im[c]! - other.im[d]!);
    this.lessStrokes(frequency, a, b, c, d);
  }

  /** Takes from a transfer what strokes take from it. */
  private lessStrokes(frequency: number, a: number, b: number, c: number, d: number): void {
    if (this.room === undefined) return;
    const { k, hertz } = this.room.strokes;
    for (let q = 0; q < this.strokeCount; q += 1) {
      if (hertz[q] !== frequency) continue;
      const own = this.spread[q]!;
      const tRe = own.re[a]! - own.re[b]!;
      const tIm = own.im[a]! - own.im[b]!;
      const toRe = own.re[c]! - own.re[d]!;
      const toIm = own.im[c]! - own.im[d]!;
      const byRe = tRe * k[2 * q]! - tIm * k[2 * q + 1]!;
      const byIm = tRe * k[2 * q + 1]! + tIm * k[2 * q]!;
      this.re -= byRe * toRe - byIm * toIm;
      this.im -= byRe * toIm + byIm * toRe;
    }
  }

  /** Whether legs are shorted with these branches gone and these positions joined besides. */
  shorts(nets: NetsBySpace, gone: readonly number[], joined: readonly number[]): Shorts {
    const { removed, added } = this;
    if (added.length === 0 && joined.length === 0) return 'no';
    if (this.heldShorts === undefined) {
      const base = nets.netsOf(this.space);
      if (base.isOpen || (removed.length === 0 && added.length === 0)) this.nets = base;
      else {
        this.ownNets ??= base.another();
        this.ownNets.hold(removed, added);
        this.nets = this.ownNets;
      }
      this.heldShorts = this.nets.shorts([], []);
    }
    if (joined.length === 0) {
      // What is taken away joins nothing.
      if (this.heldShorts === 'no' || gone.length === 0) return this.heldShorts;
      if (this.heldShorts === 'yes' && this.nets!.staysShorted(gone)) return 'yes';
    }
    return this.nets!.shorts(gone, joined);
  }

  /** Whether a pair has ends on two sides of a link; it is then at hand in its parts. */
  private isLinked(a: number, b: number): boolean {
    if (this.room === undefined || this.linkCount === 0) return false;
    const { links } = this.room;
    links.part(a, b);
    return links.pair.count > 2;
  }

  private fillFromNodes(into: NodeVolts, frequency: number): void {
    const { count, at, sign } = this.room!.links.pair;
    into.re.fill(0);
    into.im.fill(0);
    for (let e = 0; e < count; e += 1) {
      const { re, im } = this.space.nodeColumn(frequency, at[e]!);
      const by = sign[e]!;
      for (let node = 0; node < re.length; node += 1) {
        into.re[node]! += by * re[node]!;
        into.im[node]! += by * im[node]!;
      }
    }
  }

  /** Moves the volts on one side of each link; `driven`: by the pair at hand, some of whose amp they carry. */
  private shift(u: NodeVolts, driven: boolean): void {
    if (this.room === undefined || this.linkCount === 0) return;
    const { links } = this.room;
    const { nodeCount } = this.space;
    for (let link = 0; link < links.count; link += 1) {
      const labels = links.labels[link]!;
      const x = links.ends[2 * link]!;
      const y = links.ends[2 * link + 1]!;
      const amps = driven ? links.pair.through[link]! : 0;
      let byRe = u.re[x]! - u.re[y]! - amps * links.ohms[2 * link]!;
      let byIm = u.im[x]! - u.im[y]! - amps * links.ohms[2 * link + 1]!;
      const isX = labels[y] === labels[nodeCount];
      if (isX) {
        byRe = -byRe;
        byIm = -byIm;
      }
      const side = labels[isX ? x : y]!;
      for (let node = 0; node < nodeCount; node += 1) {
        if (labels[node] !== side) continue;
        u.re[node]! += byRe;
        u.im[node]! += byIm;
      }
    }
  }
}

export function newVolts(count: number): NodeVolts {
  return { re: new Float64Array(count), im: new Float64Array(count) };
}

export function copy(from: NodeVolts, into: NodeVolts): void {
  into.re.set(from.re);
  into.im.set(from.im);
}

/** Takes so many times the volts of one column from another. */
export function less(from: NodeVolts, column: NodeVolts, byRe: number, byIm: number): void {
  const { re, im } = column;
  for (let node = 0; node < re.length; node += 1) {
    from.re[node]! -= re[node]! * byRe - im[node]! * byIm;
    from.im[node]! -= re[node]! * byIm + im[node]! * byRe;
  }
}
