import { isConductor } from '../../circuit/circuit.js';
import { opposes, tripsBuilding } from '../supply-path.js';
import { PointView } from '../view.js';
import { type Conducting, joinNodes } from './joined-labels.js';
import type { ReadingSpace } from './space.js';

/** Whether legs of a supply at different voltages meet: not, so that a protector opens, or that is to be solved for. */
export type Shorts = 'no' | 'yes' | 'unknown';

/** Where the nets of solved spaces are kept. */
export interface NetsBySpace {
  netsOf(space: ReadingSpace): LegNets;
}

interface Leg {
  readonly node: number;
  readonly branch: number;
  /** By the other leg. What is weak opens no more than a protector on the very path. */
  readonly opposed: readonly ('no' | 'weakly' | 'yes')[];
}

/** The nets that conductors make of a space, and the supply legs on them: whether a fault shorts legs of different voltage. */
export class LegNets {
  private readonly conductors: Conducting;
  private readonly net: Int32Array;
  /** What is gone and joined for good, after which nets are as they are. */
  private goneBefore: readonly number[] = [];
  private addedBefore: readonly number[] = [];
  private readonly altered: Int32Array;
  private way: Uint8Array | undefined;
  /** Conductors and legs: without one of them nets are others. */
  private readonly ties: Uint8Array;
  private readonly legs: readonly Leg[];
  /** Net of each leg. */
  private readonly rootsBefore: Int32Array;
  /** Work space: by leg, and by end of a joining. */
  private readonly roots: Int32Array;
  private readonly ends: number[] = [];

  private constructor(conductors: Conducting, ties: Uint8Array, legs: readonly Leg[]) {
    this.conductors = conductors;
    this.ties = ties;
    this.legs = legs;
    this.net = new Int32Array(conductors.nodeCount + 1);
    this.altered = new Int32Array(conductors.nodeCount + 1);
    this.roots = new Int32Array(legs.length);
    this.rootsBefore = new Int32Array(legs.length);
    this.hold([], []);
  }

  static of({ point, nodeCount, from, to, conducting }: ReadingSpace): LegNets {
    const { circuit } = point.plan;
    const conductors = conducting.filter((branch) => isConductor(circuit.branches[branch]!.role));
    const ties = new Uint8Array(from.length);
    for (const branch of conductors) ties[branch] = 1;
    const present = [...circuit.supplies.values()].flatMap((supply) =>
      supply.legs.filter(({ branch }) => point.present[branch] === 1),
    );
    const view = new PointView(point);
    const opposed = (a: number, b: number) =>
      !opposes(view, a, b) ? 'no' : tripsBuilding(view, a, b) ? 'yes' : 'weakly';
    const legs = present.map(({ node, branch, live }) => ({
      node,
      branch,
      opposed: present.map((other) => (live || other.live ? opposed(branch, other.branch) : 'no')),
    }));
    for (const { branch } of legs) ties[branch] = 1;
    return new LegNets({ nodeCount, from, to, conducting: conductors }, ties, legs);
  }

  /** Whether there is no second leg to meet. */
  get isOpen(): boolean {
    return this.legs.length < 2;
  }

  /** The same legs, for what is held to be gone and joined for good. */
  another(): LegNets {
    return new LegNets(this.conductors, this.ties, this.legs);
  }

  /** Comes to stand for a network with these branches gone and these positions joined, two and two. */
  hold(gone: readonly number[], added: readonly number[]): void {
    this.goneBefore = gone;
    this.addedBefore = added;
    this.way = undefined;
    joinNodes(this.conductors, gone, added, this.net);
    for (const [leg, { node }] of this.legs.entries()) this.rootsBefore[leg] = this.net[node]!;
  }

  /** `gone`: branches that conduct no more; `added`: pairs of positions that do now, one after the other. */
  shorts(gone: readonly number[], added: readonly number[]): Shorts {
    if (this.isOpen || (added.length === 0 && this.addedBefore.length === 0)) return 'no';
    this.joinNets(added);
    // What is taken away at the same time is looked at only where that is not enough.
    const all = this.met(this.goneBefore);
    if (all === 'no' || gone.length === 0 || !gone.some((branch) => this.isOnTheWay(branch, added)))
      return all;
    const allGone = [...this.goneBefore, ...gone];
    joinNodes(this.conductors, allGone, [...this.addedBefore, ...added], this.altered);
    for (let leg = 0; leg < this.legs.length; leg += 1) this.roots[leg] = this.altered[this.legs[leg]!.node]!;
    return this.met(allGone);
  }

  /**
   * Whether what is shorted as it is held stays so without these branches. Looked at is one way on which legs meet:
   * true where it keeps all its conductors.
   */
  staysShorted(gone: readonly number[]): boolean {
    this.way ??= this.findWay();
    for (const branch of gone) if (this.way[branch] !== 0) return false;
    return true;
  }

  /** Marks the conductors and the legs of one way on which opposed legs meet. */
  private findWay(): Uint8Array {
    const { legs, rootsBefore, ties } = this;
    const way = new Uint8Array(ties.length);
    for (let leg = 1; leg < legs.length; leg += 1) {
      for (let other = 0; other < leg; other += 1) {
        const one = legs[leg]!;
        const two = legs[other]!;
        if (rootsBefore[leg] !== rootsBefore[other] || one.opposed[other] !== 'yes') continue;
        if (this.goneBefore.includes(one.branch) || this.goneBefore.includes(two.branch)) continue;
        way[one.branch] = 1;
        way[two.branch] = 1;
        this.markWay(one.node, two.node, way);
        return way;
      }
    }
    return way.fill(1);
  }

  /** From the start on, until a round over all conductors comes to the end; then back over what led there. */
  private markWay(start: number, end: number, way: Uint8Array): void {
    const { conductors, goneBefore, addedBefore } = this;
    const { nodeCount, from, to, conducting } = conductors;
    const cameBy = new Int32Array(nodeCount + 1).fill(-1);
    const cameFrom = new Int32Array(nodeCount + 1).fill(-1);
    cameFrom[start] = start;
    const step = (a: number, b: number, by: number) => {
      if (cameFrom[a]! >= 0 && cameFrom[b]! < 0) {
        cameFrom[b] = a;
        cameBy[b] = by;
      } else if (cameFrom[b]! >= 0 && cameFrom[a]! < 0) {
        cameFrom[a] = b;
        cameBy[a] = by;
      }
    };
    while (cameFrom[end]! < 0) {
      for (let at = 0; at < conducting.length; at += 1) {
        const branch = conducting[at]!;
        if (!goneBefore.includes(branch)) step(from[branch]!, to[branch]!, branch);
      }
      for (let at = 0; at < addedBefore.length; at += 2) step(addedBefore[at]!, addedBefore[at + 1]!, -1);
    }
    for (let node = end; node !== start; node = cameFrom[node]!)
      if (cameBy[node]! >= 0) way[cameBy[node]!] = 1;
  }

  /** Whether a branch is a leg, or a conductor of a net that legs stand on once nets are joined. */
  private isOnTheWay(branch: number, added: readonly number[]): boolean {
    if (this.ties[branch] !== 1) return false;
    const { ends, legs, net, roots } = this;
    if (legs.some((leg) => leg.branch === branch)) return true;
    const own = net[this.conductors.from[branch]!]!;
    const at = added.findIndex((end) => net[end] === own);
    const root = at === -1 ? own : ends[at]!;
    return roots.includes(root);
  }

  /** Every net that is joined to others comes to stand for all of them. */
  private joinNets(added: readonly number[]): void {
    const { roots, rootsBefore, net, ends } = this;
    for (let at = 0; at < added.length; at += 1) ends[at] = net[added[at]!]!;
    for (let at = 0; at < added.length; at += 2) {
      const kept = ends[at]!;
      const given = ends[at + 1]!;
      for (let other = 0; other < added.length; other += 1) if (ends[other] === given) ends[other] = kept;
    }
    for (let leg = 0; leg < roots.length; leg += 1) {
      const root = rootsBefore[leg]!;
      roots[leg] = root;
      for (let at = 0; at < added.length; at += 1) if (net[added[at]!] === root) roots[leg] = ends[at]!;
    }
  }

  /** Whether legs that are not gone themselves meet in a net. */
  private met(gone: readonly number[]): Shorts {
    const { roots, legs } = this;
    let weak = false;
    let strong = false;
    for (let leg = 1; leg < legs.length; leg += 1) {
      for (let other = 0; other < leg; other += 1) {
        if (roots[leg] !== roots[other]) continue;
        const { opposed, branch } = legs[leg]!;
        const how = opposed[other]!;
        if (how === 'no' || gone.includes(branch) || gone.includes(legs[other]!.branch)) continue;
        weak ||= how === 'weakly';
        strong ||= how === 'yes';
      }
    }
    if (weak) return 'unknown';
    return strong ? 'yes' : 'no';
  }
}
