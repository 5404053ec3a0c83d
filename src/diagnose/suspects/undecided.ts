import type { Actuator, Fault, State } from '../../circuit/circuit.js';
import { mayStandEitherWay, type TestStand } from '../../meter/meter.js';
import type { View } from '../../solve/solve.js';

/** More actuators at their limit at once than this are not gone through. */
const mostUndecided = 3;

const known = new WeakMap<View, readonly View[]>();

/**
 * The sound circuit as it may stand as well: at this supply what some actuators look at is just enough, or just not, and
 * tolerances decide. None where nothing is at its limit.
 */
export function otherSoundViews(stand: TestStand, state: State): readonly View[] {
  const sound = stand.look(state, []);
  if (sound.kind !== 'steady') return [];
  const kept = known.get(sound.view);
  if (kept !== undefined) return kept;
  const undecided = stand.circuit.actuators.filter((each) => mayStandEitherWay(stand, sound.view, each));
  const sets = undecided.length > mostUndecided ? [] : subsetsOf(undecided);
  const views = sets.flatMap((set) => {
    const sight = stand.look(state, [heldOtherwise(sound.view, set)]);
    return sight.kind === 'steady' ? sight.view : [];
  });
  known.set(sound.view, views);
  return views;
}

function subsetsOf(actuators: readonly Actuator[]): readonly (readonly Actuator[])[] {
  return Array.from({ length: 2 ** actuators.length - 1 }, (_, number) =>
    actuators.filter((_each, at) => (((number + 1) >> at) & 1) === 1),
  );
}

function heldOtherwise(view: View, actuators: readonly Actuator[]): Fault {
  const changes = actuators.map(
    ({ index }) => ({ kind: 'held', actuator: index, on: view.on[index] !== true }) as const,
  );
  return { part: actuators[0]?.part ?? '', mode: 'dead', changes };
}
