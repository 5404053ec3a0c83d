import type { Fault } from '../../circuit/circuit.js';
import { type Branch, isConductor, type State } from '../../circuit/circuit.js';
import { noOverlay } from '../overlay.js';
import { conductOf, conductsIn, type Plan, type SupplyScale } from '../plan.js';
import { joinNodes } from './joined-labels.js';
import { type Laid, type LaidChange, laidOf } from './laid-fault.js';
import { mostAmps } from './most-amps.js';

/** A supply's leg: the net it stands on, the zero it has its volts from, and these. */
interface Leg {
  readonly net: number;
  readonly zero: number;
  readonly volts: string;
}

/**
 * One state of a circuit with every contact that anything moves closed at once: what could come of faults at worst,
 * wherever actuators then go. Only what joins places anew can short legs or overload anything; what is taken away, or
 * held, is less than this.
 */
export class AtWorst {
  private readonly plan: Plan;
  private readonly laidFor: (fault: Fault) => Laid;
  private readonly takenAway: Uint8Array;
  private readonly conducts: Uint8Array;
  /** Conductors among them. */
  private readonly isPlain: Uint8Array;
  /** By position: nets that conductors make, and islands that all branches make. */
  private readonly net: Int32Array;
  private readonly island: Int32Array;
  private readonly legs: readonly Leg[];
  private readonly contactsShort: boolean;
  /** Whether every limit holds as long as nothing closes a ring through one of these islands. */
  private readonly holds: boolean;
  private readonly restless: ReadonlySet<number>;
  /** Ends of what the faults at hand join, two and two. */
  private readonly joints: number[] = [];
  private readonly met: number[] = [];

  constructor(plan: Plan, state: State, scale: SupplyScale) {
    const { branches, actuators } = plan.circuit;
    const built = conductsIn(plan.circuit, state);
    const all = actuators.map(() => true);
    const none = actuators.map(() => false);
    const closed = (branch: Branch) =>
      conductOf(built, branch, noOverlay, all) ?? conductOf(built, branch, noOverlay, none);
    this.plan = plan;
    this.laidFor = laidOf(plan);
    this.takenAway = built.takenAway;
    this.conducts = Uint8Array.from(branches, (branch) => (closed(branch) === null ? 0 : 1));
    this.isPlain = this.conducts.map((each, index) => (isConductor(branches[index]!.role) ? each : 0));
    this.net = this.joinedBy(this.isPlain);
    this.island = this.joinedBy(this.conducts);
    this.legs = plan.legs.flatMap(({ index, emf, from, to }): readonly Leg[] => {
      if (emf === undefined || this.conducts[index] !== 1) return [];
      const volts = emf.volts * (scale.get(emf.supply) ?? 1);
      const zero = volts === 0 ? 'none' : `${volts} ${emf.degrees} ${emf.hertz}`;
      return [{ net: this.net[this.place(to)]!, zero: from, volts: zero }];
    });
    this.contactsShort = this.legs.some((leg) => this.isMet(leg, [leg.net]));
    const { conducts, isPlain, net, island } = this;
    const place = (node: number) => this.place(node);
    const most = plan.limits
      .filter(({ branch }) => conducts[branch] === 1)
      .map((limit) => ({
        limit,
        ...mostAmps({ plan, scale, conducts, isPlain, net, island, place }, limit.branch),
      }));
    this.holds = !this.contactsShort && most.every(({ limit, amps }) => amps < limit.opensAt);
    this.restless = new Set(most.flatMap(({ islands }) => islands));
  }

  /** Whether conductors may join supply legs at different voltages. */
  mayShort(faults: readonly Fault[]): boolean {
    if (this.contactsShort) return true;
    if (!this.gather(faults)) return true;
    const { joints, net, met } = this;
    met.length = 0;
    for (const end of joints) met.push(net[end]!);
    return met.length > 0 && this.legs.some((leg) => met.includes(leg.net) && this.isMet(leg, met));
  }

  /** Whether a protector or a transformer may carry what opens it. */
  mayOverload(faults: readonly Fault[]): boolean {
    if (this.plan.limits.length === 0) return false;
    if (!this.holds || !this.gather(faults)) return true;
    const { joints, island, met, restless } = this;
    // What joins two islands carries nothing: they count as one from then on, by the pairs in `met`.
    met.length = 0;
    for (let at = 0; at < joints.length; at += 2) {
      const one = island[joints[at]!]!;
      const other = island[joints[at + 1]!]!;
      if (one === other) {
        if (joints[at] !== joints[at + 1] && restless.has(one)) return true;
      } else if (this.isOne(one, other)) return true;
      else met.push(one, other);
    }
    return false;
  }

  /** Whether joints that were gone through make one of two islands. */
  private isOne(one: number, other: number): boolean {
    const { met } = this;
    const reached = [one];
    for (const each of reached) {
      if (each === other) return true;
      for (let at = 0; at < met.length; at += 1) {
        const next = met[at ^ 1]!;
        if (met[at] === each && !reached.includes(next)) reached.push(next);
      }
    }
    return false;
  }

  private isMet({ zero, volts }: Leg, nets: readonly number[]): boolean {
    return this.legs.some((leg) => leg.zero === zero && leg.volts !== volts && nets.includes(leg.net));
  }

  /** Lists what faults join in `joints`; false where they do what is not looked at here. */
  private gather(faults: readonly Fault[]): boolean {
    this.joints.length = 0;
    for (const fault of faults) {
      const laid = this.laidFor(fault);
      for (const change of laid.changes) {
        if (laid.beyond && change.kind !== 'absent' && change.kind !== 'idle') return false;
        this.gatherJoint(change);
      }
    }
    return true;
  }

  private gatherJoint(change: LaidChange): void {
    const { branches } = this.plan.circuit;
    switch (change.kind) {
      case 'conducts':
      case 'worn': {
        const { branch } = change;
        if (this.takenAway[branch] === 1 || this.isPlain[branch] === 1) return;
        if (change.kind === 'worn' && this.conducts[branch] !== 1) return;
        this.join(branches[branch]!.from, branches[branch]!.to);
        return;
      }
      case 'moved':
        if (this.conducts[change.branch] === 1) this.join(change.from, change.to);
        return;
      case 'joins':
        if (this.takenAway[change.branch] !== 1) this.join(change.from, change.to);
    }
  }

  private join(a: number, b: number): void {
    this.joints.push(this.place(a), this.place(b));
  }

  private place(node: number): number {
    return node < 0 ? this.plan.circuit.nodes.length : node;
  }

  private joinedBy(present: Uint8Array): Int32Array {
    const { structure } = this.plan;
    const nodeCount = structure.nodeCount;
    const place = (node: number) => (node < 0 ? nodeCount : node);
    const labels = new Int32Array(nodeCount + 1);
    const conducting = Int32Array.from(present.keys()).filter((branch) => present[branch] === 1);
    joinNodes(
      { nodeCount, from: structure.from.map(place), to: structure.to.map(place), conducting },
      [],
      [],
      labels,
    );
    return labels;
  }
}
