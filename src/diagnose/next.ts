import { type Circuit, restState, type State } from '../circuit/circuit.js';
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
  takenIn,
} from './candidates.js';
import type { CheckAnswer } from './check.js';
import { costOf, type Standing, standingOf, totalMinutes } from './costs.js';
import { type Hypothesis, hypothesesOf } from './hypotheses.js';
import { entropy } from './information.js';
import { type Ballot, ballotOf, gainOf } from './outcomes.js';
import { type Proposal, weighReading } from './proposal.js';
import { type SafePlaces, safePlaces } from './safe-places.js';
import { roughRange, type Scene, sceneOf } from './scenes.js';

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

/** Less than this is no help. */
const leastBits = 0.02;

/** A state in which this share of belief would be a dead short is not energised. */
const notableWeight = 0.02;

/** Worked out in full, of those that look best. */
const finalists = 8;

interface Search {
  readonly circuit: Circuit;
  readonly job: Job;
  readonly stand: TestStand;
  readonly standing: Standing;
  readonly places: SafePlaces;
  readonly hypotheses: readonly Hypothesis[];
  readonly ballot: Ballot;
  readonly isTaken: (state: State, probe: Probe) => boolean;
}

interface Rated {
  readonly scene: Scene;
  readonly probe: Probe;
  readonly minutes: number;
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
  const search: Search = {
    circuit,
    job,
    stand,
    standing: standingOf(circuit, job, restState(circuit)),
    places: safePlaces(circuit, skip),
    hypotheses,
    ballot,
    isTaken: takenIn(job),
  };
  const { rated, kept } = rateAll(search);
  const chosen = finest(rated).map((each) => proposalOf(search, each));
  const proposals = firstAcross(search, chosen.filter(({ bits }) => bits >= leastBits).sort(byScore)).slice(
    0,
    most,
  );
  const missing = entropy(answerWeights(ballot));
  const answer = { ...none, proposals, missing, suspects: hypotheses.length, left, kept };
  return proposals.length > 0 ? answer : { ...answer, reason: 'alike' };
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
  const kept: State[] = [];
  const rated: Rated[] = [];
  for (const state of known.filter(({ power }) => power)) {
    const scene = sceneOf(stand, hypotheses, state, false);
    if (scene.blows >= notableWeight) kept.push(state);
    else rateScene(search, scene, liveProbes(search, scene), rated);
  }
  for (const state of deadStates(known)) {
    const scene = sceneOf(stand, hypotheses, state, true);
    rateScene(search, scene, deadProbes(search), rated);
  }
  return { rated, kept };
}

function rateScene(search: Search, scene: Scene, probes: readonly Probe[], into: Rated[]): void {
  const { circuit, standing, stand, ballot, isTaken } = search;
  for (const probe of probes) {
    if (isTaken(scene.state, probe)) continue;
    const bits = gainOf(
      ballot,
      scene.views.map((view) => view && roughRange(stand, view, probe)),
    );
    if (bits < leastBits) continue;
    const minutes = totalMinutes(costOf(circuit, standing, scene.state, probe));
    into.push({ scene, probe, minutes, score: bits / minutes });
  }
}

function liveProbes({ circuit, hypotheses, places, standing, job }: Search, scene: Scene): Probe[] {
  const direct = directConductors(circuit);
  const probes: Probe[] = [];
  const load = acrossLoad(circuit, job);
  const across = [...(load === undefined ? [] : [load]), ...acrossSuspects(circuit, hypotheses)];
  for (const [red, black] of liveLeads(circuit, standing, places, across)) {
    if (!mayDrop(scene.sound, direct(red, black))) continue;
    const delicate = places.isDelicate(red) || places.isDelicate(black);
    const inputs: Input[] = delicate ? ['high-impedance'] : ['high-impedance', 'low-impedance'];
    for (const input of inputs) probes.push(voltsProbe(scene, { kind: 'between', red, black }, input, job));
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

function acrossLoad(circuit: Circuit, { symptoms }: Job): readonly [number, number] | undefined {
  const load = symptoms.find(({ works }) => !works)?.load;
  if (load === undefined) return undefined;
  const branch = circuit.branches[load.does.branch ?? -1];
  if (branch !== undefined) return [branch.from, branch.to];
  return circuit.modules.get(load.part)?.supply.between;
}

function deadProbes({ circuit, hypotheses, places, job }: Search): Probe[] {
  return acrossSuspects(circuit, hypotheses)
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

function proposalOf(search: Search, { scene, probe, minutes }: Rated): Proposal {
  const { circuit, stand, standing, ballot } = search;
  const shown = scene.views.map((view): Expected | undefined => view && stand.expectIn(view, probe));
  return {
    state: scene.state,
    probe,
    live: scene.state.power,
    minutes,
    cost: costOf(circuit, standing, scene.state, probe),
    sound: scene.sound && stand.expectIn(scene.sound, probe),
    ...weighReading(ballot, shown, probe.unit),
  };
}

/** Before the first reading, and where it is as easy to get at: across the load that does not do its job. */
function firstAcross({ circuit, job }: Search, proposals: readonly Proposal[]): readonly Proposal[] {
  const [best] = proposals;
  const load = acrossLoad(circuit, job);
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
