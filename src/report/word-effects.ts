import type { State } from '../circuit/circuit.js';
import type { TestabilityAnswer, TestedFault } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { wordState } from './word-state.js';

type Place = TestedFault['readings'][number]['place'];
type Answer = Pick<TestabilityAnswer, 'circuit' | 'looked'>;

/** What a fault does that needs no meter: loads, protectors that open, contacts that chatter. */
export function wordDoings({ looked }: Answer, { loads, outcomes }: TestedFault): string {
  const states = new Map<string, number[]>();
  const add = (what: string, state: number) => states.set(what, [...(states.get(what) ?? []), state]);
  for (const { outcome, state } of outcomes) {
    if (outcome.kind === 'chattering') add('contacts chatter', state);
    else
      add(
        outcome.protector === undefined ? "the building's fuse opens" : `${clean(outcome.protector)} opens`,
        state,
      );
  }
  for (const { load, state, works } of loads) add(`${clean(load.name)} ${works ? 'works' : 'idle'}`, state);
  const [first, second, ...more] = [...states].map(([what, in_]) => `${what} ${wordStates(looked, in_)}`);
  if (first === undefined) return '';
  return [first, ...(second === undefined ? [] : [second]), ...andMore(more.length)].join('; ');
}

function wordStates({ states }: TestabilityAnswer['looked'], [first, ...more]: readonly number[]): string {
  const state = first === undefined ? undefined : states[first]?.state;
  const words = state === undefined ? '' : inState(state);
  return more.length === 0 ? words : `${words} (${more.length + 1} states)`;
}

/** "in speed-1", "at rest". */
function inState(state: State): string {
  const words = wordState(state);
  return words.startsWith('at rest') ? words : `in ${words}`;
}

/** Where a meter shows a fault: two places of the first state that has any, and how many more there are. */
export function wordReadings({ circuit, looked }: Answer, { readings }: TestedFault): string {
  if (readings.length === 0) return '';
  const earliest = Math.min(...readings.flatMap(({ states }) => states));
  const state = looked.states[earliest]?.state;
  const shown = readings.filter(({ states }) => states.includes(earliest)).slice(0, mostPlaces);
  const places = shown.map(({ place }) => wordPlace(circuit, place)).join(', ');
  return [
    `${places} ${state === undefined ? '' : inState(state)}`,
    ...andMore(readings.length - shown.length),
  ].join('; ');
}

const mostPlaces = 2;

function andMore(more: number): string[] {
  return more === 0 ? [] : [`${more} more`];
}

/** A test point by its name, for its black lead is told once; across a part both ends. */
function wordPlace({ nodes }: TestabilityAnswer['circuit'], { kind, red, black }: Place): string {
  const [from, to] = [red, black].map((node) => clean(nodes[node]?.name ?? ''));
  return kind === 'point' ? (from ?? '') : `${from} to ${to}`;
}
