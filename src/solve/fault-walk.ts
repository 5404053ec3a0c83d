import type { Fault, State } from '../circuit/circuit.js';
import { AlteredSpace } from './altered-space.js';
import { type Laid, laidFor, nothingLaid, together } from './laid-fault.js';
import { LimitSenses } from './limit-senses.js';
import { heatOpened } from './operating-point.js';
import type { Plan, SupplyScale } from './plan.js';
import type { Pair, ReadingSpace } from './reading-space.js';
import { mostActuators, type OnBits, Senses } from './sensed.js';
import { Stage } from './stage.js';

/** What comes of a state: it stands still, contacts never settle, something may blow, or it can't be told from here. */
export type Walked = 'steady' | 'chattering' | 'blows' | 'unknown';

/**
 * A state of a circuit with one fault after another, each followed through all that relays, motors and outputs then do,
 * as `operate` has it, but in reading spaces: every network that is met on the way is solved once, without the fault.
 */
export class FaultWalk {
  readonly plan: Plan;
  readonly state: State;
  /** Where the last walk that stood still ended: which actuators are on. */
  on: OnBits = 0;
  private readonly pairs: Pair[] = [];
  private readonly places = new Map<string, number>();
  private readonly stages: readonly Stage[];
  private readonly senses: Senses;
  private readonly limits: LimitSenses;
  private readonly movesBits: OnBits;
  private readonly laid = new Map<Fault, Laid>();
  /** A fault that stays while others are tried beside it; what it makes of each space, null where that is not known. */
  private held: Laid | undefined;
  private readonly heldIn = new Map<ReadingSpace, AlteredSpace | null>();
  private altered: AlteredSpace | undefined;

  constructor(plan: Plan, state: State, scale: SupplyScale) {
    const { circuit } = plan;
    this.plan = plan;
    this.state = state;
    this.senses = new Senses(circuit, (pair) => this.place(pair));
    this.limits = new LimitSenses(plan, (pair) => this.place(pair));
    this.movesBits = plan.moves.reduce((bits, moves, index) => (moves ? bits | (1 << index) : bits), 0);
    const blown = new Set<number>();
    this.stages = [...state.before, state].map((each, index) => {
      if (index < state.before.length) for (const branch of heatOpened(circuit, each)) blown.add(branch);
      return new Stage(plan, each, scale, new Set(blown), this.pairs);
    });
  }

  /** The place of a pair among those that can be looked at; all are to be named before the first walk. */
  place(pair: Pair): number {
    const key = pair.join(' ');
    const kept = this.places.get(key);
    if (kept !== undefined) return kept;
    this.places.set(key, this.pairs.length);
    this.pairs.push(pair);
    return this.pairs.length - 1;
  }

  /** The network in which the last walk that stood still ended. */
  get seen(): AlteredSpace {
    if (this.altered === undefined) throw new Error('nothing was walked to');
    return this.altered;
  }

  /** The next walks go with this fault and one more. */
  hold(fault: Fault | undefined): void {
    this.held = fault && this.laidOf(fault);
    this.heldIn.clear();
  }

  /** What the last fault that was walked with, and the one held, do. */
  with: Laid = nothingLaid;

  /** Goes through the state, and what was before it, from where actuators start. */
  walk(fault: Fault | undefined, start: OnBits): Walked {
    const own = fault === undefined ? nothingLaid : this.laidOf(fault);
    const all = this.held === undefined ? own : together(this.held, own);
    if (all === undefined || all.beyond || this.plan.circuit.actuators.length > mostActuators)
      return 'unknown';
    this.with = all;
    this.on = (start & ~all.held) | all.heldOn;
    for (const [index, stage] of this.stages.entries()) {
      const walked = this.settle(stage, own, all);
      if (walked === 'steady') continue;
      // Which actuators a state before it leaves on, if they never settle there, is not followed.
      return walked === 'chattering' && index < this.stages.length - 1 ? 'unknown' : walked;
    }
    return 'steady';
  }

  private settle(stage: Stage, own: Laid, all: Laid): Walked {
    const met: OnBits[] = [];
    for (;;) {
      const space = stage.space(this.on);
      if (space === undefined) return 'unknown';
      if (space.shorted) return 'blows';
      const altered = this.alter(stage, space, own);
      if (altered === undefined) return 'unknown';
      if (stage.mayShort(space, altered.added)) return 'blows';
      const next = this.senses.next(altered, this.on, stage.state.removed, all);
      if (next === undefined) return 'unknown';
      met.push(this.on);
      const rests = ((next ^ this.on) & this.movesBits) === 0;
      this.on = next;
      if (rests) {
        this.altered = altered;
        return this.limits.mayOpen(altered, (branch) => all.touched.has(branch)) ? 'blows' : 'steady';
      }
      if (met.includes(next)) return 'chattering';
    }
  }

  private own: AlteredSpace | undefined;

  private alter(stage: Stage, space: ReadingSpace, { changes }: Laid): AlteredSpace | undefined {
    this.own ??= new AlteredSpace(space);
    if (this.held === undefined) this.own.begin(space);
    else {
      const first = this.heldBy(this.held, stage, space);
      if (first === null) return undefined;
      this.own.take(first);
    }
    return this.own.lay(changes, stage.takenAway) ? this.own : undefined;
  }

  private heldBy({ changes }: Laid, stage: Stage, space: ReadingSpace): AlteredSpace | null {
    const kept = this.heldIn.get(space);
    if (kept !== undefined) return kept;
    const made = new AlteredSpace(space);
    const first = made.lay(changes, stage.takenAway) ? made : null;
    this.heldIn.set(space, first);
    return first;
  }

  private laidOf(fault: Fault): Laid {
    const kept = this.laid.get(fault);
    if (kept !== undefined) return kept;
    const made = laidFor(this.plan, fault);
    this.laid.set(fault, made);
    return made;
  }
}
