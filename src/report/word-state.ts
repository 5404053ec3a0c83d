import type { State, StateChanges } from '../circuit/circuit.js';
import { clean } from './clean.js';

/** A state in a few words: its name where it has one, else what differs from rest. */
export function wordState(state: State): string {
  return state.name === undefined ? wordChanges(state.changes) : clean(state.name);
}

/** `B1 = in, power off, J3 unplugged`; rest is "at rest". */
export function wordChanges(changes: StateChanges): string {
  const words = Object.entries(changes).map(([name, value]) => {
    if (name === 'power') return 'power off';
    return Array.isArray(value) ? `${value.join(', ')} ${name}` : `${name} = ${value}`;
  });
  return words.length === 0 ? 'at rest' : clean(words.join(', '));
}
