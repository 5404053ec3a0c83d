import type { State, StateChanges } from '../circuit/circuit.js';
import { clean } from './clean.js';
import { listed } from './phrases.js';

/** A state in a few words: its name where it has one, with what goes beyond it; else what differs from rest. */
export function wordState({ name, on, changes }: State): string {
  if (name !== undefined) return clean(name);
  return on === undefined ? wordChanges(changes) : `${clean(on.name)}, ${wordChanges(on.beyond)}`;
}

/** `in speed-1 and speed-2`; `at rest`, or `at rest and in speed-1`. */
export function inStates(states: readonly State[]): string {
  const rest = states.filter(({ changes }) => Object.keys(changes).length === 0).slice(0, 1);
  const others = states.filter(({ changes }) => Object.keys(changes).length > 0).map(wordState);
  return listed(
    [...rest.map(wordState), ...(others.length === 0 ? [] : [`in ${listed(others, 'and')}`])],
    'and',
  );
}

/** `B1 = in, power off, J3 unplugged, after (START = pressed)`; rest is "at rest". */
export function wordChanges(changes: StateChanges): string {
  const words = Object.entries(changes).map(([name, value]) => {
    if (name === 'power') return 'power off';
    if (typeof value === 'string' || typeof value === 'number') return `${name} = ${value}`;
    if (name === 'after') return `after (${value.map(wordStep).join('), then (')})`;
    return `${value.join(', ')} ${name}`;
  });
  const here = words.length === 1 && words[0]?.startsWith('after ') ? ['at rest', ...words] : words;
  return here.length === 0 ? 'at rest' : clean(here.join(', '));
}

function wordStep(step: string | StateChanges): string {
  return typeof step === 'string' ? step : wordChanges(step);
}
