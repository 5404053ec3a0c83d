import { type Branch, type Fault, isConductor, type State } from '../../circuit/circuit.js';
import { noOverlay } from '../overlay.js';
import { conductOf, conductsIn, type Plan, type SupplyScale } from '../plan.js';
import { trippingAmps } from '../supply-path.js';
import { joinNodes } from './joined-labels.js';
import { type Laid, type LaidChange, laidOf } from './laid-fault.js';
import { mostAmps } from './most-amps.js';

/** What joins places: conductors, the same with windings, and all branches; and what of each is joined, by position. */
type Kind = 'net' | 'ring' | 'island';
type Ties = Readonly<Record<Kind, Int32Array>>;

/** So many times what trips into a short of one leg alone, a leg trips with any other. */
const surelyTrips = 4;

/** What may come of one fault: whether it joins anything at all, and what that may do. */
interface Answers {
  readonly joins: boolean;
  readonly shorts: boolean;
  readonly overloads: boolean;
}

/** A supply's leg: where it stands, the zero it has its volts from, and these. */
interface Leg {
  readonly node: number;
  readonly supply: string;
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
  private readonly joining: Ties;
  private readonly from: Int32Array;
  private readonly to: Int32Array;
  /** As it is, and without a branch, or all that the faults at hand take away; made when it is asked for. */
  private readonly whole: Ties;
  private readonly without = new Map<number, Partial<Record<Kind, Int32Array>>>();
  private left: Partial<Record<Kind, Int32Array>> = {};
  private readonly legs: readonly Leg[];
  private readonly contactsShort: boolean;
  /** Legs that may be shorted with nothing to trip: what is limited may then carry anything. */
  private readonly hasWeakLegs: boolean;
  /** Whether every limit holds as long as nothing closes a ring. */
  private readonly holds: boolean;
  /** Of the faults at hand: ends of what they join, two and two, and branches that they take away. */
  private gathered: readonly Fault[] | undefined;
  private isGathered = false;
  private readonly joints: number[] = [];
  private readonly gone: number[] = [];
  private readonly met: number[] = [];
  private readonly single = new WeakMap<Fault, Answers>();

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
    const { conducts } = this;
    const isPlain = conducts.map((each, index) => (isConductor(branches[index]!.role) ? each : 0));
    this.isPlain = isPlain;
    const listed = (isIn: (branch: number) => boolean) => Int32Array.from(conducts.keys()).filter(isIn);
    this.joining = {
      net: listed((branch) => isPlain[branch] === 1),
      ring: listed(
        (branch) =>
          conducts[branch] === 1 && (isPlain[branch] === 1 || branches[branch]!.winding !== undefined),
      ),
      island: listed((branch) => conducts[branch] === 1),
    };
    this.from = plan.structure.from.map((node) => this.place(node));
    this.to = plan.structure.to.map((node) => this.place(node));
    this.whole = { net: this.tie('net'), ring: this.tie('ring'), island: this.tie('island') };
    this.legs = plan.legs.flatMap(({ index, emf, from, to }): readonly Leg[] => {
      if (emf === undefined || this.conducts[index] !== 1) return [];
      const volts = emf.volts * (scale.get(emf.supply) ?? 1);
      const told = volts === 0 ? 'none' : `${volts} ${emf.degrees} ${emf.hertz}`;
      return [{ node: this.place(to), supply: emf.supply, zero: from, volts: told }];
    });
    this.hasWeakLegs = plan.legs.some(({ emf, impedance }) => {
      const ohms = Math.hypot(impedance.ohms, impedance.reactanceOhms);
      return emf !== undefined && emf.volts !== 0 && Math.abs(emf.volts) / ohms < surelyTrips * trippingAmps;
    });
    const { net, island } = this.whole;
    this.contactsShort = this.legs.some((leg) => this.isMet(leg, net, [net[leg.node]!]));
    const place = (node: number) => this.place(node);
    const worst = { plan, scale, conducts, isPlain, net, island, place };
    this.holds =
      !this.contactsShort &&
      plan.limits.every(({ branch, opensAt }) => conducts[branch] !== 1 || mostAmps(worst, branch) < opensAt);
  }

  /** Whether conductors may join legs at different voltages, of this supply if one is named. */
  mayShort(faults: readonly Fault[], supply?: string): boolean {
    if (this.contactsShort) return true;
    const [only, another] = faults;
    if (only !== undefined && another === undefined && supply === undefined) return this.answers(only).shorts;
    return !this.isRuledOut(faults, 'shorts') && this.shortsBy(faults, supply);
  }

  /** Whether a protector or a transformer may carry what opens it and no short keeps it from doing so. */
  mayOverload(faults: readonly Fault[]): boolean {
    if (this.plan.limits.length === 0) return false;
    if (!this.holds) return true;
    const [only, another] = faults;
    if (only !== undefined && another === undefined) return this.answers(only).overloads;
    return !this.isRuledOut(faults, 'overloads') && this.overloadsBy(faults);
  }

  /** Whether anything may blow. */
  mayBlow(faults: readonly Fault[]): boolean {
    return this.mayShort(faults) || this.mayOverload(faults);
  }

  /** Of several: what is taken away besides makes nothing of what one alone does not do. */
  private isRuledOut(faults: readonly Fault[], question: 'shorts' | 'overloads'): boolean {
    let joining: Fault | undefined;
    for (const fault of faults) {
      if (!this.answers(fault).joins) continue;
      if (joining !== undefined) return false;
      joining = fault;
    }
    return joining === undefined || !this.answers(joining)[question];
  }

  private answers(fault: Fault): Answers {
    const known = this.single.get(fault);
    if (known !== undefined) return known;
    const alone = [fault];
    const joins = !this.gather(alone) || this.joints.length > 0;
    const made = {
      joins,
      shorts: joins && this.shortsBy(alone, undefined),
      overloads: joins && this.overloadsBy(alone),
    };
    this.single.set(fault, made);
    return made;
  }

  private shortsBy(faults: readonly Fault[], supply: string | undefined): boolean {
    return !this.gather(faults) || this.joinsLegs(supply);
  }

  private overloadsBy(faults: readonly Fault[]): boolean {
    if (!this.gather(faults)) return true;
    const mayClose = this.closesRing(this.whole) && (this.gone.length === 0 || this.closesRingLeft());
    return mayClose || (this.hasWeakLegs && this.joinsLegs(undefined));
  }

  private joinsLegs(supply: string | undefined): boolean {
    if (!this.meetsLegs(this.whole.net, supply)) return false;
    return this.gone.length === 0 || this.meetsLegs(this.tiesLeft('net'), supply);
  }

  private meetsLegs(net: Int32Array, supply: string | undefined): boolean {
    const { joints, met } = this;
    met.length = 0;
    for (const end of joints) met.push(net[end]!);
    return this.legs.some(
      (leg) =>
        (supply === undefined || leg.supply === supply) &&
        met.includes(net[leg.node]!) &&
        this.isMet(leg, net, met),
    );
  }

  private isMet({ zero, volts }: Leg, net: Int32Array, nets: readonly number[]): boolean {
    return this.legs.some((leg) => leg.zero === zero && leg.volts !== volts && nets.includes(net[leg.node]!));
  }

  /**
   * Whether what is joined lets a current flow that did not: from one island to another and back, or through windings and
   * conductors alone. What joins two islands once carries nothing; what lies beside loads in one island leaves the sum of
   * their siemens, which the limits were held against.
   */
  private closesRing({ island, net, ring }: Ties): boolean {
    const { joints, met } = this;
    met.length = 0;
    for (let at = 0; at < joints.length; at += 2) {
      const a = joints[at]!;
      const b = joints[at + 1]!;
      if (net[a] === net[b]) continue;
      // Rings are told apart from islands by their sign.
      const isInside = island[a] === island[b];
      const one = isInside ? -1 - ring[a]! : island[a]!;
      const other = isInside ? -1 - ring[b]! : island[b]!;
      if (this.isOne(one, other)) return true;
      met.push(one, other);
    }
    return false;
  }

  /** Whether what was joined already makes one of two. */
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

  private closesRingLeft(): boolean {
    return this.closesRing({
      net: this.tiesLeft('net'),
      ring: this.tiesLeft('ring'),
      island: this.tiesLeft('island'),
    });
  }

  /** The same without what the faults at hand take away. */
  private tiesLeft(kind: Kind): Int32Array {
    const { gone } = this;
    const left = gone.length === 1 ? this.withoutOne(gone[0]!) : this.left;
    left[kind] ??= this.tie(kind);
    return left[kind];
  }

  private withoutOne(branch: number): Partial<Record<Kind, Int32Array>> {
    const kept = this.without.get(branch) ?? {};
    this.without.set(branch, kept);
    return kept;
  }

  /** Lists what faults join in `joints`; false where they do what is not looked at here. */
  private gather(faults: readonly Fault[]): boolean {
    if (faults === this.gathered) return this.isGathered;
    this.gathered = faults;
    this.isGathered = this.gatherAll(faults);
    return this.isGathered;
  }

  private gatherAll(faults: readonly Fault[]): boolean {
    this.joints.length = 0;
    this.gone.length = 0;
    this.left = {};
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
        if (this.conducts[change.branch] !== 1) return;
        this.gone.push(change.branch);
        this.join(change.from, change.to);
        return;
      case 'absent':
        if (this.conducts[change.branch] === 1) this.gone.push(change.branch);
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

  private tie(kind: Kind): Int32Array {
    const { from, to, gone, joining } = this;
    const nodeCount = this.plan.circuit.nodes.length;
    const into = new Int32Array(nodeCount + 1);
    joinNodes({ nodeCount, from, to, conducting: joining[kind] }, gone, [], into);
    return into;
  }
}
