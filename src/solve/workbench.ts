import { asLifted, type Branch, type Fault, isConductor, type State } from '../circuit/circuit.js';
import { nextOn, sameOn } from './actuate.js';
import { ChangedView, type Stroke } from './changed-view.js';
import type { Complex } from './complex.js';
import { labelIslands } from './kernel/islands.js';
import { type Chattering, type Operation, operate } from './operating-point.js';
import { type Overlay, overlayOf } from './overlay.js';
import {
  admittanceOf,
  type Conduct,
  conductOf,
  conductsIn,
  nominalScale,
  type Plan,
  type StateConducts,
  type SupplyScale,
} from './plan.js';
import { drivenIslands, islandsOf, type OperatingPoint, passingAt, presentIn, sameIslands } from './point.js';
import { findOverload, type Overload } from './protection.js';
import { runOf, solvePoint } from './solve-point.js';
import { areLegsJoined, joinsLegs, type ShortCircuit, shortCircuit } from './supply-path.js';
import { type TiedVolts, tiedVolts } from './tied-volts.js';
import { PointView, rmsVolts, type View } from './view.js';

type Tied = WeakMap<Fault, TiedVolts | undefined>;

/** What is seen of a circuit in a state: a view of the network, contacts that never settle, or a protector that opens. */
export type Sight = { readonly kind: 'steady'; readonly view: View } | Chattering | ShortCircuit | Overload;

/**
 * One state of a circuit, solved once, on which any fault can be tried. Most faults change one branch and are
 * answered from the sound network's factor; the others are solved afresh.
 */
export class Workbench {
  readonly plan: Plan;
  readonly state: State;
  private readonly scale: SupplyScale;
  private readonly sound: Sight;
  private readonly base: PointView | undefined;
  private readonly conducts: StateConducts;
  /** Branches that an actuator opens, closes or changes. */
  private readonly actuated: readonly number[];
  /** Whether contacts that something moves could join legs, all closed at once: then any fault may do it. */
  private contactsJoin: boolean | undefined;
  private joins: ((a: number, b: number) => boolean) | undefined;
  /** The sound network with other actuators on than it has by itself, as faults come by them. */
  private readonly standings = new Map<string, PointView>();
  private readonly single = new Map<Fault, Sight>();
  private readonly pairs = new Map<Fault, Map<Fault, Sight>>();
  private pairCount = 0;
  private readonly shorts = new Map<Fault, boolean>();
  /** What is certain under a fault: where it may short a supply, and where it is known to short none. */
  private readonly tied: readonly [Tied, Tied] = [new WeakMap(), new WeakMap()];

  constructor(plan: Plan, state: State, scale: SupplyScale = nominalScale) {
    this.plan = plan;
    this.state = state;
    this.scale = scale;
    this.conducts = conductsIn(plan.circuit, state);
    this.actuated = plan.circuit.branches
      .filter(({ gate, atRest }) => gate?.kind === 'actuator' || atRest !== undefined)
      .map((branch) => branch.index);
    this.sound = sightOf(operate(plan, state, [], scale));
    this.base =
      this.sound.kind === 'steady' && this.sound.view instanceof PointView ? this.sound.view : undefined;
  }

  /** The circuit as drawn. */
  healthy(): Sight {
    return this.sound;
  }

  /** The circuit with these faults: kept for one or two, but for those of a value, of which there are many. */
  under(faults: readonly Fault[]): Sight {
    const [fault, another] = faults;
    if (fault === undefined) return this.healthy();
    if (faults.length > 2 || faults.some(({ value }) => value !== undefined)) return this.solved(faults);
    if (another !== undefined) return this.underBoth(fault, another);
    const kept = this.single.get(fault) ?? this.solved(faults);
    this.single.set(fault, kept);
    return kept;
  }

  private underBoth(fault: Fault, another: Fault): Sight {
    const known = this.pairs.get(fault)?.get(another);
    if (known !== undefined) return known;
    if (this.pairCount === mostPairs) {
      this.pairs.clear();
      this.pairCount = 0;
    }
    const made = this.solved([fault, another]);
    const withFault = this.pairs.get(fault) ?? new Map<Fault, Sight>();
    this.pairs.set(fault, withFault.set(another, made));
    this.pairCount += 1;
    return made;
  }

  private solved(faults: readonly Fault[]): Sight {
    const here = this.asHere(faults);
    return this.changed(overlayOf(here)) ?? this.afresh(here);
  }

  /** Whether these faults could be a dead short in this state: most could not, which is seen without solving. */
  mayShortUnder(faults: readonly Fault[]): boolean {
    const { base } = this;
    if (base === undefined) return true;
    const [fault] = faults;
    if (fault === undefined || faults.length > 1 || fault.value !== undefined)
      return this.mayShort(base, overlayOf(this.asHere(faults)));
    const may = this.shorts.get(fault) ?? this.mayShort(base, overlayOf(this.asHere(faults)));
    this.shorts.set(fault, may);
    return may;
  }

  /** Whether what is made to conduct, or moved, joins two supply legs, with every contact that anything moves closed. */
  private mayShort(base: PointView, overlay: Overlay): boolean {
    const anyWay = () => this.closedAnyWay(base, overlay);
    this.contactsJoin ??= areLegsJoined(this.closedAnyWay(base, base.point.overlay));
    if (this.contactsJoin) return areLegsJoined(anyWay());
    if (!mayJoin(overlay)) return false;
    this.joins ??= joinsLegs(this.closedAnyWay(base, base.point.overlay));
    const made = this.madeToConduct(overlay);
    // Of exchanged wires one alone would do it; several parts made to conduct may do it one behind the other.
    const near =
      made.length > 1 || [...made, ...overlay.moved.values()].some(({ from, to }) => this.joins?.(from, to));
    return near && areLegsJoined(anyWay());
  }

  private closedAnyWay(base: PointView, overlay: Overlay): View {
    const conducts = base.point.conducts.slice();
    const all = base.point.on.map(() => true);
    const none = base.point.on.map(() => false);
    const { branches } = this.plan.circuit;
    const touched = [...this.actuated, ...overlay.branches.keys(), ...overlay.worn.keys()];
    for (const index of touched) {
      const branch = branches[index]!;
      conducts[index] =
        conductOf(this.conducts, branch, overlay, all) ?? conductOf(this.conducts, branch, overlay, none);
    }
    return base.laidOver({ ...base.point, overlay, conducts, present: presentIn(this.plan, conducts) });
  }

  private madeToConduct({ branches: changed, held }: Overlay): Branch[] {
    const { branches } = this.plan.circuit;
    const made: Branch[] = [];
    for (const [branch, ohms] of changed) if (ohms !== 'absent') made.push(branches[branch]!);
    if (held.size === 0) return made;
    for (const branch of branches) {
      const { gate } = branch;
      if (gate?.kind === 'actuator' && held.get(gate.actuator) === gate.closedWhen) made.push(branch);
    }
    return made;
  }

  /** What is certain under these faults without solving; `shortFree`: they are known to short no supply. */
  tiedUnder(faults: readonly Fault[], shortFree: boolean): TiedVolts | undefined {
    // What blew on the way here would have to be gone through.
    if (this.state.before.length > 0) return undefined;
    const [fault] = faults;
    if (fault === undefined || faults.length > 1) return this.tiedAnew(faults, shortFree);
    const kept = this.tied[shortFree ? 1 : 0];
    if (kept.has(fault)) return kept.get(fault);
    const volts = this.tiedAnew(faults, shortFree);
    kept.set(fault, volts);
    return volts;
  }

  private tiedAnew(faults: readonly Fault[], shortFree: boolean): TiedVolts | undefined {
    return tiedVolts(this.plan, this.conducts, overlayOf(this.asHere(faults)), this.scale, shortFree)?.volts;
  }

  private asHere(faults: readonly Fault[]): readonly Fault[] {
    const { state, plan } = this;
    return state.disconnected.size === 0
      ? faults
      : faults.map((fault) => asLifted(plan.circuit, state, fault));
  }

  private afresh(faults: readonly Fault[]): Sight {
    return sightOf(operate(this.plan, this.state, faults, this.scale));
  }

  /**
   * The answer from the sound network's factor; undefined where only a new factor can give it. Actuators are followed
   * from where the sound circuit has them; from all off where relays or motors remember, or wires are exchanged: those may
   * make an output hold itself on. Where the state names what went before it, that is gone through afresh; so it is for a
   * transformer's own windings, whose flux the factor holds, and a supply's own legs.
   */
  private changed(overlay: Overlay): Sight | undefined {
    if (this.base === undefined || this.plan.widestOhms > mostStrokeOhms) return undefined;
    if (this.state.before.length > 0) return undefined;
    if (overlay.supplies.size > 0 || this.touchesSourceOrCore(overlay)) return undefined;
    const sound = this.base.point.on;
    const exchanged = overlay.moved.size > 0;
    // Without power everything is at one potential, and an ohmmeter still tells the wires apart; what remembers got where it
    // is by places that may not have been alike.
    const tells = this.plan.purpose === 'running' && !this.plan.remembers;
    if (tells && overlay.moved.size > 1 && exchangesLikeWithLike(this.base, overlay)) {
      return { kind: 'steady', view: this.base.laidOver({ ...this.base.point, overlay }) };
    }
    let on = forced(exchanged || this.plan.remembers ? sound.map(() => false) : sound, overlay);
    for (let round = 0; round <= on.length; round += 1) {
      const view = this.seen(overlay, on);
      if (view === undefined) return undefined;
      const short = round > 0 || mayJoin(overlay) ? shortCircuit(view) : undefined;
      // Which short it is hangs on how actuators stand by then.
      if (short !== undefined) return exchanged || on.length === 0 ? short : undefined;
      const next = nextOn(view.point, (a, b) => rmsVolts(view, a, b));
      if (sameOn(next, on)) return findOverload(view) ?? { kind: 'steady', view };
      on = next;
    }
    return undefined;
  }

  private touchesSourceOrCore({ branches, moved }: Overlay): boolean {
    return [...branches.keys(), ...moved.keys()].some((index) => {
      const branch = this.plan.circuit.branches[index]!;
      return branch.winding !== undefined || (branch.emf !== undefined && moved.has(index));
    });
  }

  /** The network with a fault and these actuators on, as strokes on the sound one. */
  private seen(overlay: Overlay, on: readonly boolean[]): View | undefined {
    const base = this.standing(on);
    if (base === undefined) return undefined;
    const { strokes, conducts } = this.strokesFor(base, overlay, on);
    const present = presentIn(this.plan, conducts);
    const point: OperatingPoint = { ...base.point, overlay, on, conducts, present };
    if (strokes.length === 0) return base.laidOver(point);
    const islands = new Int32Array(point.islands.length);
    const count = islandsOf(point, present, islands);
    const each = this.islandsAtEach(point, islands);
    if (point.phasors.every((phasor, at) => sameIslands(each[at]!, phasor.islands)))
      return ChangedView.of(base, point, strokes);
    return strokes.length === 1 ? this.bridged(base, point, islands, each, count) : undefined;
  }

  /** The islands of each frequency: those of the network but where something does not pass. */
  private islandsAtEach(point: OperatingPoint, islands: Int32Array): readonly Int32Array[] {
    const { conducts, present, phasors } = point;
    return phasors.map(({ hertz }) => {
      const passing = passingAt(this.plan, hertz, conducts, present);
      if (passing === present) return islands;
      const own = new Int32Array(islands.length);
      islandsOf(point, passing, own);
      return own;
    });
  }

  /** The sound network with these actuators on. */
  private standing(on: readonly boolean[]): PointView | undefined {
    const { base } = this;
    if (base === undefined || sameOn(on, base.point.on)) return base;
    const key = on.map(Number).join('');
    const kept = this.standings.get(key);
    if (kept !== undefined) return kept;
    const [oldest] = this.standings.keys();
    if (this.standings.size === mostStandings && oldest !== undefined) this.standings.delete(oldest);
    const run = runOf(this.plan, [], this.scale);
    const made = new PointView(solvePoint(run, this.state, this.conducts, on));
    this.standings.set(key, made);
    return made;
  }

  /** One branch taken away, and the network falls in two: a bridge carried no current, so every voltage stays. */
  private bridged(
    base: PointView,
    point: OperatingPoint,
    islands: Int32Array,
    each: readonly Int32Array[],
    count: number,
  ): View | undefined {
    if (count <= base.point.driven.length) return undefined;
    const phasors = point.phasors.map((phasor, at) => ({ ...phasor, islands: each[at]! }));
    return base.laidOver({ ...point, phasors, islands, driven: drivenIslands(point, islands, count) });
  }

  private strokesFor(
    base: PointView,
    overlay: Overlay,
    on: readonly boolean[],
  ): { strokes: Stroke[]; conducts: Conduct[] } {
    const { branches } = this.plan.circuit;
    const touched = new Set([
      ...overlay.branches.keys(),
      ...overlay.worn.keys(),
      ...overlay.moved.keys(),
      ...this.actuated,
    ]);
    const conducts = base.point.conducts.slice();
    const strokes: Stroke[] = [];
    for (const index of touched) {
      const branch = branches[index]!;
      const before = conductOf(this.conducts, branch, base.point.overlay, base.point.on);
      const after = conductOf(this.conducts, branch, overlay, on);
      conducts[index] = after;
      const moved = overlay.moved.get(index);
      if (moved !== undefined) {
        if (before !== null) strokes.push(this.stroke(branch, branch, before, null));
        if (after !== null) strokes.push(this.stroke(branch, moved, null, after));
      } else if (before !== after) strokes.push(this.stroke(branch, branch, before, after));
    }
    return { strokes, conducts };
  }

  private stroke(
    branch: Branch,
    ends: { readonly from: number; readonly to: number },
    before: Conduct,
    after: Conduct,
  ): Stroke {
    const dy = this.plan.frequencies.map((_, frequency) => {
      const a = admittanceOf(this.plan, frequency, branch.index, after);
      const b = admittanceOf(this.plan, frequency, branch.index, before);
      return { re: a.re - b.re, im: a.im - b.im };
    });
    const emf = this.emfs(branch);
    return { from: ends.from, to: ends.to, dy, emf };
  }

  private emfs(branch: Branch): Complex[] {
    const phasors = this.base?.point.phasors ?? [];
    return phasors.map(({ emf }) => ({ re: emf.re[branch.index]!, im: emf.im[branch.index]! }));
  }
}

/** Networks kept for a state besides its own. */
const mostStandings = 16;

/** Pairs of faults that are kept; then they are forgotten, for those of a search are not met again. */
const mostPairs = 256;

/** Beside a leak of more than this, strokes on the sound factor lose digits that matter: each fault is solved afresh. */
const mostStrokeOhms = 1e7;

/** Volts between two places below which exchanging the wires that come from them changes no display. */
const alikeVolts = 0.01;

/**
 * Whether the moved wires changed places with one another, and conductors that nothing moves join all the places they
 * come from by another way: they carry the same to the same. Places are not alike for being at one potential: a
 * wire's own far end may be what has them there. Nor does a wire that left its own terminal empty.
 */
function exchangesLikeWithLike(base: PointView, { moved }: Overlay): boolean {
  const { point } = base;
  const { branches } = point.plan.circuit;
  const left: number[] = [];
  const taken: number[] = [];
  for (const [branch, { from, to }] of moved) {
    const own = branches[branch]!;
    left.push(own.from, own.to);
    taken.push(from, to);
  }
  if (left.sort().join() !== taken.sort().join()) return false;
  const kept = [...moved].map(([branch, { from, to }]) => (branches[branch]!.from === from ? from : to));
  const first = kept[0]!;
  if (kept.some((node) => !((rmsVolts(base, first, node) ?? alikeVolts) < alikeVolts))) return false;
  const stays = branches.map(
    ({ index, role, gate }) =>
      isConductor(role) && gate?.kind !== 'actuator' && point.present[index] === 1 && !moved.has(index),
  );
  const nets = new Int32Array(point.structure.nodeCount);
  labelIslands(point.structure, Uint8Array.from(stays, Number), nets);
  return kept.every((node) => nets[node] === nets[first]);
}

function forced(on: readonly boolean[], overlay: Overlay): boolean[] {
  return on.map((each, index) => overlay.held.get(index) ?? each);
}

/** Taking a branch away shorts nothing; making one conduct, holding a contact closed, or moving a wire, may. */
function mayJoin({ moved, held, branches }: Overlay): boolean {
  return moved.size > 0 || held.size > 0 || [...branches.values()].some((ohms) => ohms !== 'absent');
}

function sightOf(operation: Operation): Sight {
  return operation.kind === 'steady' ? { kind: 'steady', view: new PointView(operation.point) } : operation;
}
