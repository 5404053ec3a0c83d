import type { Change, Fault, Ohms } from '../../circuit/circuit.js';
import type { Plan } from '../plan.js';
import { isDeadJoint } from '../supply-path.js';
import type { OnBits } from './sensed.js';

/** A change, or one that puts in a branch that nothing but faults makes conduct: a leak. */
export type LaidChange =
  | Change
  | {
      readonly kind: 'joins';
      readonly branch: number;
      readonly from: number;
      readonly to: number;
      readonly ohms: Ohms;
    };

/** What a fault does, gathered once for many walks. */
export interface Laid {
  /** Its place among those gathered for a plan, from 1 on; 0 is no fault, `noPlace` one that is not kept by place. */
  readonly index: number;
  readonly changes: readonly LaidChange[];
  /** Actuators that it holds, and of these the ones held on. */
  readonly held: OnBits;
  readonly heldOn: OnBits;
  /** Branches that it changes or moves; that it takes away or makes plain conductors; that it takes away; that it moves. */
  readonly touched: ReadonlySet<number>;
  readonly touchedBranches: readonly number[];
  readonly changed: ReadonlySet<number>;
  readonly removed: ReadonlySet<number>;
  readonly moved: ReadonlySet<number>;
  readonly idle: ReadonlySet<string>;
  /** It changes what no stroke stands for: a supply's volts, a winding, the place of a supply's leg; or joins poorly. */
  readonly beyond: boolean;
}

export const noPlace = -1;

export const nothingLaid: Laid = {
  index: 0,
  changes: [],
  held: 0,
  heldOn: 0,
  touched: new Set(),
  touchedBranches: [],
  changed: new Set(),
  removed: new Set(),
  moved: new Set(),
  idle: new Set(),
  beyond: false,
};

interface Gathered {
  readonly laid: WeakMap<Fault, Laid>;
  counted: number;
}

const known = new WeakMap<Plan, Gathered>();

/** What faults do, gathered once for all states of a plan. Those of a value are many, and have no place of their own. */
export function laidOf(plan: Plan): (fault: Fault) => Laid {
  const gathered = known.get(plan) ?? { laid: new WeakMap<Fault, Laid>(), counted: 0 };
  known.set(plan, gathered);
  return (fault) => {
    const kept = gathered.laid.get(fault);
    if (kept !== undefined) return kept;
    if (fault.value === undefined) gathered.counted += 1;
    const made = gather(plan, fault, fault.value === undefined ? gathered.counted : noPlace);
    gathered.laid.set(fault, made);
    return made;
  };
}

function gather(plan: Plan, fault: Fault, index: number): Laid {
  const changes = joinsAmong(plan, fault.changes);
  const branchesOf = (...kinds: readonly LaidChange['kind'][]) =>
    changes.flatMap((change) => ('branch' in change && kinds.includes(change.kind) ? change.branch : []));
  const bitsOf = (on: boolean) =>
    changes.reduce(
      (bits, change) => (change.kind === 'held' && (change.on || !on) ? bits | (1 << change.actuator) : bits),
      0,
    );
  const all = branchesOf('absent', 'conducts', 'worn', 'moved', 'joins');
  return {
    index,
    changes,
    held: bitsOf(false),
    heldOn: bitsOf(true),
    touched: new Set(all),
    touchedBranches: all,
    changed: new Set(branchesOf('absent', 'conducts')),
    removed: new Set(branchesOf('absent')),
    moved: new Set(branchesOf('moved')),
    idle: new Set(changes.flatMap((change) => (change.kind === 'idle' ? change.load : []))),
    beyond:
      // Of two changes of one branch the later counts.
      new Set(all).size < all.length ||
      changes.some((change) => change.kind === 'scaled' || isPoorJoint(change)) ||
      all.some(
        (branch) => plan.circuit.branches[branch]!.winding !== undefined && plan.purpose === 'running',
      ) ||
      branchesOf('conducts', 'moved').some((branch) => plan.circuit.branches[branch]!.emf !== undefined),
  };
}

/** Through so much a supply is not shorted, and no net made. */
function isPoorJoint(change: LaidChange): boolean {
  return (change.kind === 'conducts' || change.kind === 'joins') && !isDeadJoint(change.ohms);
}

/** A spare branch that is moved to its place and made to conduct there is one change. */
function joinsAmong({ circuit }: Plan, changes: readonly Change[]): readonly LaidChange[] {
  const [first, second, third] = changes;
  if (first?.kind !== 'moved' || second?.kind !== 'conducts' || third !== undefined) return changes;
  if (first.branch !== second.branch || circuit.branches[first.branch]?.gate?.kind !== 'fault')
    return changes;
  return [{ ...first, kind: 'joins', ohms: second.ohms }];
}

/** Whether two faults change the same thing, and the later would count; taken away twice is no more than once. */
export function clash(one: Laid, other: Laid): boolean {
  if ((one.held & other.held) !== 0) return true;
  if (one.touched.size === 0) return false;
  for (let at = 0; at < other.touchedBranches.length; at += 1) {
    const branch = other.touchedBranches[at]!;
    if (one.touched.has(branch) && !(one.removed.has(branch) && other.removed.has(branch))) return true;
  }
  return false;
}
