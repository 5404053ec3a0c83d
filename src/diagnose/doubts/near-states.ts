import { type Circuit, readState, type State, stateKey, withSetting } from '../../circuit/circuit.js';
import type { Job } from '../../meter/meter.js';

/** Positions tried of one switch: a timer has many. */
const mostPositions = 12;

/**
 * States somebody may have been in without knowing: those of the job, those the circuit names, and this one with one
 * switch in another position. Each once, this one left out.
 */
export function nearStates(circuit: Circuit, job: Job, state: State): readonly State[] {
  const named = [...circuit.states.values()].map(
    ({ name, path }) => readState(circuit, name, circuit.document, path).state,
  );
  const moved = [...circuit.switches.values()].flatMap(({ name, positions = [] }) =>
    positions.slice(0, mostPositions).map((position) => withSetting(state, name, position)),
  );
  const kept = new Map<string, State>();
  for (const each of [...job.readings.map((reading) => reading.state), ...named, ...moved]) {
    // Back at rest a switch is no change: the key is of what differs.
    const key = stateKey(each);
    if (key !== stateKey(state) && !kept.has(key)) kept.set(key, each);
  }
  return [...kept.values()];
}
