import type { Fault, State } from '../../circuit/circuit.js';
import type { Job, TestStand } from '../../meter/meter.js';
import { openedBy } from '../suspects/opened.js';
import { partsOf, type Suspect } from '../suspects/suspects.js';

/** A suspect as the appliance stands by now, and what it would be an answer to: which part to replace. */
export interface Hypothesis {
  readonly suspect: Suspect;
  /** The parts it is about; suspects with one answer need not be told apart. */
  readonly parts: readonly string[];
  readonly answer: string;
  /** Equally likely; with what they blew already. */
  readonly samples: readonly (readonly Fault[])[];
  readonly weight: number;
}

/** More suspects than this are not looked at: the rest weigh next to nothing. */
const mostHypotheses = 40;

/** The heaviest suspects, best first; `left` of them were not looked at. */
export function hypothesesOf(
  stand: TestStand,
  job: Job,
  suspects: readonly Suspect[],
): { readonly all: readonly Hypothesis[]; readonly left: number } {
  const states = energised(job);
  const kept = [...suspects].sort((a, b) => b.weight - a.weight).slice(0, mostHypotheses);
  const all = kept.map((suspect): Hypothesis => {
    const parts = partsOf(suspect).sort();
    return {
      suspect,
      parts,
      answer: parts.join(' + '),
      samples: suspect.samples.map((faults) => asItStands(stand, states, faults)),
      weight: suspect.weight,
    };
  });
  return { all, left: suspects.length - kept.length };
}

/** Every state of the job with power on, each once and in order: the appliance has been through all of them. */
function energised({ symptoms, readings }: Job): readonly State[] {
  return [...new Set([...symptoms, ...readings].map(({ state }) => state))].filter((state) => state.power);
}

/** A short circuit in any state of the job has opened what it opens, and that is open still. */
function asItStands(stand: TestStand, states: readonly State[], faults: readonly Fault[]): readonly Fault[] {
  for (const state of states) {
    if (!stand.mayShortUnder(state, faults)) continue;
    const sight = stand.look(state, faults);
    if (sight.kind === 'short') return [...faults, openedBy(stand.circuit, sight)];
  }
  return faults;
}
