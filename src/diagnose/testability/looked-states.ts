import { type Fault, type Load, namedStates, type State, stateKey } from '../../circuit/circuit.js';
import type { TestStand } from '../../meter/meter.js';
import { type Sight, sweepStates, worksIn } from '../../solve/solve.js';
import { relaysUnderWay } from '../under-way.js';
import { type Survey, soundLife, suppose } from './supposed.js';
import { lookApart } from './told-apart.js';

/** A state that faults are looked at in, with what it was taken for: a load, or a fault, that no state before it served. */
export interface LookedState {
  readonly state: State;
  readonly works?: Load;
  readonly shows?: Fault;
}

export interface LookedStates {
  readonly states: readonly LookedState[];
  /** Named states in which even the sound circuit gives nothing to read, or beyond `mostStates`. */
  readonly leftOut: readonly State[];
  /** Loads that do their job in none of the states. */
  readonly idle: readonly Load[];
}

/** Each state is solved with each fault: more of them would keep a person waiting and seldom tell more. */
const mostStates = 32;

/** Combinations tried to find one in which a load works. */
const mostTried = 512;

/**
 * At rest, in every named state, and, for each load that works in none of those, in the combination of positions with the
 * fewest changes from rest in which it does; or in the one state given.
 */
export function chooseStates(stand: TestStand, given?: State): LookedStates {
  const { circuit } = stand;
  const states: LookedState[] = [];
  const leftOut: State[] = [];
  const idle = new Set(circuit.loads.values());
  for (const state of given === undefined ? namedStates(circuit) : [given]) {
    const sight = stand.look(state, []);
    if (sight.kind !== 'steady' || states.length >= mostStates) {
      leftOut.push(state);
      continue;
    }
    states.push({ state });
    for (const load of workingIn(stand, sight, idle)) idle.delete(load);
  }
  // A current relay lets go as its motor turns: no state would find it pulled in.
  const pulledIn = relaysUnderWay(
    stand,
    states.map(({ state }) => state),
  );
  for (const load of idle) if (pulledIn(load.name)) idle.delete(load);
  if (given !== undefined) return { states, leftOut, idle: [...idle] };
  for (const state of idle.size === 0 ? [] : sweepStates(circuit, mostTried).states) {
    if (idle.size === 0 || states.length >= mostStates) break;
    const [load, ...more] = workingIn(stand, stand.lookOnce(state, []), idle);
    if (load === undefined) continue;
    states.push({ state, works: load });
    for (const each of [load, ...more]) idle.delete(each);
  }
  return { states, leftOut, idle: [...idle] };
}

/** Combinations of a state and a fault tried to find one in which the fault shows. */
const mostLooks = 2000;

/**
 * For faults that show in none of the states so far: combinations of positions, those with the fewest changes from rest,
 * in which they make something work that should not, or the other way round (a door switch that does not open shows with
 * the door open only).
 */
export function statesThatShow(survey: Survey, hidden: readonly Fault[]): readonly LookedState[] {
  const { stand, states } = survey;
  const taken = new Set(states.map(stateKey));
  const found: LookedState[] = [];
  let left = hidden;
  let looks = 0;
  for (const state of hidden.length === 0 ? [] : sweepStates(stand.circuit, mostTried).states) {
    looks += left.length;
    if (left.length === 0 || looks > mostLooks || states.length + found.length >= mostStates) break;
    if (taken.has(stateKey(state))) continue;
    const here = { ...survey, states: [state], places: [] };
    const sound = soundLife(here);
    if (sound.some(({ sight }) => sight.kind !== 'steady')) continue;
    const [first, ...more] = left.filter((fault) => lookApart(suppose(here, fault, sound), sound));
    if (first === undefined) continue;
    found.push({ state, shows: first });
    left = left.filter((fault) => fault !== first && !more.includes(fault));
  }
  return found;
}

function workingIn(stand: TestStand, sight: Sight, loads: Iterable<Load>): Load[] {
  if (sight.kind !== 'steady') return [];
  return [...loads].filter((load) => worksIn(sight.view, load, stand.supplies.spread) === 'yes');
}
