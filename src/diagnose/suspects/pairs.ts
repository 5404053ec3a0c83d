import type { Fault } from '../../circuit/circuit.js';
import type { TestStand } from '../../meter/meter.js';
import { type Group, isRuledOut } from './evidence.js';
import type { Explain, Explanation } from './explained.js';
import type { Screen } from './screen.js';

/** Two faults that together explain a job. */
export interface FittingPair {
  readonly faults: readonly [Fault, Fault];
  readonly explanation: Explanation;
}

export interface Pairs {
  readonly fitting: readonly FittingPair[];
  readonly tried: number;
  /** False when there are more pairs than were tried. */
  readonly complete: boolean;
}

/** Pairs beyond this are not tried: some seconds of work. */
const mostPairs = 60_000;

/** Two slips of the hand would take two repairs: they are not looked for. */
function isSlip({ mode }: Fault): boolean {
  return mode === 'crossed' || mode === 'wrong-pin';
}

/** Two contacts of one switch or relay that stand wrong together: its mechanism did not throw over. */
function isOneMechanism(first: Fault, second: Fault): boolean {
  const modes = [first.mode, second.mode];
  return first.at !== second.at && modes.includes('stuck-open') && modes.includes('stuck-closed');
}

/**
 * Every two faults of different parts but two slips, and of one part what its mechanism does to two contacts, in the
 * order of the list: all seconds of a first together.
 */
export function* pairsOf(faults: readonly Fault[]): Generator<readonly [Fault, Fault]> {
  for (const [index, first] of faults.entries()) {
    for (const second of faults.slice(index + 1)) {
      const may =
        first.part === second.part ? isOneMechanism(first, second) : !(isSlip(first) && isSlip(second));
      if (may) yield [first, second];
    }
  }
}

/** Every two faults that explain a job together. */
export function listPairs(
  stand: TestStand,
  groups: readonly Group[],
  explain: Explain,
  screen: Screen,
  faults: readonly Fault[],
): Pairs {
  const fitting: FittingPair[] = [];
  let tried = 0;
  for (const both of pairsOf(faults)) {
    if (tried === mostPairs) return { fitting, tried, complete: false };
    tried += 1;
    if (screen(both) || !mayFit(stand, groups, both)) continue;
    const explanation = explain(both);
    if (explanation !== undefined) fitting.push({ faults: both, explanation });
  }
  return { fitting, tried, complete: true };
}

/** Without solving: unless the two may short something, no reading of any state is plainly impossible. */
function mayFit(stand: TestStand, groups: readonly Group[], both: readonly Fault[]): boolean {
  return groups.every((group) => !isRuledOut(stand, group, both) || stand.mayShortUnder(group.state, both));
}
