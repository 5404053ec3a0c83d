import { type Circuit, type Fault, type State, stateKey } from '../../circuit/circuit.js';
import type { TestStand, Trip } from '../../meter/meter.js';
import { upTo } from '../states.js';
import { explainedBy, type Group, holdTrip, impossibleIn, isRuledOut } from './evidence.js';
import { openedBy, openedByOverload, openedByShort } from './opened.js';

/** How well faults explain a job: a share from 0 to 1, and what they opened on the way. */
export interface Explanation {
  readonly share: number;
  readonly opened?: Fault;
}

/** A job held against supposed faults; undefined when any reading or symptom contradicts them. */
export type Explain = (faults: readonly Fault[]) => Explanation | undefined;

/**
 * How well faults explain a job, with what they blow. A short circuit in any state of the job opens a protector on its
 * path (or, with none there, the building's) for good; so does an overload of one that does not close again. It may
 * have done so before the first reading or between two.
 */
export function explainer(stand: TestStand, groups: readonly Group[], trips: readonly Trip[]): Explain {
  const last = lastReading(groups);
  const openable = openedByShort(stand.circuit);
  const limited = openedByOverload(stand.plan('running'));
  const gone = [...groups, ...trips.flatMap(({ state }) => unobserved(groups, state))];
  return (faults) => {
    if (trips.some((trip) => holdTrip(stand, trip, faults).verdict === 'differs')) return undefined;
    // A state that lists its own past is told whole, what blew in it too.
    const asTheyStand = explainedBy(stand, groups, faults);
    if (asTheyStand !== undefined) return { share: asTheyStand };
    // What was seen to open is open from then on, unless somebody has seen to it.
    const shorted = afterShort(stand, gone, last, faults, openable);
    if (shorted !== undefined || !mayOverload(stand.circuit, faults)) return shorted;
    return firstOf(limited, (opened) => afterOverload(stand, gone, last, faults, opened));
  };
}

/** A state that nothing was observed in but that something opened: none where it is one of the job's anyway. */
function unobserved(groups: readonly Group[], state: State): readonly Group[] {
  const isKnown = groups.some((group) => !group.dead && stateKey(group.state) === stateKey(state));
  return isKnown ? [] : [{ state, dead: false, symptoms: [], readings: [] }];
}

/** Only what adds a way for current can, or a motor that is not started, or a contact of what is then off. */
function mayOverload({ actuators }: Circuit, faults: readonly Fault[]): boolean {
  if (actuators.some(({ kind }) => kind === 'load' || kind === 'relay')) return true;
  return faults.some((fault) =>
    fault.changes.some(({ kind }) => kind === 'held' || kind === 'moved' || kind === 'conducts'),
  );
}

/** A group that holds the job's last reading, and nothing else; none where there is none. */
export function lastReading(groups: readonly Group[]): readonly Group[] {
  const indexOf = (group: Group) => group.readings.at(-1)?.index ?? 0;
  const last = groups.reduce<Group | undefined>(
    (latest, each) => (indexOf(each) > (latest === undefined ? 0 : indexOf(latest)) ? each : latest),
    undefined,
  );
  return last === undefined ? [] : [{ ...last, symptoms: [], readings: last.readings.slice(-1) }];
}

function afterShort(
  stand: TestStand,
  groups: readonly Group[],
  last: readonly Group[],
  faults: readonly Fault[],
  openable: readonly Fault[],
): Explanation | undefined {
  const places = groups.filter(
    ({ state, dead }) => !dead && upTo(state).some((each) => stand.mayShortUnder(each, faults)),
  );
  // Whatever blew when, it is open at the last reading; and that it did is solved for last.
  const fits = (opened: Fault) => {
    const blown = [...faults, opened];
    return (
      last.every((group) => !isRuledOut(stand, group, blown)) &&
      groups.every((group) => fitsEither(stand, group, faults, blown))
    );
  };
  if (places.length === 0 || !openable.some(fits)) return undefined;
  const opens = ({ state }: Group) =>
    firstOf(upTo(state), (each) => {
      const sight = stand.look(each, faults);
      return sight.kind === 'short' ? openedBy(stand.circuit, sight) : undefined;
    });
  const opened = firstOf(places, opens);
  if (opened === undefined) return undefined;
  const blown = [...faults, opened];
  if (explainedBy(stand, last, blown) === undefined) return undefined;
  const blowing = () => places.filter((group) => opens(group)?.part === opened.part);
  const share = explainedBy(stand, groups, blown) ?? explainedInTime(stand, groups, faults, blown, blowing());
  return share === undefined ? undefined : { share, opened };
}

/**
 * The other way round, for it is rare and has to be solved for: would the job be explained with this protector open,
 * and if so, does any of its states open it?
 */
function afterOverload(
  stand: TestStand,
  groups: readonly Group[],
  last: readonly Group[],
  faults: readonly Fault[],
  opened: Fault,
): Explanation | undefined {
  if (faults.some(({ part, mode }) => part === opened.part && mode === opened.mode)) return undefined;
  const blown = [...faults, opened];
  if (explainedBy(stand, last, blown) === undefined) return undefined;
  const always = explainedBy(stand, groups, blown);
  if (always === undefined && !groups.every((group) => fitsAtOneTime(stand, group, faults, blown)))
    return undefined;
  const blowing = groups.filter(
    ({ state, dead }) => !dead && upTo(state).some((each) => overloads(stand, each, faults, opened)),
  );
  if (blowing.length === 0) return undefined;
  const share = always ?? explainedInTime(stand, groups, faults, blown, blowing);
  return share === undefined ? undefined : { share, opened };
}

function overloads(stand: TestStand, state: State, faults: readonly Fault[], opened: Fault): boolean {
  const sight = stand.look(state, faults);
  return sight.kind === 'overload' && sight.protector === opened.part;
}

/**
 * Where something blew while the readings were taken, which are in the order they were taken in: those from the first
 * state that blows it are of the circuit after that, those before of the circuit before. A symptom of any other state
 * may have been seen at either time.
 */
function explainedInTime(
  stand: TestStand,
  groups: readonly Group[],
  faults: readonly Fault[],
  blown: readonly Fault[],
  blowing: readonly Group[],
): number | undefined {
  const first = Math.min(...blowing.flatMap(({ readings }) => readings.map(({ index }) => index)));
  // Of a complaint alone, what works now works after whatever blew.
  if (!Number.isFinite(first)) return undefined;
  let share = 1;
  for (const group of groups) {
    const part = explainedGroupInTime(stand, group, faults, blown, first, blowing.includes(group));
    if (part === undefined) return undefined;
    share *= part;
  }
  return share;
}

function explainedGroupInTime(
  stand: TestStand,
  group: Group,
  faults: readonly Fault[],
  blown: readonly Fault[],
  first: number,
  blowing: boolean,
): number | undefined {
  const earlier = { ...group, symptoms: [], readings: group.readings.filter(({ index }) => index < first) };
  const later = { ...group, symptoms: [], readings: group.readings.filter(({ index }) => index >= first) };
  const seen = { ...group, readings: [] };
  const parts = [
    earlier.readings.length === 0 ? 1 : explainedBy(stand, [earlier], faults),
    later.readings.length === 0 ? 1 : explainedBy(stand, [later], blown),
    seen.symptoms.length === 0
      ? 1
      : (explainedBy(stand, [seen], blown) ?? (blowing ? undefined : explainedBy(stand, [seen], faults))),
  ];
  return parts.reduce((a, b) => (a === undefined || b === undefined ? undefined : a * b), 1);
}

/** A look without solving: each reading is possible before or after. */
function fitsEither(
  stand: TestStand,
  group: Group,
  faults: readonly Fault[],
  blown: readonly Fault[],
): boolean {
  const readings = impossibleIn(stand, group, blown);
  return readings.length === 0 || impossibleIn(stand, { ...group, readings }, faults).length === 0;
}

/** The same, solved for. */
function fitsAtOneTime(
  stand: TestStand,
  group: Group,
  faults: readonly Fault[],
  blown: readonly Fault[],
): boolean {
  if (!fitsEither(stand, group, faults, blown)) return false;
  return group.readings.every((reading) => {
    const alone = [{ ...group, symptoms: [], readings: [reading] }];
    return explainedBy(stand, alone, blown) !== undefined || explainedBy(stand, alone, faults) !== undefined;
  });
}

function firstOf<T, R>(all: readonly T[], of: (each: T) => R | undefined): R | undefined {
  for (const each of all) {
    const found = of(each);
    if (found !== undefined) return found;
  }
  return undefined;
}
