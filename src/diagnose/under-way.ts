import type { State } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
import { onUnderWay } from '../solve/solve.js';

/** Whether a relay, by name, pulls in on the way into any of the states, if only for a moment. */
export type UnderWay = (relay: string) => boolean;

/** States are gone into only once something seems never to move. */
export function relaysUnderWay(stand: TestStand, states: readonly State[]): UnderWay {
  let met: ReadonlySet<string> | undefined;
  return (relay) => {
    met ??= new Set(states.flatMap((state) => relaysOn(stand, state)));
    return met.has(relay);
  };
}

function relaysOn(stand: TestStand, state: State): string[] {
  const relays = stand.circuit.actuators.filter(({ kind }) => kind === 'relay');
  if (relays.length === 0) return [];
  const on = onUnderWay(stand.plan('running'), state);
  return relays.filter(({ index }) => on[index] === true).map(({ name }) => name);
}
