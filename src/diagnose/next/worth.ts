import type { Circuit, State } from '../../circuit/circuit.js';
import type { Job, Probe } from '../../meter/meter.js';
import type { CheckAnswer } from '../check.js';
import { weighReading } from './proposal.js';
import { leastBits } from './rate.js';
import { shownIn } from './scenes.js';
import { searchFor } from './search.js';

/** What a reading was worth before it was taken, whatever it showed then. */
export interface ReadingWorth {
  /** Expected information about which part it is. */
  readonly bits: number;
  /** Whether it could tell any of what was suspected from the rest. */
  readonly tells: boolean;
}

/** A reading that somebody chose, by the measure that proposals are chosen by; `job` and `check` are of before it. */
export function worthOf(
  circuit: Circuit,
  job: Job,
  check: CheckAnswer,
  state: State,
  probe: Probe,
): ReadingWorth {
  if (check.verdict !== 'ambiguous') return { bits: 0, tells: false };
  const search = searchFor(circuit, job, check, new Set());
  const scene = search.sceneIn(state, probe.unit === 'ohm');
  const { bits } = weighReading(scene.ballot, shownIn(search.stand, scene, probe), probe);
  return { bits, tells: bits >= leastBits(search) };
}
