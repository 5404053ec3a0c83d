import { type Circuit, restState, type State, stateKey } from '../../circuit/circuit.js';
import { type Job, type Probe, type Symptom, standOf, type TestStand } from '../../meter/meter.js';
import type { CheckAnswer } from '../check.js';
import { loadOfInterest, terminalsOf } from '../triage.js';
import {
  acrossSuspects,
  clampable,
  directConductors,
  distinctPairs,
  leakPairs,
  liveLeads,
  type Pair,
  spans,
  takenIn,
} from './candidates.js';
import { type Standing, standingOf } from './costs.js';
import { type Hypothesis, hypothesesOf } from './hypotheses.js';
import { entropy } from './information.js';
import { type Ballot, ballotOf } from './outcomes.js';
import { type SafePlaces, safePlaces } from './safe-places.js';
import { type Scene, sceneOf } from './scenes.js';

/** What a search for the next reading goes by, worked out once. */
export interface Search {
  readonly circuit: Circuit;
  readonly job: Job;
  readonly stand: TestStand;
  readonly standing: Standing;
  readonly places: SafePlaces;
  readonly hypotheses: readonly Hypothesis[];
  /** Suspects too unlikely to be looked at. */
  readonly left: number;
  /** The load of interest not doing its job, and where it gets its voltage. */
  readonly interest: Symptom | undefined;
  readonly load: Pair | undefined;
  /** Pairs of leads for volts; and for ohms, across suspected parts, over several, and to what they may leak to. */
  readonly leads: readonly Pair[];
  readonly dead: readonly Pair[];
  /** Wires for a clamp. */
  readonly wires: readonly number[];
  readonly conductorsBetween: (a: number, b: number) => readonly number[];
  readonly isTaken: (state: State, probe: Probe) => boolean;
  /** Each state is solved once, however often it is looked at. */
  readonly sceneIn: (state: State, dead: boolean) => Scene;
  /** Bits missing to know which part it is. */
  readonly missing: number;
}

export function searchFor(circuit: Circuit, job: Job, check: CheckAnswer, skip: ReadonlySet<number>): Search {
  const stand = standOf(circuit, check.supplies);
  const standing = standingOf(circuit, job, restState(circuit));
  const places = safePlaces(circuit, skip);
  const { all: hypotheses, left } = hypothesesOf(stand, job, check.suspects);
  const ballot = ballotOf(hypotheses);
  const interest = loadOfInterest(circuit, check);
  const load = interest && terminalsOf(circuit, interest.load);
  const across = acrossSuspects(circuit, hypotheses);
  return {
    circuit,
    job,
    stand,
    standing,
    places,
    hypotheses,
    left,
    interest,
    load,
    leads: liveLeads(circuit, standing, places, load === undefined ? across : [load, ...across]),
    dead: distinctPairs([...across, ...spans(circuit, standing, across), ...leakPairs(hypotheses)], places),
    wires: clampable(circuit, places),
    conductorsBetween: directConductors(circuit),
    isTaken: takenIn(job),
    sceneIn: scenesOf(stand, ballot),
    missing: entropy(answerWeights(ballot)),
  };
}

function scenesOf(stand: TestStand, ballot: Ballot): Search['sceneIn'] {
  const known = new Map<string, Scene>();
  return (state, dead) => {
    const key = `${dead} ${stateKey(state)}`;
    const scene = known.get(key) ?? sceneOf(stand, ballot, state, dead);
    known.set(key, scene);
    return scene;
  };
}

function answerWeights({ answers, samples }: Ballot): Float64Array {
  const weights = new Float64Array(answers.length);
  for (const { answer, weight } of samples) weights[answer] = (weights[answer] ?? 0) + weight;
  return weights;
}
