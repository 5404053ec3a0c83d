import { type Circuit, type Load, type State, stateKey } from '../circuit/circuit.js';
import {
  type Blank,
  type Expected,
  type Job,
  measuredSupplies,
  probeOfBlank,
  type Reading,
  type SupplyKnowledge,
  standOf,
  type TestStand,
  type Unsettled,
  type Verdict,
} from '../meter/meter.js';
import { rmsVolts, type View } from '../solve/solve.js';
import { bracketReading, bracketSymptom, bracketTrip, type Discrepancy } from './bracket.js';
import { clearNeighbours } from './clearing/clear-neighbours.js';
import type { Clearance } from './clearing/cleared.js';
import { type Proven, provenBy } from './clearing/proven.js';
import { type Doubt, doubtsOf, type MovedSwitch, movedSwitches } from './doubts/doubts.js';
import { type Disagreement, disagreements } from './doubts/repeats.js';
import { type Slip, slipsOf } from './slips/exchange.js';
import {
  groupByState,
  holdReading,
  holdSymptom,
  holdTrip,
  type ReadingEvidence,
  type SymptomEvidence,
  type TripEvidence,
} from './suspects/evidence.js';
import { areBounded, listSuspects, partsOf, type Suspect, type Suspects } from './suspects/suspects.js';

/**
 * `agrees`: everything is as it should be. `bounded`: the suspects all lie in one part. `ambiguous`: in several.
 * `unexplained`: no modelled single fault fits. `undecided`: nothing conclusive was measured.
 */
export type CheckVerdict = 'agrees' | 'bounded' | 'ambiguous' | 'unexplained' | 'undecided';

/** What a part that does not do its job has been shown to have: the reason it is bounded. */
export interface HasAllItNeeds {
  readonly part: string;
  readonly state: State;
  /** Volts across its supply terminals, predicted, and the reading that shows it, where one does. */
  readonly needs: readonly Need[];
  /** The loads (a module's outputs) that should be working in that state. */
  readonly jobs: readonly Load[];
}

export interface Need {
  readonly kind: 'supply' | 'signal';
  /** An input's name, for a signal. */
  readonly input?: string;
  readonly red: string;
  readonly black: string;
  readonly volts: number;
  readonly reading?: Reading;
}

export interface CheckAnswer extends Suspects {
  readonly circuit: Circuit;
  readonly job: Job;
  readonly supplies: SupplyKnowledge;
  readonly verdict: CheckVerdict;
  readonly readings: readonly ReadingEvidence[];
  readonly symptoms: readonly SymptomEvidence[];
  readonly trips: readonly TripEvidence[];
  /** Readings that the file lists and nobody took, with what they should be. */
  readonly blank: readonly { readonly reading: Blank; readonly expected: Expected | Unsettled }[];
  readonly firstDiscrepancy?: Discrepancy;
  readonly hasAllItNeeds?: HasAllItNeeds;
  /** Repeats of a reading that can't all be of one steady circuit. */
  readonly disagreements: readonly Disagreement[];
  /** States whose readings are all right for another one. */
  readonly movedSwitches: readonly MovedSwitch[];
  /** Where no steady single fault fits: observations that are against all the others. */
  readonly doubts: readonly Doubt[];
  /** Parts next to the bracket, and what clears them. */
  readonly cleared: readonly Clearance[];
  /** Suspected slips of the hand, and what else each would do. */
  readonly slips: readonly Slip[];
  /** Where all agrees. */
  readonly proven?: Proven;
}

const nothingSupposed = {
  suspects: [],
  supposed: 'single',
  tried: 0,
  settled: true,
  complete: true,
  disagreements: [],
  movedSwitches: [],
  doubts: [],
  cleared: [],
  slips: [],
} as const;

/** Readings and symptoms against the circuit: what differs first, what bounds it, and every single fault that fits. */
export function checkJob(circuit: Circuit, job: Job): CheckAnswer {
  const { stand, answer } = suspected(circuit, job);
  const { readings, symptoms, trips, suspects, supposed, settled } = answer;
  if (answer.verdict === 'undecided') return answer;
  if (answer.verdict === 'agrees') return { ...answer, proven: provenBy(stand, job, readings, symptoms) };
  const badReading = readings.find(isAmiss);
  const badSymptom = symptoms.find(isAmiss);
  const badTrip = trips.find(isAmiss);
  const firstDiscrepancy =
    badReading !== undefined
      ? bracketReading(stand, badReading, suspects)
      : badSymptom !== undefined &&
          badSymptom.symptom.index < (badTrip?.trip.index ?? Number.POSITIVE_INFINITY)
        ? bracketSymptom(stand, badSymptom, suspects)
        : bracketTrip(badTrip as TripEvidence, suspects);
  const state = (badReading?.reading ?? badSymptom?.symptom ?? badTrip?.trip)?.state;
  const hasAllItNeeds = state === undefined ? undefined : needsMet(stand, job, suspects, state);
  return {
    ...answer,
    firstDiscrepancy,
    movedSwitches: movedSwitches(stand, job),
    doubts: supposed === 'single' && settled ? [] : doubtsOf(stand, job),
    // What comes and goes may have been away when a reading was taken.
    cleared:
      supposed === 'single'
        ? clearNeighbours(stand, job, readings, symptoms, firstDiscrepancy, suspects)
        : [],
    slips: slipsOf(stand, job, suspects),
    ...(hasAllItNeeds === undefined ? {} : { hasAllItNeeds }),
  };
}

/** Verdict and suspects alone, as the next reading is chosen by them: what else there is to say of them is left empty. */
export function suspectsIn(circuit: Circuit, job: Job): CheckAnswer {
  return suspected(circuit, job).answer;
}

function suspected(circuit: Circuit, job: Job): { readonly stand: TestStand; readonly answer: CheckAnswer } {
  const supplies = measuredSupplies(circuit, job);
  const stand = standOf(circuit, supplies);
  const readings = job.readings.map((reading) => holdReading(stand, reading, []));
  const symptoms = job.symptoms.map((symptom) => holdSymptom(stand, symptom, []));
  const trips = job.trips.map((trip) => holdTrip(stand, trip, []));
  const blank = (job.blank?.readings ?? []).map((reading) => ({
    reading,
    expected: stand.expect(reading.state, probeOfBlank(reading), []),
  }));
  const held = { circuit, job, supplies, readings, symptoms, trips, blank, ...nothingSupposed };
  const all = [...readings, ...symptoms, ...trips];
  if (!all.some(isAmiss)) {
    const conclusive = all.some((each) => each.verdict === 'agrees');
    return { stand, answer: { ...held, verdict: conclusive ? 'agrees' : 'undecided' } };
  }
  const amiss = new Set([
    ...readings.filter(isAmiss).map((each) => each.reading),
    ...symptoms.filter(isAmiss).map((each) => each.symptom),
  ]);
  const unsteady = disagreements(job);
  const found = listSuspects(stand, groupByState(job, amiss), job.trips, unsteady.length > 0);
  const { suspects } = found;
  const verdict = suspects.length === 0 ? 'unexplained' : areBounded(suspects) ? 'bounded' : 'ambiguous';
  return { stand, answer: { ...held, ...found, verdict, disagreements: unsteady } };
}

function isAmiss({ verdict }: { readonly verdict: Verdict }): boolean {
  return verdict === 'differs';
}

/** When one module or load is left and only its not working explains the job: what it has, reading by reading. */
function needsMet(
  stand: TestStand,
  job: Job,
  suspects: readonly Suspect[],
  state: State,
): HasAllItNeeds | undefined {
  const parts = [...new Set(suspects.flatMap(partsOf))];
  const [part] = parts;
  if (part === undefined || parts.length > 1) return undefined;
  const dead = suspects.filter((suspect) =>
    suspect.faults.every((fault) => fault.mode === 'dead' || fault.mode === 'open'),
  );
  if (dead.length < suspects.length) return undefined;
  const sight = stand.look(state, []);
  if (sight.kind !== 'steady') return undefined;
  const { circuit } = stand;
  const module = circuit.modules.get(part);
  const load = circuit.loads.get(part);
  if (module === undefined && load === undefined) return undefined;
  const needs =
    module === undefined
      ? loadNeeds(stand, job, load, sight.view, state)
      : moduleNeeds(stand, job, part, sight.view, state);
  const jobs = [...circuit.loads.values()].filter((each) => each.part === part && isIdle(each, sight.view));
  return { part, state, needs, jobs };
}

/** Should work in the sound circuit, so that not working is what is missed. */
function isIdle(load: Load, view: View): boolean {
  return load.does.kind === 'volts' || view.on[load.does.actuator] === true;
}

function moduleNeeds(stand: TestStand, job: Job, name: string, view: View, state: State): Need[] {
  const module = stand.circuit.modules.get(name);
  if (module === undefined) return [];
  const signals = module.inputs.filter((input) => (rmsVolts(view, ...input.between) ?? 0) >= input.atLeast);
  return [
    needOf(stand, job, 'supply', module.supply.between, view, state),
    ...signals.map((input) => ({
      ...needOf(stand, job, 'signal', input.between, view, state),
      input: input.name,
    })),
  ];
}

function loadNeeds(stand: TestStand, job: Job, load: Load | undefined, view: View, state: State): Need[] {
  const branch = stand.circuit.branches[load?.does.branch ?? -1];
  return branch === undefined ? [] : [needOf(stand, job, 'supply', [branch.from, branch.to], view, state)];
}

function needOf(
  stand: TestStand,
  job: Job,
  kind: Need['kind'],
  [a, b]: readonly [number, number],
  view: View,
  state: State,
): Need {
  const names = stand.circuit.nodes;
  const measured = (reading: Reading) =>
    reading.where.kind === 'between' &&
    reading.shown.kind === 'value' &&
    reading.shown.unit === 'V' &&
    [a, b].includes(reading.where.red) &&
    [a, b].includes(reading.where.black);
  // The same state tells most; the supply of a module is the same in every one.
  const reading =
    job.readings.find((each) => measured(each) && stateKey(each.state) === stateKey(state)) ??
    job.readings.find((each) => measured(each) && kind === 'supply');
  return {
    kind,
    red: names[a]?.name ?? '',
    black: names[b]?.name ?? '',
    volts: rmsVolts(view, a, b) ?? 0,
    ...(reading === undefined ? {} : { reading }),
  };
}
