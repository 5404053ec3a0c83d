import type { Change, Fault } from '../circuit/circuit.js';
import type { Plan } from './plan.js';
import type { OnBits } from './sensed.js';

/** What a fault does, gathered once for many walks. */
export interface Laid {
  readonly changes: readonly Change[];
  /** Actuators that it holds, and of these the ones held on. */
  readonly held: OnBits;
  readonly heldOn: OnBits;
  /** Branches that it changes or moves; that it takes away or makes plain conductors; that it moves. */
  readonly touched: ReadonlySet<number>;
  readonly changed: ReadonlySet<number>;
  readonly moved: ReadonlySet<number>;
  readonly idle: ReadonlySet<string>;
  /** It makes something conduct, moves a wire, or holds an actuator: a short may come of it. */
  readonly adds: boolean;
  /** It changes what no stroke stands for: a supply's volts, a winding, the place of a supply's leg. */
  readonly beyond: boolean;
}

export const nothingLaid: Laid = {
  changes: [],
  held: 0,
  heldOn: 0,
  touched: new Set(),
  changed: new Set(),
  moved: new Set(),
  idle: new Set(),
  adds: false,
  beyond: false,
};

const known = new WeakMap<Plan, Map<Fault, Laid>>();

/** Gathered once for all states of a plan. */
export function laidFor(plan: Plan, fault: Fault): Laid {
  const faults = known.get(plan) ?? new Map<Fault, Laid>();
  known.set(plan, faults);
  const kept = faults.get(fault) ?? gather(plan, fault);
  faults.set(fault, kept);
  return kept;
}

function gather(plan: Plan, { changes }: Fault): Laid {
  const branchesOf = (...kinds: readonly Change['kind'][]) =>
    changes.flatMap((change) => ('branch' in change && kinds.includes(change.kind) ? change.branch : []));
  const bitsOf = (on: boolean) =>
    changes.reduce(
      (bits, change) => (change.kind === 'held' && (change.on || !on) ? bits | (1 << change.actuator) : bits),
      0,
    );
  const all = branchesOf('absent', 'conducts', 'worn', 'moved');
  return {
    changes,
    held: bitsOf(false),
    heldOn: bitsOf(true),
    touched: new Set(all),
    changed: new Set(branchesOf('absent', 'conducts')),
    moved: new Set(branchesOf('moved')),
    idle: new Set(changes.flatMap((change) => (change.kind === 'idle' ? change.load : []))),
    adds: changes.some(({ kind }) => kind === 'conducts' || kind === 'moved' || kind === 'held'),
    beyond:
      // Of two changes of one branch the later counts.
      new Set(all).size < all.length ||
      changes.some(({ kind }) => kind === 'scaled') ||
      all.some(
        (branch) => plan.circuit.branches[branch]!.winding !== undefined && plan.purpose === 'running',
      ) ||
      branchesOf('conducts', 'worn', 'moved').some(
        (branch) => plan.circuit.branches[branch]!.emf !== undefined,
      ),
  };
}

/** Whether two faults change the same thing, and the later would count. */
export function clash(one: Laid, other: Laid): boolean {
  if ((one.held & other.held) !== 0) return true;
  for (const branch of other.touched) if (one.touched.has(branch)) return true;
  return false;
}
