import type { Fault, Load, State } from '../../circuit/circuit.js';
import {
  couldReadAlike,
  type Expected,
  isFarOff,
  nominalVolts,
  type TestStand,
  usualInstrument,
} from '../../meter/meter.js';
import { isSameNetwork, type Sight, type View, type Works, worksIn } from '../../solve/solve.js';
import type { Place } from './places.js';

/** One of the circuit's lives, the sound one or one with a fault, in a state. */
export interface Scene {
  readonly sight: Sight;
  /** By load, in the circuit's order; empty where nothing is steady. */
  readonly works: readonly Works[];
  /** Volts at each place with nominal parts, NaN where it floats; empty where nothing is steady. */
  readonly nominal: readonly number[];
  /** The bands worked out so far, by place. */
  readonly bands: Map<number, Expected>;
}

/** Two nominal values this near have bands that overlap: each band holds at least the counts of the meter's last digit. */
const nearVolts = 2 * usualInstrument.accuracy.counts * usualInstrument.accuracy.resolution;

/** What is asked of each life: the states, the places and the loads. */
export interface Survey {
  readonly stand: TestStand;
  readonly states: readonly State[];
  readonly places: readonly Place[];
  readonly loads: readonly Load[];
}

/** A life of the circuit, in each state of a survey. */
export type Life = readonly Scene[];

/** The sound circuit in every state. */
export function soundLife(survey: Survey): Life {
  return survey.states.map((state) => sceneOf(survey, survey.stand.look(state, []), undefined));
}

/**
 * The circuit with a fault in every state; a state is looked at by itself, with every protector whole before it. Where a
 * fault leaves the network as it was, what is read is the sound circuit's, and not worked out again.
 */
export function suppose(survey: Survey, fault: Fault, sound: Life): Life {
  return survey.states.map((state, index) =>
    sceneOf(survey, survey.stand.look(state, [fault]), sound[index]),
  );
}

function sceneOf({ stand, places, loads }: Survey, sight: Sight, sound: Scene | undefined): Scene {
  if (sight.kind !== 'steady') return { sight, works: [], nominal: [], bands: new Map() };
  const { view } = sight;
  const works = loads.map((load) => worksIn(view, load, stand.supplies.spread));
  if (sound?.sight.kind === 'steady' && isSameNetwork(view, sound.sight.view)) {
    const { nominal, bands } = sound;
    return { sight, works, nominal, bands };
  }
  return { sight, works, nominal: places.map((place) => nominalAt(view, place)), bands: new Map() };
}

function nominalAt(view: View, { red, black }: Place): number {
  const expected = nominalVolts(view, red, black, usualInstrument);
  return expected.kind === 'driven' ? expected.nominal : Number.NaN;
}

/** Whether what is seen of the appliance without a meter differs for certain: what opens, what chatters, what works. */
export function looksOther(a: Scene, b: Scene): boolean {
  if (outcomeOf(a.sight) !== outcomeOf(b.sight)) return true;
  return a.works.some(
    (works, load) => works !== b.works[load] && works !== 'marginal' && b.works[load] !== 'marginal',
  );
}

/** A blown protector is there to be seen, and which one; whether a short or an overload blew it is not. */
function outcomeOf(sight: Sight): string {
  switch (sight.kind) {
    case 'steady':
    case 'chattering':
      return sight.kind;
    case 'short':
    case 'overload':
      return `opens ${sight.protector ?? ''}`;
  }
}

/**
 * Whether a meter at a place tells two lives apart for certain, in one state: their bands do not overlap. Most answers are
 * plain before both bands are worked out, which takes longest.
 */
export function readsOther(survey: Survey, a: Scene, b: Scene, place: number): boolean {
  if (a.nominal === b.nominal) return false;
  const [first, second] = [a.nominal[place], b.nominal[place]];
  if (first === undefined || second === undefined) return false;
  if (Number.isNaN(first) && Number.isNaN(second)) return false;
  if (Math.abs(first - second) <= nearVolts) return false;
  const band = bandAt(survey, b, place);
  if (band.kind === 'driven' && !a.bands.has(place)) {
    if (first >= band.low && first <= band.high) return false;
    if (isFarFrom(survey, a, place, first < band.low ? band.low : band.high)) return true;
  }
  return !couldReadAlike(bandAt(survey, a, place), band);
}

/** A band that does not reach the near end of another lies all on one side of it. */
function isFarFrom({ stand, places }: Survey, { sight }: Scene, index: number, shown: number): boolean {
  const place = places[index];
  if (
    sight.kind !== 'steady' ||
    place === undefined ||
    sight.view.island(place.red) !== sight.view.island(place.black)
  )
    return false;
  const { red, black } = place;
  return isFarOff(sight.view, { red, black, meter: usualInstrument, shown, spread: stand.supplies.spread });
}

function bandAt({ stand, places }: Survey, { sight, bands }: Scene, index: number): Expected {
  const kept = bands.get(index);
  const place = places[index];
  if (kept !== undefined) return kept;
  if (sight.kind !== 'steady' || place === undefined) throw new Error(`nothing is read at place ${index}`);
  const { red, black } = place;
  const probe = { where: { kind: 'between', red, black }, unit: 'V', meter: usualInstrument } as const;
  const band = stand.expectIn(sight.view, probe);
  bands.set(index, band);
  return band;
}
