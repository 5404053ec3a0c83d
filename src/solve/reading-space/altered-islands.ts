import { joinNodes } from './joined-labels.js';
import { mixed, type ReadingSpace } from './space.js';

/** Islands that change one after the other. */
const mostPartings = 12;

/** The islands of a space with branches gone and places joined, and the frequency that is alive in each. */
export class AlteredIslands {
  label: Int32Array;
  frequency: Int8Array;
  /** Branches that conduct no more, and pairs of positions that do now. */
  readonly gone: number[] = [];
  readonly joined: number[] = [];
  private space: ReadingSpace;
  private partings = 0;
  private readonly labelRoom: Int32Array[] = [];
  private readonly frequencyRoom: Int8Array[] = [];

  constructor(space: ReadingSpace) {
    this.space = space;
    this.label = space.island;
    this.frequency = space.frequency;
  }

  begin(space: ReadingSpace): void {
    this.space = space;
    this.label = space.island;
    this.frequency = space.frequency;
    this.partings = 0;
    this.gone.length = 0;
    this.joined.length = 0;
  }

  take(other: AlteredIslands): void {
    this.begin(other.space);
    this.label = other.label;
    this.frequency = other.frequency;
    this.partings = other.partings;
    for (const branch of other.gone) this.gone.push(branch);
    for (const position of other.joined) this.joined.push(position);
  }

  /** Makes two islands one; false where that can't be told. `untouched`: no stroke stands yet. */
  join(a: number, b: number, untouched: boolean): boolean {
    if (this.partings === mostPartings || !this.agreeOnFrequency(a, b, untouched)) return false;
    const before = this.label;
    const one = before[a]!;
    const other = before[b]!;
    const after = this.roomForLabels();
    for (let node = 0; node < after.length; node += 1)
      after[node] = before[node]! === other ? one : before[node]!;
    this.label = after;
    return true;
  }

  /** Whether a branch that is gone now joined its ends alone; the islands are then those without it. */
  partedBy(branch: number): boolean {
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

  /** Two islands that are joined have volts of one frequency, or one of them has none at all and nothing was done there. */
  private agreeOnFrequency(a: number, b: number, untouched: boolean): boolean {
    const one = this.frequency[a]!;
    const other = this.frequency[b]!;
    if (one === mixed || other === mixed) return false;
    if (one === other) return true;
    const { alive } = this.space;
    const dead = alive[a] === 0 ? a : alive[b] === 0 ? b : -1;
    if (dead === -1 || !untouched) return false;
    const before = this.frequency;
    const after = this.roomForFrequencies(before.length);
    const theirs = dead === a ? other : one;
    const isDc = !this.space.isAlternating(theirs);
    for (let node = 0; node < after.length; node += 1) {
      const isJoined = this.label[node] === this.label[dead];
      if (isJoined && isDc && this.space.parts[node] === 1) return false;
      after[node] = isJoined ? theirs : before[node]!;
    }
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
}
