import type { Change, Fault } from '../circuit/circuit.js';
import type { Plan } from './plan.js';
import type { Held, OnBits } from './sensed.js';

/** What a fault does, gathered once for many walks. */
export interface Laid extends Held {
  readonly changes: readonly Change[];
  /** Branches it changes or moves. */
  readonly touched: ReadonlySet<number>;
  readonly idle: ReadonlySet<string>;
  /** It changes what no stroke stands for: a supply's volts, a winding, the place of a supply's leg. */
  readonly beyond: boolean;
}

export const nothingLaid: Laid = {
  changes: [],
  touched: new Set(),
  changed: new Set(),
  idle: new Set(),
  held: 0,
  heldOn: 0,
  beyond: false,
};

export function laidFor(plan: Plan, { changes }: Fault): Laid {
  const { branches } = plan.circuit;
  const touched = new Set<number>();
  const changed = new Set<number>();
  const idle = new Set<string>();
  let [held, heldOn]: [OnBits, OnBits] = [0, 0];
  let beyond = false;
  for (const change of changes) {
    if (change.kind === 'held') {
      held |= 1 << change.actuator;
      if (change.on) heldOn |= 1 << change.actuator;
    } else if (change.kind === 'idle') idle.add(change.load);
    else if (change.kind === 'scaled') beyond = true;
    else {
      // Two changes of one branch go by which comes later.
      if (touched.has(change.branch)) beyond = true;
      touched.add(change.branch);
      if (change.kind === 'absent' || change.kind === 'conducts') changed.add(change.branch);
      const { winding, emf } = branches[change.branch]!;
      if (winding !== undefined && plan.purpose === 'running') beyond = true;
      if (emf !== undefined && change.kind !== 'absent') beyond = true;
    }
  }
  return { changes, touched, changed, idle, held, heldOn, beyond };
}

/** Two faults at once; undefined where both change the same thing. */
export function together(one: Laid, other: Laid): Laid | undefined {
  if ((one.held & other.held) !== 0) return undefined;
  for (const branch of other.touched) if (one.touched.has(branch)) return undefined;
  return {
    changes: [],
    touched: one.touched.size === 0 ? other.touched : new Set([...one.touched, ...other.touched]),
    changed: one.changed.size === 0 ? other.changed : new Set([...one.changed, ...other.changed]),
    idle: one.idle.size === 0 ? other.idle : new Set([...one.idle, ...other.idle]),
    held: one.held | other.held,
    heldOn: one.heldOn | other.heldOn,
    beyond: one.beyond || other.beyond,
  };
}
