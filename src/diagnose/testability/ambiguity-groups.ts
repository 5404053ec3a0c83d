import type { Fault } from '../../circuit/circuit.js';
import { componentsOf } from './components.js';
import { repairOf, type Standing } from './told-apart.js';

/** Faults that lead from one to the next by pairs no observation tells apart; by their number in the circuit's list. */
export interface AmbiguityGroup {
  /** Those that show. */
  readonly faults: readonly number[];
  /** Faults that show nowhere and can be taken for one of them; such a fault may stand beside several groups. */
  readonly hidden: readonly number[];
  /** All of one part: whichever it is, the repair is the same. */
  readonly onePart: boolean;
}

/**
 * The connected components of "no observation tells these two apart", over the faults that show. Bands overlap without
 * carrying over (a like b, b like c, a unlike c), so two members of a group may be told apart after all; but a fault is
 * never taken for one outside its group. A fault that shows nowhere joins no two groups: it is like each of them only
 * because its own bands are wide.
 */
export function ambiguityGroups(
  faults: readonly Fault[],
  { alike, detectable }: Standing,
): readonly AmbiguityGroup[] {
  const shows = (index: number) => detectable[index] === true;
  const labels = componentsOf(
    faults.length,
    alike.filter(([a, b]) => shows(a) && shows(b)),
  );
  const groups = new Map<number, { faults: number[]; hidden: Set<number> }>();
  for (const [index, label] of labels.entries()) {
    const group = groups.get(label) ?? { faults: [], hidden: new Set() };
    groups.set(label, group);
    if (shows(index)) group.faults.push(index);
  }
  for (const [a, b] of alike) {
    if (a < 0 || shows(a) === shows(b)) continue;
    const [seen, hidden] = shows(a) ? [a, b] : [b, a];
    groups.get(labels[seen] ?? -1)?.hidden.add(hidden);
  }
  return [...groups.values()]
    .filter((group) => group.faults.length > 0 && group.faults.length + group.hidden.size > 1)
    .map((group) => {
      const hidden = [...group.hidden].sort((a, b) => a - b);
      const repairs = [...group.faults, ...hidden].flatMap((index) => faults[index] ?? []).map(repairOf);
      return { faults: group.faults, hidden, onePart: new Set(repairs).size === 1 };
    });
}
