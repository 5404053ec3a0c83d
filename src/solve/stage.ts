import type { State } from '../circuit/circuit.js';
import { LegNets } from './leg-nets.js';
import { noOverlay } from './overlay.js';
import { conductsIn, type Plan, type StateConducts, type SupplyScale } from './plan.js';
import { type Pair, ReadingSpace } from './reading-space.js';
import type { OnBits } from './sensed.js';
import { runOf, solvePoint } from './solve-point.js';

/** One state of a circuit, with what blew before it: its networks by which actuators are on, each solved when first met. */
export class Stage {
  readonly state: State;
  /** Branches that no fault can make conduct: unplugged, lifted, without power, or blown. */
  readonly takenAway: Uint8Array;
  private readonly plan: Plan;
  private readonly scale: SupplyScale;
  private readonly blown: ReadonlySet<number>;
  private readonly pairs: readonly Pair[];
  private readonly conducts: StateConducts;
  private readonly spaces = new Map<OnBits, ReadingSpace | undefined>();
  private readonly nets = new Map<ReadingSpace, LegNets>();

  constructor(
    plan: Plan,
    state: State,
    scale: SupplyScale,
    blown: ReadonlySet<number>,
    pairs: readonly Pair[],
  ) {
    this.plan = plan;
    this.state = state;
    this.scale = scale;
    this.blown = blown;
    this.pairs = pairs;
    this.conducts = conductsIn(plan.circuit, state);
    this.takenAway = this.conducts.takenAway.slice();
    for (const branch of blown) this.takenAway[branch] = 1;
  }

  space(on: OnBits): ReadingSpace | undefined {
    if (this.spaces.has(on)) return this.spaces.get(on);
    const run = runOf(this.plan, [], this.scale);
    const branches = new Map([...this.blown].map((branch) => [branch, 'absent'] as const));
    const overlay = this.blown.size === 0 ? noOverlay : { ...noOverlay, branches };
    const each = this.plan.circuit.actuators.map(({ index }) => (on & (1 << index)) !== 0);
    const space = ReadingSpace.of(
      solvePoint({ ...run, overlay }, this.state, this.conducts, each),
      this.pairs,
    );
    this.spaces.set(on, space);
    return space;
  }

  /** Whether what a fault made of a space shorts supply legs that were apart. */
  isShorted(space: ReadingSpace, gone: readonly number[], added: readonly number[]): boolean {
    if (added.length === 0) return false;
    const nets = this.nets.get(space) ?? new LegNets(space);
    this.nets.set(space, nets);
    return nets.shorts(gone, added);
  }
}
