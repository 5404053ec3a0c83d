import type { Branch, State } from '../../circuit/circuit.js';
import { noOverlay, type Overlay } from '../overlay.js';
import {
  type Conduct,
  conductOf,
  conductsIn,
  type Plan,
  type StateConducts,
  type SupplyScale,
} from '../plan.js';
import { runOf, solvePoint } from '../solve-point.js';
import { FaultChanges } from './few-changes.js';
import { LegNets, type NetsBySpace } from './leg-nets.js';
import type { PairList } from './pair-list.js';
import type { OnBits } from './sensed.js';
import { ReadingSpace } from './space.js';

/** A branch that conducts otherwise with some actuators on than in a space that is solved; null does not conduct. */
export interface Moved {
  readonly branch: number;
  readonly conduct: Conduct;
}

/** A space that is solved, and what has to move in it so that it is that of other actuators. */
export interface Near {
  readonly space: ReadingSpace;
  readonly moves: readonly Moved[];
}

/** A network that is asked for more often is solved; until then contacts are moved in one that is. */
const often = 24;

/**
 * One state of a circuit, with what blew before it: its networks by which actuators are on. Those on the sound circuit's way
 * are solved; most others are met by a fault or two, and are that many strokes away.
 */
export class Stage implements NetsBySpace {
  readonly state: State;
  /** Branches that no fault can make conduct: unplugged, lifted, without power, or blown. */
  readonly takenAway: Uint8Array;
  private readonly plan: Plan;
  private readonly scale: SupplyScale;
  private readonly blown: ReadonlySet<number>;
  private readonly pairs: PairList;
  private readonly conducts: StateConducts;
  private readonly spaces = new Map<OnBits, ReadingSpace | undefined>();
  private readonly solved = new Map<OnBits, Near>();
  private readonly nears = new Map<OnBits, { readonly near: Near; asked: number }>();
  private readonly actuated: readonly Branch[];
  private readonly nets = new Map<ReadingSpace, LegNets>();
  private readonly changes = new Map<ReadingSpace, FaultChanges>();

  constructor(plan: Plan, state: State, scale: SupplyScale, blown: ReadonlySet<number>, pairs: PairList) {
    this.plan = plan;
    this.state = state;
    this.scale = scale;
    this.blown = blown;
    this.pairs = pairs;
    this.conducts = conductsIn(plan.circuit, state);
    this.actuated = plan.circuit.branches.filter(
      ({ gate, atRest }) => gate?.kind === 'actuator' || atRest !== undefined,
    );
    this.takenAway = this.conducts.takenAway.slice();
    for (const branch of blown) this.takenAway[branch] = 1;
  }

  /** Solved for; undefined where it can't be seen in this way. */
  space(on: OnBits): ReadingSpace | undefined {
    if (this.spaces.has(on)) return this.spaces.get(on);
    const run = runOf(this.plan, [], this.scale);
    const point = solvePoint({ ...run, overlay: this.overlay() }, this.state, this.conducts, this.each(on));
    const space = ReadingSpace.of(point, this.pairs);
    this.spaces.set(on, space);
    return space;
  }

  near(on: OnBits): Near | undefined {
    const solved = this.solved.get(on);
    if (solved !== undefined) return solved;
    const kept = this.nears.get(on);
    const space = this.spaces.has(on)
      ? undefined
      : kept === undefined
        ? this.nearest(on)
        : kept.asked < often
          ? kept.near.space
          : undefined;
    if (space === undefined) {
      const exact = this.space(on);
      const near = exact && { space: exact, moves: [] };
      if (near !== undefined) this.solved.set(on, near);
      return near;
    }
    if (kept !== undefined) {
      kept.asked += 1;
      return kept.near;
    }
    const near = { space, moves: this.movesTo(space, on) };
    this.nears.set(on, { near, asked: 1 });
    return near;
  }

  /** The one that fewest actuators are otherwise in. */
  private nearest(on: OnBits): ReadingSpace | undefined {
    let best: ReadingSpace | undefined;
    let least = Number.POSITIVE_INFINITY;
    for (const [bits, space] of this.spaces) {
      let [differ, rest] = [0, bits ^ on];
      for (; rest !== 0; rest &= rest - 1) differ += 1;
      if (space === undefined || space.shorted || differ >= least) continue;
      least = differ;
      best = space;
    }
    return best;
  }

  private movesTo({ point }: ReadingSpace, on: OnBits): readonly Moved[] {
    const each = this.each(on);
    const overlay = this.overlay();
    return this.actuated.flatMap((branch) => {
      const conduct = conductOf(this.conducts, branch, overlay, each);
      return conduct === point.conducts[branch.index] ? [] : { branch: branch.index, conduct };
    });
  }

  private each(on: OnBits): boolean[] {
    return this.plan.circuit.actuators.map(({ index }) => (on & (1 << index)) !== 0);
  }

  private overlay(): Overlay {
    if (this.blown.size === 0) return noOverlay;
    const branches = new Map([...this.blown].map((branch) => [branch, 'absent'] as const));
    return { ...noOverlay, branches };
  }

  /** Faults as changes of one of its spaces. */
  changesOf(space: ReadingSpace): FaultChanges {
    const changes = this.changes.get(space) ?? new FaultChanges(space, this.takenAway);
    this.changes.set(space, changes);
    return changes;
  }

  netsOf(space: ReadingSpace): LegNets {
    const nets = this.nets.get(space) ?? LegNets.of(space);
    this.nets.set(space, nets);
    return nets;
  }
}
