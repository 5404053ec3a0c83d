import type { Circuit, CircuitNode, Fault, State } from '../../circuit/circuit.js';
import { measuredSupplies, standOf, type TestStand, usualInstrument } from '../../meter/meter.js';
import { type AmbiguityGroup, ambiguityGroups } from './ambiguity-groups.js';
import { bestExtraPoint, countTrue, type ExtraPoint } from './extra-point.js';
import { type Effects, effectsOf, type Hidden, whyHidden } from './fault-effects.js';
import { chooseStates, type LookedState, type LookedStates, statesThatShow } from './looked-states.js';
import { type Place, placesIn } from './places.js';
import { listStanding } from './standing-values.js';
import { type Life, type Survey, soundLife, suppose } from './supposed.js';
import { areToldApart, type Standing, standingOf } from './told-apart.js';

/** How many faults there are, show, and are told apart. */
export interface Tally {
  readonly faults: number;
  /** Some reading or load's work differs from the sound circuit's for certain. */
  readonly detectable: number;
  /** Told, besides, from every fault of any other part. */
  readonly isolable: number;
  /** Told from every other fault. */
  readonly single: number;
}

/** One fault and what becomes of it. */
export interface TestedFault extends Effects {
  readonly fault: Fault;
  readonly detectable: boolean;
  readonly isolable: boolean;
  readonly single: boolean;
  /** Why it shows nowhere, where it does not. */
  readonly hidden?: Hidden;
}

export interface TestabilityAnswer {
  readonly circuit: Circuit;
  readonly looked: LookedStates;
  readonly blacks: readonly CircuitNode[];
  /** Test points, and parts read across. */
  readonly points: number;
  readonly across: number;
  readonly tally: Tally;
  readonly faults: readonly TestedFault[];
  /** Numbers in `faults`. */
  readonly groups: readonly AmbiguityGroup[];
  /** Nodes that are neither test points nor hazardous. */
  readonly outOfReach: number;
  readonly extraPoint?: { readonly node: CircuitNode; readonly tally: Tally };
}

/**
 * Every single fault of a circuit in each of a set of states, or in the one given: what it does, whether that can be seen
 * or read, and which faults can't be told apart. Each supply counts as measured, as a job begins with that. `done` is told
 * how far it is.
 */
export function testFaults(
  circuit: Circuit,
  given: State | undefined,
  done: (faults: number, of: number) => void,
): TestabilityAnswer {
  const supply = new Map([...circuit.supplies.values()].map(({ name, stated }) => [name, stated]));
  const job = { meter: usualInstrument, supply, symptoms: [], readings: [], trips: [] };
  const stand = standOf(circuit, measuredSupplies(circuit, job));
  const { places, blacks } = placesIn(circuit);
  const reached = [...places.keys()].filter((index) => places[index]?.needs === undefined);
  const { survey, looked, faults, sound, lives } = livesOf(stand, places, reached, given, done);
  const standing = standingOf(survey, faults, lives, sound, reached);
  const extra = bestExtraPoint(survey, faults, lives, sound, standing);
  return {
    circuit,
    looked,
    blacks: blacks.flatMap((index) => circuit.nodes[index] ?? []),
    points: reached.filter((index) => places[index]?.kind === 'point').length,
    across: reached.filter((index) => places[index]?.kind === 'across').length,
    tally: tallyOf(standing),
    faults: testedFaults(survey, faults, lives, sound, standing, reached),
    groups: ambiguityGroups(faults, standing),
    outOfReach: new Set(places.flatMap(({ needs }) => needs ?? [])).size,
    ...withExtra(extra),
  };
}

interface Lives {
  readonly survey: Survey;
  readonly looked: LookedStates;
  readonly faults: readonly Fault[];
  readonly sound: Life;
  readonly lives: readonly Life[];
}

/** Each fault in the states chosen, and in those added for the sake of faults that show in none of them. */
function livesOf(
  stand: TestStand,
  places: readonly Place[],
  reached: readonly number[],
  given: State | undefined,
  done: (faults: number, of: number) => void,
): Lives {
  const chosen = chooseStates(stand, given);
  const loads = [...stand.circuit.loads.values()];
  const surveyIn = (states: readonly LookedState[]): Survey => ({
    stand,
    states: states.map(({ state }) => state),
    places,
    loads,
  });
  const first = surveyIn(chosen.states);
  const soundFirst = soundLife(first);
  const faults = listStanding(
    stand.circuit,
    soundFirst.flatMap(({ sight }) => (sight.kind === 'steady' ? sight.view : [])),
  );
  const livesFirst = faults.map((fault, index) => {
    done(index, faults.length);
    return suppose(first, fault, soundFirst);
  });
  const hidden = faults.filter(
    (_, index) => !areToldApart(first, livesFirst[index] ?? soundFirst, soundFirst, reached),
  );
  const more = given === undefined ? statesThatShow(first, hidden) : [];
  const looked = { ...chosen, states: [...chosen.states, ...more] };
  const added = surveyIn(more);
  const soundMore = soundLife(added);
  const lives = faults.map((fault, index) => [
    ...(livesFirst[index] ?? soundFirst),
    ...suppose(added, fault, soundMore),
  ]);
  return { survey: surveyIn(looked.states), looked, faults, sound: [...soundFirst, ...soundMore], lives };
}

function withExtra(extra: ExtraPoint | undefined): Pick<TestabilityAnswer, 'extraPoint'> {
  return extra === undefined ? {} : { extraPoint: { node: extra.node, tally: tallyOf(extra.standing) } };
}

function tallyOf({ detectable, isolable, single }: Standing): Tally {
  return {
    faults: detectable.length,
    detectable: countTrue(detectable),
    isolable: countTrue(isolable),
    single: countTrue(single),
  };
}

function testedFaults(
  survey: Survey,
  faults: readonly Fault[],
  lives: readonly Life[],
  sound: Life,
  { detectable, isolable, single }: Standing,
  places: readonly number[],
): TestedFault[] {
  return faults.map((fault, index) => {
    const shows = detectable[index] === true;
    return {
      fault,
      ...effectsOf(survey, lives[index] ?? sound, sound, places),
      detectable: shows,
      isolable: isolable[index] === true,
      single: single[index] === true,
      ...(shows || sound.length === 0 ? {} : { hidden: whyHidden(survey, fault, sound) }),
    };
  });
}
