import { type Circuit, namedStates, type State, stateKey } from '../circuit/circuit.js';
import type { Job } from '../meter/meter.js';

/** With more states than this nobody waits for what each fault may have blown in which: nothing is called cleared. */
export const mostStates = 100;

/** The states of a job with their own past, step by step, and those with a name: all it may have been in. */
export function statesOf(circuit: Circuit, job: Job): readonly State[] {
  const seen = [...job.readings, ...job.symptoms].map(({ state }) => state);
  return once([...seen, ...namedStates(circuit)].flatMap(upTo));
}

/** A state's own past, step by step, and the state. */
export function upTo(state: State): readonly State[] {
  return [...state.before.map((each, index) => withPast(each, state.before.slice(0, index))), state];
}

/** Its changes tell one state from another, so its past stands among them. */
function withPast(state: State, before: readonly State[]): State {
  if (before.length === 0) return { ...state, before };
  const after = before.map(({ changes }) => changes);
  return { ...state, before, changes: Object.assign(Object.create(null), state.changes, { after }) };
}

function once(states: readonly State[]): readonly State[] {
  return [...new Map(states.map((state) => [stateKey(state), state])).values()];
}
