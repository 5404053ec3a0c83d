import type { Fault, Load } from '../../circuit/circuit.js';
import type { Unsettled } from '../../meter/meter.js';
import { branchFigures, isPresent, type View, worksIn } from '../../solve/solve.js';
import type { Place } from './places.js';
import { type Life, readsOther, type Survey } from './supposed.js';

/** What a fault does that can be seen or read, against the sound circuit; states by their number in the survey. */
export interface Effects {
  /** Loads that should work and do not, or work and should not. */
  readonly loads: readonly { readonly load: Load; readonly state: number; readonly works: boolean }[];
  /** States in which nothing holds still: a protector opens, or contacts chatter. */
  readonly outcomes: readonly { readonly state: number; readonly outcome: Unsettled }[];
  /** Places whose band does not overlap the sound circuit's, with the states in which it does not. */
  readonly readings: readonly { readonly place: Place; readonly states: readonly number[] }[];
}

/**
 * Why a fault shows nowhere. `stands-so`: in every state the part stands as the fault has it anyway. `no-current`: it
 * breaks, or wears, what carries none. `too-little`: what it changes is out of reach, floats, or is lost in tolerance.
 */
export type Hidden = 'stands-so' | 'no-current' | 'too-little';

export function effectsOf(survey: Survey, life: Life, sound: Life, places: readonly number[]): Effects {
  const loads: Effects['loads'][number][] = [];
  const outcomes: Effects['outcomes'][number][] = [];
  const statesAt = new Map<number, number[]>();
  for (const [state, scene] of life.entries()) {
    const healthy = sound[state];
    if (healthy === undefined) continue;
    if (scene.sight.kind !== 'steady') outcomes.push({ state, outcome: scene.sight });
    for (const [index, works] of scene.works.entries()) {
      const should = healthy.works[index];
      const load = survey.loads[index];
      if (load === undefined || works === should || works === 'marginal' || should === 'marginal') continue;
      loads.push({ load, state, works: works === 'yes' });
    }
    for (const place of places)
      if (readsOther(survey, scene, healthy, place))
        statesAt.set(place, [...(statesAt.get(place) ?? []), state]);
  }
  const readings = places.flatMap((index) => {
    const [place, states] = [survey.places[index], statesAt.get(index)];
    return place === undefined || states === undefined ? [] : { place, states };
  });
  return { loads, outcomes, readings };
}

/** What carries less does nothing on purpose: rounding, or what capacitance lets through (judgement, no source). */
export const leastAmps = 1e-4;

export function whyHidden(survey: Survey, fault: Fault, sound: Life): Hidden {
  const views = sound.flatMap(({ sight }) => (sight.kind === 'steady' ? sight.view : []));
  if (fault.changes.every((change) => views.every((view) => standsSo(survey, change, view))))
    return 'stands-so';
  const idle = fault.changes.every(
    (change) =>
      (change.kind === 'absent' || change.kind === 'worn') &&
      views.every(
        (view) => !isPresent(view, change.branch) || branchFigures(view, change.branch).amps < leastAmps,
      ),
  );
  return idle ? 'no-current' : 'too-little';
}

function standsSo({ stand }: Survey, change: Fault['changes'][number], view: View): boolean {
  switch (change.kind) {
    case 'absent':
      return !isPresent(view, change.branch);
    case 'conducts': {
      const gate = stand.circuit.branches[change.branch]?.gate;
      return gate !== undefined && isPresent(view, change.branch);
    }
    case 'held':
      return view.on[change.actuator] === change.on;
    case 'idle': {
      const load = stand.circuit.loads.get(change.load);
      return load === undefined || worksIn(view, load, stand.supplies.spread) === 'no';
    }
    default:
      return false;
  }
}
