import { type Circuit, type Minutes, restState, type State } from '../circuit/circuit.js';
import {
  type Expected,
  type Input,
  instrument,
  type Job,
  type Probe,
  TestStand,
  type Unit,
  type Where,
} from '../meter/meter.js';
import { branchFigures, isDcBetween, isPresent, type View } from '../solve/solve.js';
import {
  acrossSuspects,
  clampable,
  deadStates,
  directConductors,
  knownStates,
  liveLeads,
  loosened,
  takenIn,
} from './candidates.js';
import type { CheckAnswer } from './check.js';
import { type CostPart, probeCost, type Standing, standingOf, stateCost, totalMinutes } from './costs.js';
import { type Hypothesis, hypothesesOf } from './hypotheses.js';
import { entropy } from './information.js';
import { type Ballot, ballotOf, gainOf } from './outcomes.js';
import { type Proposal, weighReading } from './proposal.js';
import { type SafePlaces, safePlaces } from './safe-places.js';
import { roughRange, type Scene, sceneOf } from './scenes.js';
import { loadOfInterest, terminalsOf } from './triage.js';

/** Why there is no proposal. */
export type NoProposal =
  /** Everything agrees. */
  | 'agrees'
  /** One part is left. */
  | 'bounded'
  /** Nothing conclusive was seen yet: a complaint has to be written down first. */
  | 'undecided'
  /** No suspect to tell from another. */
  | 'unexplained'
  /** One part holds nearly all the belief, and nothing within reach tells more. */
  | 'settled'
  /** Nothing that can be reached in safety tells what is left apart. */
  | 'alike';

export interface NextAnswer {
  readonly circuit: Circuit;
  readonly job: Job;
  readonly check: CheckAnswer;
  /** Best first. */
  readonly proposals: readonly Proposal[];
  readonly reason?: NoProposal;
  /** Bits missing to know which part it is. */
  readonly missing: number;
  /** Suspects looked at, and those too unlikely to be. */
  readonly suspects: number;
  readonly left: number;
  /** States not asked for because something suspected would short or blow in them. */
  readonly kept: readonly State[];
}

export interface NextOptions {
  /** Nodes that can't be reached. */
  readonly skip?: ReadonlySet<number>;
  /** How many proposals at most. */
  readonly most?: number;
}

/** Of the bits that are missing: a reading that promises less is no help (judgement, no source). */
const leastShare = 0.08;

/** A part that holds this share of what is modelled may be taken for it where no reading tells more. */
const settledShare = 0.95;

/** A state in which this share of belief would be a dead short is not energised. */
const notableWeight = 0.02;

/** Worked out in full, of those that look best. */
const finalists = 6;

interface Search {
  readonly circuit: Circuit;
  readonly job: Job;
  readonly stand: TestStand;
  readonly standing: Standing;
  readonly places: SafePlaces;
  readonly hypotheses: readonly Hypothesis[];
  readonly ballot: Ballot;
  readonly isTaken: (state: State, probe: Probe) => boolean;
  /** Where the load of interest gets its voltage. */
  readonly load: readonly [number, number] | undefined;
  /** Bits missing to know which part it is, and the fewest that a reading must promise. */
  readonly missing: number;
  readonly leastBits: number;
}

interface Rated {
  readonly scene: Scene;
  readonly probe: Probe;
  readonly cost: readonly CostPart[];
  readonly minutes: Minutes;
  readonly score: number;
}

/** The readings that are expected to tell the suspects apart for the least work, best first. */
export function proposeNext(
  circuit: Circuit,
  job: Job,
  check: CheckAnswer,
  { skip = new Set(), most = 4 }: NextOptions = {},
): NextAnswer {
  const none = { circuit, job, check, proposals: [], missing: 0, suspects: 0, left: 0, kept: [] };
  if (check.verdict !== 'ambiguous') return { ...none, reason: check.verdict };
  const stand = new TestStand(circuit, check.supplies);
  const { all: hypotheses, left } = hypothesesOf(stand, job, check.suspects);
  const ballot = ballotOf(hypotheses);
  const weights = answerWeights(ballot);
  const missing = entropy(weights);
  const interest = loadOfInterest(circuit, check);
  const search: Search = {
    circuit,
    job,
    stand,
    standing: standingOf(circuit, job, restState(circuit)),
    places: safePlaces(circuit, skip),
    hypotheses,
    ballot,
    isTaken: takenIn(job),
    load: interest && terminalsOf(circuit, interest.load),
    missing,
    leastBits: leastShare * missing,
  };
  const { rated, kept } = rateAll(search);
  const worked = finest(rated).map((each) => proposalOf(search, each));
  const sorted = worked.filter(({ bits }) => bits >= search.leastBits).sort(byScore);
  const proposals = firstAcross(search, sorted).slice(0, most);
  const answer = { ...none, proposals, missing, suspects: hypotheses.length, left, kept };
  if (proposals.length > 0) return answer;
  return { ...answer, reason: isSettled(hypotheses) ? 'settled' : 'alike' };
}

/** Whether one part is in nearly all that is suspected, alone or with another. */
function isSettled(hypotheses: readonly Hypothesis[]): boolean {
  const all = hypotheses.reduce((sum, { weight }) => sum + weight, 0);
  const withPart = (part: string) =>
    hypotheses.reduce((sum, { parts, weight }) => sum + (parts.includes(part) ? weight : 0), 0);
  return (hypotheses[0]?.parts ?? []).some((part) => withPart(part) >= settledShare * all);
}

function answerWeights({ answers, samples }: Ballot): Float64Array {
  const weights = new Float64Array(answers.length);
  for (const { answer, weight } of samples) weights[answer] = (weights[answer] ?? 0) + weight;
  return weights;
}

function byScore(a: Proposal, b: Proposal): number {
  const difference = b.bits / b.minutes - a.bits / a.minutes;
  // Equal but for rounding: the dead one first.
  return Math.abs(difference) > 1e-9 ? difference : Number(a.live) - Number(b.live);
}

function rateAll(search: Search): { readonly rated: readonly Rated[]; readonly kept: readonly State[] } {
  const { circuit, stand, standing, places, hypotheses, job } = search;
  const known = knownStates(circuit, job, standing, places);
  const rating = { rated: [], best: 0 };
  const kept: State[] = [];
  for (const { state, dead, only, toState } of scenery(search, known)) {
    if (!isWorth(search, rating, totalMinutes(toState))) continue;
    const scene = sceneOf(stand, hypotheses, state, dead);
    if (!dead && scene.blows >= notableWeight) kept.push(state);
    else if (dead) rateScene(search, rating, scene, toState, deadProbes(search, only));
    else rateScene(search, rating, scene, toState, liveProbes(search, scene));
  }
  return { rated: rating.rated, kept };
}

interface Setting {
  readonly state: State;
  readonly dead: boolean;
  /** The one pair of leads it is for. */
  readonly only?: readonly [number, number];
  readonly toState: readonly CostPart[];
}

/** States live and dead, those that are quickest to get to first: they may make the others not worth solving. */
function scenery({ circuit, standing, hypotheses, places }: Search, known: readonly State[]): Setting[] {
  const dead = deadStates(known);
  const loose = dead.slice(0, 1).flatMap((state) => loosened(circuit, state, hypotheses, places));
  return [
    ...known.filter(({ power }) => power).map((state) => ({ state, dead: false })),
    ...dead.map((state) => ({ state, dead: true })),
    ...loose.map(({ state, across }) => ({ state, dead: true, only: across })),
  ]
    .map((each) => ({ ...each, toState: stateCost(circuit, standing.state, each.state) }))
    .sort((a, b) => totalMinutes(a.toState) - totalMinutes(b.toState));
}

interface Rating {
  readonly rated: Rated[];
  best: number;
}

/** More bits than this a single reading hardly ever gives (judgement, no source). */
const mostBits = 1.6;

/** What could not come to this share of the best so far is not looked at. */
const worthShare = 0.5;

function isWorth({ missing }: Search, { best }: Rating, minutes: Minutes): boolean {
  return Math.min(missing, mostBits) / minutes >= best * worthShare;
}

function rateScene(
  search: Search,
  rating: Rating,
  scene: Scene,
  toState: readonly CostPart[],
  probes: readonly Probe[],
): void {
  const { circuit, standing, stand, ballot, isTaken } = search;
  for (const probe of probes) {
    const cost = [...toState, ...probeCost(circuit, standing, scene.state, probe)];
    const minutes = totalMinutes(cost);
    if (!isWorth(search, rating, minutes) || isTaken(scene.state, probe)) continue;
    const ranges = scene.views.map((view) => view && roughRange(stand, view, probe));
    const bits = gainOf(ballot, ranges);
    if (bits < search.leastBits) continue;
    const score = bits / minutes;
    rating.rated.push({ scene, probe, cost, minutes, score });
    rating.best = Math.max(rating.best, score);
  }
}

function liveProbes(search: Search, scene: Scene): Probe[] {
  const { circuit, hypotheses, places, standing, job } = search;
  const direct = directConductors(circuit);
  const probes: Probe[] = [];
  const across = [
    ...(search.load === undefined ? [] : [search.load]),
    ...acrossSuspects(circuit, hypotheses),
  ];
  for (const [red, black] of liveLeads(circuit, standing, places, across)) {
    if (!mayDrop(scene.sound, direct(red, black))) continue;
    const where = { kind: 'between', red, black } as const;
    probes.push(voltsProbe(scene, where, 'high-impedance', job));
    const floats = scene.views.some((view) => view !== undefined && view.island(red) !== view.island(black));
    if (floats && !places.isDelicate(red) && !places.isDelicate(black))
      probes.push(voltsProbe(scene, where, 'low-impedance', job));
  }
  for (const branch of clampable(circuit, places))
    probes.push({ where: { kind: 'around', branch }, unit: 'A', meter: job.meter });
  return probes;
}

function voltsProbe({ sound }: Scene, where: Where & { kind: 'between' }, input: Input, job: Job): Probe {
  const meter = input === job.meter.input ? job.meter : instrument(input, job.meter.accuracy);
  const probe = { where, unit: 'V' as Unit, meter };
  const frequencies = sound?.point.plan.frequencies ?? [];
  if (sound === undefined || frequencies.length < 2 || !frequencies.includes(0)) return probe;
  return { ...probe, current: isDcBetween(sound, where.red, where.black) ? 'dc' : 'ac' };
}

/** Amps from which a drop across a closed contact or a wire means anything. */
const leastAmps = 1e-4;

/** Across what is closed, volts mean something only where current flows. */
function mayDrop(sound: View | undefined, direct: readonly number[]): boolean {
  if (sound === undefined) return direct.length === 0;
  return direct.every(
    (branch) => !isPresent(sound, branch) || branchFigures(sound, branch).amps >= leastAmps,
  );
}

function deadProbes(
  { circuit, hypotheses, places, job }: Search,
  only: readonly [number, number] | undefined,
): Probe[] {
  const pairs = only === undefined ? acrossSuspects(circuit, hypotheses) : [only];
  return pairs
    .filter(([red, black]) => places.isTestPoint(red) && places.isTestPoint(black))
    .map(([red, black]) => ({ where: { kind: 'between', red, black }, unit: 'ohm', meter: job.meter }));
}

/** The best few, no two of them at one place. */
function finest(rated: readonly Rated[]): Rated[] {
  const best = [...rated].sort((a, b) => b.score - a.score);
  const seen = new Set<string>();
  const kept: Rated[] = [];
  for (const each of best) {
    const { where } = each.probe;
    const place = where.kind === 'around' ? `around ${where.branch}` : `${where.red}`;
    if (seen.has(place)) continue;
    seen.add(place);
    kept.push(each);
    if (kept.length === finalists) break;
  }
  return kept;
}

function proposalOf(search: Search, { scene, probe, cost, minutes }: Rated): Proposal {
  const { stand, ballot } = search;
  return {
    state: scene.state,
    probe,
    live: scene.state.power,
    minutes,
    cost,
    sound: scene.sound && stand.expectIn(scene.sound, probe),
    ...weighReading(ballot, shownIn(stand, scene, probe), probe.unit),
  };
}

/** What each sample would have the meter show. Where two give the same to nine digits, one sum does for both. */
function shownIn(stand: TestStand, { views }: Scene, probe: Probe): (Expected | undefined)[] {
  const known = new Map<string, Expected>();
  return views.map((view) => {
    if (view === undefined) return undefined;
    const { low, high } = roughRange(stand, view, probe);
    const key = `${(low + high).toPrecision(9)} ${(high - low).toPrecision(9)}`;
    const expected = known.get(key) ?? stand.expectIn(view, probe);
    known.set(key, expected);
    return expected;
  });
}

/** Before the first reading, and where it is as easy to get at: across the load that does not do its job. */
function firstAcross({ job, load }: Search, proposals: readonly Proposal[]): readonly Proposal[] {
  const [best] = proposals;
  if (job.readings.length > 0 || best === undefined || load === undefined) return proposals;
  const access = ({ cost }: Proposal) => cost.find(({ what }) => what === 'access')?.minutes ?? 0;
  const across = proposals.find(
    (each) =>
      each.probe.where.kind === 'between' &&
      each.probe.unit === 'V' &&
      load.includes(each.probe.where.red) &&
      load.includes(each.probe.where.black) &&
      access(each) <= access(best),
  );
  return across === undefined ? proposals : [across, ...proposals.filter((each) => each !== across)];
}
