import type { Circuit } from './model.js';
import { readState } from './read-state.js';
import { restState, type State, stateKey } from './state.js';

const kept = new WeakMap<Circuit, readonly State[]>();

/** At rest, and each state that the circuit file names, in its order; one with two names stands once. */
export function namedStates(circuit: Circuit): readonly State[] {
  const known = kept.get(circuit);
  if (known !== undefined) return known;
  const named = [...circuit.states].map(
    ([name, { path }]) => readState(circuit, name, circuit.document, path).state,
  );
  const byKey = new Map([restState(circuit), ...named].map((state) => [stateKey(state), state]));
  const states = [...byKey.values()];
  kept.set(circuit, states);
  return states;
}
