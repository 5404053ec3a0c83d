import { asLifted, type Fault, type State } from '../../circuit/circuit.js';
import { heatOpened } from '../operating-point.js';
import type { Plan, SupplyScale } from '../plan.js';
import { AlteredSpace } from './altered-space.js';
import { HeldNetwork } from './held-network.js';
import { KeptNetwork, type Outcome, type Walked } from './kept-network.js';
import { clash, type Laid, laidOf, nothingLaid } from './laid-fault.js';
import { LimitSenses } from './limit-senses.js';
import { MixedSpace } from './mixed-space.js';
import { type Pair, PairList } from './pair-list.js';
import type { SeenNetwork } from './seen.js';
import { type Held, mostActuators, type OnBits, Senses } from './sensed.js';
import { SoundWay, type Step } from './sound-way.js';
import type { ReadingSpace } from './space.js';
import { type Near, Stage } from './stage.js';
import { StruckNetwork } from './struck-network.js';

/**
 * A state of a circuit with one fault after another, each followed through all that relays, motors and outputs then do,
 * as `operate` has it, but in reading spaces: every network that is met on the way is solved once, without the fault.
 */
export class FaultWalk implements Held {
  readonly plan: Plan;
  readonly state: State;
  /** Where the last walk that stood still ended: which actuators are on. */
  on: OnBits = 0;
  /** Looks that are kept, of all faults together: whoever keeps the walk gives it up when there are too many. */
  looks = 0;
  private readonly pairs: PairList;
  private readonly stages: readonly Stage[];
  private readonly senses: Senses;
  private readonly limits: LimitSenses;
  private readonly laidFor: (fault: Fault) => Laid;
  private readonly movesBits: OnBits;
  private readonly soundWay: SoundWay;
  private readonly lifted = new WeakMap<Fault, Fault>();
  /** The fault of this walk, and one that stays while others are tried beside it. */
  private own: Laid = nothingLaid;
  private first: Laid = nothingLaid;
  private beside: Fault | undefined;
  private startsKept: readonly OnBits[] | undefined;
  /** What the first makes of each space, null where that is not known. */
  private readonly heldIn = new Map<ReadingSpace, AlteredSpace | null>();
  /** Those of faults held before, to be used again. */
  private readonly spare: AlteredSpace[] = [];
  /** Networks into which the first is worked, with contacts as actuators have them; null where that can't be. */
  private readonly heldNetworks = new Map<Near, HeldNetwork | null>();
  private readonly soundNetworks = new Map<Near, HeldNetwork | null>();
  private readonly spareNetworks = new Map<ReadingSpace, HeldNetwork[]>();
  /** Networks gone through with the faults at hand, the one laid last, and the one where the last walk came to rest. */
  private readonly steps: Step[] = [];
  private stepCount = 0;
  private laid: Step | undefined;
  private rest: Step | undefined;
  private altered: SeenNetwork | undefined;
  /** Of single faults that are there or not: what came of them, by where actuators started. */
  private readonly outcomes = new Map<Laid, Outcome>();
  /** That of the last walk, where it is kept. */
  private outcome: Outcome | undefined;
  private struck: StruckNetwork | undefined;
  private room: AlteredSpace | undefined;
  private mixedRoom: MixedSpace | undefined;

  /** `opened`: branches that opened before all of it, for good. */
  constructor(plan: Plan, state: State, scale: SupplyScale, opened: readonly number[]) {
    const { circuit } = plan;
    this.plan = plan;
    this.state = state;
    this.laidFor = laidOf(plan);
    this.pairs = new PairList(circuit.nodes.length);
    this.senses = new Senses(circuit, (pair) => this.place(pair));
    this.limits = new LimitSenses(plan, (pair) => this.place(pair));
    this.movesBits = plan.moves.reduce((bits, moves, index) => (moves ? bits | (1 << index) : bits), 0);
    this.soundWay = new SoundWay(this.pairs.count);
    const blown = new Set(opened);
    this.stages = [...state.before, state].map((each, index) => {
      if (index < state.before.length) for (const branch of heatOpened(circuit, each)) blown.add(branch);
      return new Stage(plan, each, scale, new Set(blown), this.pairs);
    });
  }

  /**
   * Where actuators may start. Outputs alone remember nothing, but may hold themselves on: faults are then solved for from
   * where the sound circuit has them, or from all off.
   */
  get starts(): readonly OnBits[] {
    if (this.startsKept === undefined) {
      const { beside, plan, state } = this;
      this.hold(undefined);
      const sound = this.walk(undefined, 0) === 'steady' ? this.on : 0;
      this.startsKept = plan.remembers || state.before.length > 0 || sound === 0 ? [0] : [sound, 0];
      this.hold(beside);
    }
    return this.startsKept;
  }

  /** The place of a pair among those that can be looked at. */
  place(pair: Pair): number {
    return this.pairs.indexOf(pair);
  }

  /** The place of a branch's ends. */
  placeOf(branch: number): number {
    const { from, to } = this.plan.circuit.branches[branch]!;
    return this.place([from, to]);
  }

  /** The network in which the last walk that stood still ended; undefined where it can't be told after all. */
  get seen(): SeenNetwork | undefined {
    const { outcome } = this;
    if (outcome?.seen === undefined) {
      if (outcome !== undefined) outcome.seen = 'once';
      return this.network;
    }
    if (outcome.seen === 'once') {
      const { network } = this;
      outcome.seen = network === undefined ? 'unknown' : new KeptNetwork(network.space, outcome);
    }
    return outcome.seen === 'unknown' ? undefined : outcome.seen;
  }

  networkOf(outcome: Outcome): SeenNetwork {
    const network = this.outcome === outcome ? this.network : undefined;
    if (network === undefined) throw new Error('another fault was walked with since');
    return network;
  }

  private get network(): SeenNetwork | undefined {
    const { rest, on } = this;
    if (rest === undefined) throw new Error('nothing was walked to');
    if (this.laid !== rest) {
      this.on = rest.on;
      this.altered = this.alter(rest.stage);
      this.laid = rest;
      this.on = on;
    }
    return this.altered;
  }

  /** The next walks go with this fault and one more. */
  hold(fault: Fault | undefined): void {
    if (fault === this.beside) return;
    this.beside = fault;
    this.first = this.laidHere(fault);
    for (const held of this.heldIn.values()) if (held !== null) this.spare.push(held);
    this.heldIn.clear();
    for (const network of this.heldNetworks.values())
      if (network !== null) this.spareOf(network.space).push(network);
    this.heldNetworks.clear();
    this.forget();
  }

  private laidHere(fault: Fault | undefined): Laid {
    if (fault === undefined) return nothingLaid;
    if (this.state.disconnected.size === 0) return this.laidFor(fault);
    const lifted = this.lifted.get(fault) ?? asLifted(this.plan.circuit, this.state, fault);
    this.lifted.set(fault, lifted);
    return this.laidFor(lifted);
  }

  private forget(): void {
    this.stepCount = 0;
    this.laid = undefined;
    this.rest = undefined;
    this.outcome = undefined;
  }

  get held(): OnBits {
    return this.own.held | this.first.held;
  }

  get heldOn(): OnBits {
    return this.own.heldOn | this.first.heldOn;
  }

  /** Whether the faults of this walk change a branch in any way; take it away or make it a plain conductor; move it. */
  touches(branch: number): boolean {
    return this.own.touched.has(branch) || this.first.touched.has(branch);
  }

  changes(branch: number): boolean {
    return this.own.changed.has(branch) || this.first.changed.has(branch);
  }

  moves(branch: number): boolean {
    return this.own.moved.has(branch) || this.first.moved.has(branch);
  }

  /** Whether they keep a load from doing its job. */
  idles(load: string): boolean {
    return this.own.idle.has(load) || this.first.idle.has(load);
  }

  /** Goes through the state, and what was before it, from where actuators start. */
  walk(fault: Fault | undefined, start: OnBits): Walked {
    const own = this.laidHere(fault);
    if (own !== this.own) this.forget();
    this.own = own;
    // Of those of a value there are too many to keep.
    const keeps = fault?.value === undefined && this.first === nothingLaid;
    this.outcome = keeps ? this.outcomeOf(own, start) : undefined;
    return this.outcome?.walked ?? this.walkFrom(start);
  }

  private outcomeOf(own: Laid, start: OnBits): Outcome {
    const known = this.outcomes.get(own);
    for (let outcome = known; outcome !== undefined; outcome = outcome.other) {
      if (outcome.start !== start) continue;
      this.on = outcome.on;
      this.rest = outcome.rest;
      return outcome;
    }
    const walked = this.walkFrom(start);
    const { on, rest } = this;
    const made: Outcome = { walk: this, start, walked, on, rest, seen: undefined, other: known };
    this.outcomes.set(own, made);
    return made;
  }

  private walkFrom(start: OnBits): Walked {
    const { own, first } = this;
    if (own.beyond || first.beyond || clash(first, own) || this.plan.circuit.actuators.length > mostActuators)
      return 'unknown';
    this.on = (start & ~this.held) | this.heldOn;
    for (let index = 0; index < this.stages.length; index += 1) {
      const walked = this.settle(this.stages[index]!);
      if (walked === 'steady') continue;
      // What a state before it leaves on or opens, where it does not stand still, is not followed.
      if (index === this.stages.length - 1) return walked;
      return walked === 'shorts' ? 'blows' : walked === 'chattering' ? 'unknown' : walked;
    }
    return 'steady';
  }

  private settle(stage: Stage): Walked {
    let met: OnBits[] | undefined;
    for (;;) {
      const { on } = this;
      const step = this.step(stage);
      const { outcome, next } = step;
      if (outcome === 'moves') {
        met ??= [];
        met.push(on);
        this.on = next;
        if (met.includes(next)) return 'chattering';
        continue;
      }
      if (outcome === 'steady' || outcome === 'overloads') {
        this.on = next;
        this.rest = step;
      }
      return outcome === 'overloads' ? 'blows' : outcome;
    }
  }

  /** What comes next; gone through once for each fault, from wherever it is come to. */
  private step(stage: Stage): Step {
    const { on, steps } = this;
    for (let at = 0; at < this.stepCount; at += 1) {
      const each = steps[at]!;
      if (each.on === on && each.stage === stage) return each;
    }
    const alone = !this.sound && this.first === nothingLaid;
    const still = alone ? this.soundWay.stillStep(stage, on, this.own) : undefined;
    const made: Step = still ?? { stage, on, next: on, outcome: 'unknown' };
    steps[this.stepCount] = made;
    this.stepCount += 1;
    if (still !== undefined) return still;
    const altered = this.alter(stage);
    this.laid = made;
    this.altered = altered;
    if (altered === undefined) return made;
    if (altered.space.shorted) {
      made.outcome = 'blows';
      return made;
    }
    const shorts = altered.shorts(stage);
    if (shorts !== 'no') {
      if (shorts === 'yes') made.outcome = 'shorts';
      return made;
    }
    const next = this.senses.next(altered, on, stage.state.removed, this);
    if (next === undefined) return made;
    made.next = next;
    if (this.sound) this.soundWay.note(made, altered.space);
    if (((next ^ on) & this.movesBits) !== 0) made.outcome = 'moves';
    else {
      made.outcome = this.limits.mayOpen(altered, this) ? 'overloads' : 'steady';
    }
    return made;
  }

  /** The network of the actuators that are on, with the faults; what the sound circuit goes through is solved for. */
  private alter(stage: Stage): SeenNetwork | undefined {
    const near = this.sound ? undefined : stage.near(this.on);
    const held = near && this.heldNetwork(stage, near);
    if (held !== undefined && held !== null) {
      this.struck ??= new StruckNetwork(held);
      if (this.struck.lay(held, this.own)) return this.struck;
    }
    const altered = near && this.lay(stage, near);
    if (altered !== undefined || near?.moves.length === 0) return altered;
    const space = stage.space(this.on);
    return space && this.lay(stage, { space, moves: [] });
  }

  private get sound(): boolean {
    return this.own === nothingLaid && this.first === nothingLaid;
  }

  /** The network into which all but the fault at hand is worked. */
  private heldNetwork(stage: Stage, near: Near): HeldNetwork | null {
    // Without a first fault, what is some contacts away is mostly gone through only a few times.
    if (this.first === nothingLaid && near.moves.length > 0) return null;
    const networks = this.first === nothingLaid ? this.soundNetworks : this.heldNetworks;
    const kept = networks.get(near);
    if (kept !== undefined) return kept;
    const made = this.holdNetwork(stage, near);
    networks.set(near, made);
    return made;
  }

  private holdNetwork(stage: Stage, { space, moves }: Near): HeldNetwork | null {
    const fresh = () => new HeldNetwork(stage.changesOf(space));
    if (this.first === nothingLaid && moves.length === 0) return fresh();
    const network = this.spareOf(space).pop() ?? fresh();
    if (this.holdIn(network.begin(), stage, moves)) {
      network.workIn(moves);
      return network;
    }
    this.spareOf(space).push(network);
    return null;
  }

  private holdIn(room: AlteredSpace, stage: Stage, moves: Near['moves']): boolean {
    const { first } = this;
    if (!room.lay(first.changes, stage.takenAway)) return false;
    return moves.every(({ branch, conduct }) => {
      if (first.changed.has(branch)) return true;
      return !first.touched.has(branch) && room.move(branch, conduct);
    });
  }

  private spareOf(space: ReadingSpace): HeldNetwork[] {
    const spare = this.spareNetworks.get(space) ?? [];
    this.spareNetworks.set(space, spare);
    return spare;
  }

  private lay(stage: Stage, near: Near): SeenNetwork | undefined {
    const { space } = near;
    this.room ??= new AlteredSpace(space);
    const first = this.first === nothingLaid ? undefined : this.heldBy(stage, space);
    if (first === undefined) this.room.begin(space);
    else if (first !== null) this.room.take(first);
    if (first !== null && this.layOn(this.room, stage, near)) return this.room;
    // Beside dc, what a capacitor parts has other islands.
    if (this.plan.frequencies.length === 1 || this.plan.blocking.length > 0) return undefined;
    this.mixedRoom ??= new MixedSpace(space);
    this.mixedRoom.begin(space);
    if (first !== undefined && !this.mixedRoom.lay(this.first.changes, stage.takenAway)) return undefined;
    return this.layOn(this.mixedRoom, stage, near) ? this.mixedRoom : undefined;
  }

  private layOn(room: AlteredSpace | MixedSpace, { takenAway }: Stage, { moves }: Near): boolean {
    for (const { branch, conduct } of moves) {
      // What is forced conducts whatever moves it; a burnt contact is not followed.
      if (this.changes(branch)) continue;
      if (this.touches(branch) || !room.move(branch, conduct)) return false;
    }
    return room.lay(this.own.changes, takenAway);
  }

  private heldBy(stage: Stage, space: ReadingSpace): AlteredSpace | null {
    const kept = this.heldIn.get(space);
    if (kept !== undefined) return kept;
    const made = this.spare.pop() ?? new AlteredSpace(space);
    made.begin(space);
    const laid = made.lay(this.first.changes, stage.takenAway);
    if (!laid) this.spare.push(made);
    const first = laid ? made : null;
    this.heldIn.set(space, first);
    return first;
  }
}
