import type { Fault } from '../circuit/circuit.js';
import { componentsOf } from './components.js';
import { repairOf, type Standing } from './told-apart.js';

/** Faults that lead from one to the next by pairs no observation tells apart. */
export interface AmbiguityGroup {
  /** By their number in the circuit's list. */
  readonly faults: readonly number[];
  /** All of one part: whichever it is, the repair is the same. */
  readonly onePart: boolean;
}

/**
 * The connected components of "no observation tells these two apart", those of one fault left out. Bands overlap without
 * carrying over (a like b, b like c, a unlike c), so two members of a group may be told apart after all; but a fault is
 * never taken for one outside its group. Faults that show nowhere are alike because the sound circuit is; they are told
 * by themselves, and stand in a group only beside one that does show.
 */
export function ambiguityGroups(
  faults: readonly Fault[],
  { alike, detectable }: Standing,
): readonly AmbiguityGroup[] {
  const pairs = alike.filter(([a]) => a >= 0);
  const labels = componentsOf(faults.length, pairs);
  const members = new Map<number, number[]>();
  for (const [index, label] of labels.entries()) members.set(label, [...(members.get(label) ?? []), index]);
  return [...members.values()]
    .filter((group) => group.length > 1 && group.some((index) => detectable[index]))
    .map((group) => ({
      faults: group,
      onePart: new Set(group.map((index) => repairOf(faults[index] as Fault))).size === 1,
    }));
}
