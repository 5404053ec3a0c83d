import { acrossSlots } from '../kernel/selected-inverse.js';
import { type OperatingPoint, passingAt } from '../point.js';
import { areLegsJoined } from '../supply-path.js';
import { PointView } from '../view.js';
import { joinNodes } from './joined-labels.js';
import type { PairList } from './pair-list.js';

/** Volts of every node for one amp put in at a and taken out at b, or in at one node; the reference comes last, at 0. */
export interface NodeVolts {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

const columnsPerBuffer = 16;
/** A branch with less than this of 1 - y z may join two parts alone. */
export const looksAlone = 1e-6;

/** Of a place where volts of several frequencies stand at once. */
export const mixed = -1;

/**
 * A solved network as it is seen from the pairs somebody asks for, and from both ends of every branch: all that is
 * needed to say what a change of a few branches does there without solving again (`AlteredSpace`). One column of the
 * inverse a pair, on demand and kept; the impedances across all branches come at once (`acrossSlots`).
 *
 * Volts are kept at one frequency a node, that of its island's supply; where an island has several, nothing is told.
 * Arrays by node have the common reference as one more, at `nodeCount`.
 */
export class ReadingSpace {
  readonly point: OperatingPoint;
  readonly nodeCount: number;
  readonly pairs: PairList;
  /** Island by node, and the frequency that is alive there, or the first where none is. */
  readonly island: Int32Array;
  readonly frequency: Int8Array;
  readonly alive: Uint8Array;
  /** Whether a capacitor of the node's island parts it at dc, as no place may then come to live. */
  readonly parts: Uint8Array;
  readonly volts: NodeVolts;
  /** Impedance between the ends of each branch at the frequency of its first node, in pairs. */
  readonly across: Float64Array;
  /** Branches that conduct, with their ends as positions in arrays by node. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  readonly conducting: Int32Array;
  /** Supply legs that conductors join by themselves: what a fault does then is not to be told from here. */
  readonly shorted: boolean;
  private room = new ArrayBuffer(0);
  private roomUsed = 0;
  private readonly columns: (NodeVolts | undefined)[] = [];
  private readonly nodeColumns: (NodeVolts | undefined)[] = [];
  private readonly splits: (Int32Array | null | undefined)[] = [];
  private readonly highest: Float64Array;
  private readonly alone: (ReadingSpace | undefined)[] = [];

  /** Undefined where answers hang on refinement (resonance), or a capacitor parts at dc what lives at dc. */
  static of(point: OperatingPoint, pairs: PairList): ReadingSpace | undefined {
    if (point.phasors.some(({ factor }) => factor.delicate)) return undefined;
    const space = new ReadingSpace(point, pairs, undefined);
    for (let node = 0; node < space.nodeCount; node += 1)
      if (space.parts[node] === 1 && !space.isAlternating(space.frequency[node]!)) return undefined;
    return space;
  }

  /** The same with the volts of one frequency alone, wherever others stand beside them. */
  at(frequency: number): ReadingSpace {
    const kept = this.alone[frequency] ?? new ReadingSpace(this.point, this.pairs, frequency);
    this.alone[frequency] = kept;
    return kept;
  }

  private constructor(point: OperatingPoint, pairs: PairList, only: number | undefined) {
    const { structure, islands, present } = point;
    this.point = point;
    this.pairs = pairs;
    this.nodeCount = structure.nodeCount;
    this.island = new Int32Array(this.nodeCount + 1);
    this.island.set(islands);
    const place = (node: number) => (node < 0 ? this.nodeCount : node);
    this.from = structure.from.map(place);
    this.to = structure.to.map(place);
    this.conducting = Int32Array.from(present.keys()).filter((branch) => present[branch] === 1);
    this.frequency = new Int8Array(this.nodeCount + 1);
    this.alive = new Uint8Array(this.nodeCount + 1);
    this.parts = this.partedAtDc();
    if (only === undefined) this.listFrequencies();
    else this.frequency.fill(only);
    this.volts = this.gatherVolts();
    this.across = this.gatherAcross();
    this.shorted = only === undefined && areLegsJoined(new PointView(point));
    this.highest = new Float64Array(this.nodeCount + 1).fill(-1);
  }

  place(node: number): number {
    return node < 0 ? this.nodeCount : node;
  }

  /** Size of a branch's admittance; NaN where volts of several frequencies stand. */
  siemens(frequency: number, branch: number): number {
    const y = this.point.phasors[frequency]?.y;
    if (y === undefined) return Number.NaN;
    const re = y.re[branch]!;
    const im = y.im[branch]!;
    return Math.sqrt(re * re + im * im);
  }

  /** Volts of every node for one amp through a pair; at the frequency of its first node. */
  column(index: number): NodeVolts {
    const kept = this.columns[index];
    if (kept !== undefined) return kept;
    const a = this.pairs.a[index]!;
    const made = this.pairColumn(this.frequency[a]!, a, this.pairs.b[index]!);
    this.columns[index] = made;
    return made;
  }

  /** The same for one amp into one node, out at the reference or where its island is pinned. */
  nodeColumn(frequency: number, node: number): NodeVolts {
    const key = frequency * (this.nodeCount + 1) + node;
    const kept = this.nodeColumns[key];
    if (kept !== undefined) return kept;
    const made = this.solved(frequency, node === this.nodeCount ? -1 : node, -1);
    this.nodeColumns[key] = made;
    return made;
  }

  /** Islands without this branch, where it alone held two parts together; null where others do too. */
  splitBy(branch: number): Int32Array | null {
    const kept = this.splits[branch];
    if (kept !== undefined) return kept;
    if (!this.looksAlone(branch)) {
      this.splits[branch] = null;
      return null;
    }
    const labels = new Int32Array(this.nodeCount + 1);
    joinNodes(this, [branch], [], labels);
    const split = labels[this.from[branch]!] === labels[this.to[branch]!] ? null : labels;
    this.splits[branch] = split;
    return split;
  }

  /** Of 1 - y z nothing is left where a branch alone joins its ends, and at least some 1e-6 elsewhere. */
  private looksAlone(branch: number): boolean {
    const y = this.point.phasors[this.frequency[this.from[branch]!]!]?.y;
    if (y === undefined) return true;
    const ohmsRe = this.across[2 * branch]!;
    const ohmsIm = this.across[2 * branch + 1]!;
    const re = 1 - (y.re[branch]! * ohmsRe - y.im[branch]! * ohmsIm);
    const im = y.re[branch]! * ohmsIm + y.im[branch]! * ohmsRe;
    return re * re + im * im < looksAlone * looksAlone;
  }

  /** The most volts that any node of its island, or any node against the reference, has: nothing more can stray onto it. */
  highestVolts(node: number): number {
    const kept = this.highest[node]!;
    if (kept >= 0) return kept;
    const { re, im } = this.volts;
    let most = 0;
    for (let k = 0; k < this.nodeCount; k += 1) {
      if (this.island[k] === this.island[node]) {
        const x = re[k]! - re[node]!;
        const y = im[k]! - im[node]!;
        most = Math.max(most, x * x + y * y);
      }
      most = Math.max(most, re[k]! * re[k]! + im[k]! * im[k]!);
    }
    this.highest[node] = Math.sqrt(most);
    return this.highest[node]!;
  }

  /** The same between two positions of one island. */
  pairColumn(frequency: number, a: number, b: number): NodeVolts {
    const node = (position: number) => (position === this.nodeCount ? -1 : position);
    return this.solved(frequency, node(a), node(b));
  }

  /** Many share one buffer: a buffer of its own for each would cost more than what is written into it. */
  private newColumn(): Float64Array {
    const bytes = 8 * (this.nodeCount + 1);
    if (this.roomUsed + bytes > this.room.byteLength) {
      this.room = new ArrayBuffer(columnsPerBuffer * bytes);
      this.roomUsed = 0;
    }
    const column = new Float64Array(this.room, this.roomUsed, this.nodeCount + 1);
    this.roomUsed += bytes;
    return column;
  }

  private solved(frequency: number, a: number, b: number): NodeVolts {
    const re = this.newColumn();
    const im = this.newColumn();
    if (frequency === mixed) return { re, im };
    if (a >= 0) re[a]! += 1;
    if (b >= 0) re[b]! -= 1;
    const { factor, coupling } = this.point.phasors[frequency]!;
    factor.solve(re, im);
    const { from, to } = factor.structure;
    coupling?.apply(from, to, re.subarray(0, this.nodeCount), im.subarray(0, this.nodeCount));
    return { re, im };
  }

  private listFrequencies(): void {
    const { phasors } = this.point;
    const found = new Int8Array(this.nodeCount + 2).fill(-2);
    const meet = (node: number, frequency: number) => {
      const island = this.island[node]!;
      if (found[island] === -2) found[island] = frequency;
      else if (found[island] !== frequency) found[island] = mixed;
    };
    for (const [frequency, { re, im, emf }] of phasors.entries()) {
      for (let node = 0; node < this.nodeCount; node += 1)
        if (re[node] !== 0 || im[node] !== 0) meet(node, frequency);
      for (const branch of this.conducting)
        if (emf.re[branch] !== 0 || emf.im[branch] !== 0) meet(this.to[branch]!, frequency);
    }
    const alternating = phasors.findIndex((_, frequency) => this.isAlternating(frequency));
    for (let node = 0; node <= this.nodeCount; node += 1) {
      const frequency = found[this.island[node]!]!;
      const asDead = this.parts[node] === 1 ? alternating : 0;
      this.frequency[node] = frequency === -2 ? asDead : frequency;
      this.alive[node] = frequency === -2 ? 0 : 1;
    }
  }

  isAlternating(frequency: number): boolean {
    return frequency !== mixed && this.point.phasors[frequency]!.hertz > 0;
  }

  private partedAtDc(): Uint8Array {
    const { plan, conducts, present } = this.point;
    const parts = new Uint8Array(this.nodeCount + 1);
    if (plan.blocking.length === 0) return parts;
    const passing = passingAt(plan, 0, conducts, present);
    const parted = new Set(
      plan.blocking
        .filter((branch) => passing[branch] !== present[branch])
        .map((branch) => this.island[this.to[branch]!]),
    );
    for (let node = 0; node <= this.nodeCount; node += 1) if (parted.has(this.island[node])) parts[node] = 1;
    return parts;
  }

  private gatherVolts(): NodeVolts {
    const re = new Float64Array(this.nodeCount + 1);
    const im = new Float64Array(this.nodeCount + 1);
    for (let node = 0; node < this.nodeCount; node += 1) {
      const phasor = this.point.phasors[Math.max(0, this.frequency[node]!)]!;
      re[node] = phasor.re[node]!;
      im[node] = phasor.im[node]!;
    }
    return { re, im };
  }

  private gatherAcross(): Float64Array {
    const { phasors, structure } = this.point;
    const across = new Float64Array(2 * structure.branchCount);
    const slots = phasors.map(({ factor }) => acrossSlots(factor));
    for (let branch = 0; branch < structure.branchCount; branch += 1) {
      const slot = structure.slot[branch]!;
      const a = this.from[branch]!;
      const b = this.to[branch]!;
      const frequency = this.frequency[a]!;
      if (slot < 0 || frequency === mixed || this.island[a] !== this.island[b]) continue;
      const flux = phasors[frequency]!.coupling?.between(structure.from[branch]!, structure.to[branch]!);
      across[2 * branch] = slots[frequency]![2 * slot]! + (flux?.re ?? 0);
      across[2 * branch + 1] = slots[frequency]![2 * slot + 1]! + (flux?.im ?? 0);
    }
    return across;
  }
}
