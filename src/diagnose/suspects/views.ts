import type { Fault, State } from '../../circuit/circuit.js';
import type { TestStand } from '../../meter/meter.js';
import type { View } from '../../solve/solve.js';
import { openedBy } from './opened.js';

/**
 * What a meter could be looking at in a state: one network; two where an overload opens and closes again, the closed one
 * first; none where contacts never settle. Undefined where something blows for good: nobody reads a meter until it does.
 */
export function viewsOf(
  stand: TestStand,
  state: State,
  faults: readonly Fault[],
  dead: boolean,
): readonly View[] | undefined {
  const sight = stand.look(state, faults, dead);
  switch (sight.kind) {
    case 'steady':
      return [sight.view];
    case 'chattering':
      return [];
    case 'short':
      return undefined;
    case 'overload': {
      if (stand.circuit.protectors.get(sight.protector)?.closesAgain !== true) return undefined;
      const opened = stand.look(state, [...faults, openedBy(stand.circuit, sight)], dead);
      return opened.kind === 'steady' ? [sight.view, opened.view] : [sight.view];
    }
  }
}
