import type { Laid, LaidChange } from './laid-fault.js';
import type { NetsBySpace, Shorts } from './leg-nets.js';
import { mixed, type ReadingSpace } from './space.js';

/** Volts at most between places whose joining moves nothing. */
const noVolts = 1e-9;

/** What a branch does that is taken away: it was not looked at yet, moves nothing, or more. */
const parting = { unknown: 0, parts: 1, moves: 2 } as const;

/**
 * A solved network and the pairs that actuators and limits look at there: whether a fault leaves every volt of theirs as it
 * is, told without laying it. A branch that alone held two parts together carried no current, and one that joins two
 * islands carries none, so only the islands change; most wires of a state lead to something that is switched off.
 */
export class StillNetwork {
  readonly space: ReadingSpace;
  private readonly watched: number;
  private readonly partings: Uint8Array;
  /** Watched pairs whose ends nothing joins. */
  private readonly apart: readonly number[];
  /** Of the fault at hand: branches gone, the islands without each, and ends of what it joins, two and two. */
  private readonly gone: number[] = [];
  private readonly splits: Int32Array[] = [];
  private readonly joined: number[] = [];
  /** Ends of those that join islands. */
  private readonly linked: number[] = [];

  /** `watched`: that many pairs of the space, the first ones. */
  constructor(space: ReadingSpace, watched: number) {
    const { island, pairs } = space;
    this.space = space;
    this.watched = watched;
    this.partings = new Uint8Array(space.from.length);
    this.apart = Array.from({ length: watched }, (_, pair) => pair).filter(
      (pair) => island[pairs.a[pair]!] !== island[pairs.b[pair]!],
    );
  }

  /** Whether the fault asked for last shorts supply legs. */
  shorts(nets: NetsBySpace): Shorts {
    return this.joined.length === 0 ? 'no' : nets.netsOf(this.space).shorts(this.gone, this.joined);
  }

  /** False also where it would take numbers to say. Whether legs of a supply meet is not looked at. */
  keeps({ changes }: Laid, takenAway: Uint8Array): boolean {
    const { gone, splits, joined, linked } = this;
    gone.length = 0;
    splits.length = 0;
    joined.length = 0;
    linked.length = 0;
    for (const change of changes) if (!this.takesAway(change)) return false;
    for (const change of changes) if (!this.putsIn(change, takenAway)) return false;
    return linked.length === 0 || !this.apart.some((pair) => this.isLinked(pair));
  }

  private takesAway(change: LaidChange): boolean {
    if (change.kind !== 'absent' && change.kind !== 'moved') return true;
    const { branch } = change;
    const { space, gone, splits } = this;
    if (space.point.present[branch] !== 1) return true;
    if (this.partingOf(branch) !== parting.parts) return false;
    gone.push(branch);
    splits.push(space.splitBy(branch)!);
    return true;
  }

  private putsIn(change: LaidChange, takenAway: Uint8Array): boolean {
    const { from, to, point } = this.space;
    switch (change.kind) {
      case 'absent':
      case 'idle':
        return true;
      case 'moved':
        return point.present[change.branch] !== 1 || this.joins(change.from, change.to);
      case 'joins':
        return takenAway[change.branch] === 1 || this.joins(change.from, change.to);
      case 'conducts': {
        const { branch } = change;
        if (takenAway[branch] === 1) return true;
        return point.present[branch] !== 1 && this.joins(from[branch]!, to[branch]!);
      }
      case 'worn':
        return point.present[change.branch] !== 1;
      default:
        return false;
    }
  }

  private joins(from: number, to: number): boolean {
    const { space, joined, linked } = this;
    const a = space.place(from);
    const b = space.place(to);
    const { frequency, volts } = space;
    joined.push(a, b);
    if (a === b) return true;
    if (frequency[a] === mixed || frequency[a] !== frequency[b]) return false;
    if (this.isOneIsland(a, b))
      return Math.hypot(volts.re[a]! - volts.re[b]!, volts.im[a]! - volts.im[b]!) <= noVolts;
    // One more between islands that are joined would close a loop.
    if (this.isOfLinked(a) && this.isOfLinked(b)) return false;
    linked.push(a, b);
    return true;
  }

  private isOneIsland(a: number, b: number): boolean {
    const { island } = this.space;
    if (island[a] !== island[b]) return false;
    for (const split of this.splits) if (split[a] !== split[b]) return false;
    return true;
  }

  private isOfLinked(node: number): boolean {
    for (const end of this.linked) if (this.isOneIsland(node, end)) return true;
    return false;
  }

  private isLinked(pair: number): boolean {
    const { pairs } = this.space;
    return this.isOfLinked(pairs.a[pair]!) && this.isOfLinked(pairs.b[pair]!);
  }

  /** Whether a branch holds two parts together alone, and no watched pair across. */
  private partingOf(branch: number): number {
    const { space, partings, watched } = this;
    const kept = partings[branch]!;
    if (kept !== parting.unknown) return kept;
    const split = space.splitBy(branch);
    let found: number = split === null ? parting.moves : parting.parts;
    for (let pair = 0; split !== null && pair < watched; pair += 1) {
      const a = space.pairs.a[pair]!;
      const b = space.pairs.b[pair]!;
      if (space.island[a] === space.island[b] && split[a] !== split[b]) found = parting.moves;
    }
    partings[branch] = found;
    return found;
  }
}
