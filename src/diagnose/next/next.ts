import type { Circuit, State } from '../../circuit/circuit.js';
import type { Job } from '../../meter/meter.js';
import type { CheckAnswer } from '../check.js';
import type { Hypothesis } from './hypotheses.js';
import { type Proposal, weighReading } from './proposal.js';
import { goodBits, isAcross, keyOf, leastBits, type Rated, ratedReadings, scoreOf } from './rate.js';
import { shownIn } from './scenes.js';
import { type Search, searchFor } from './search.js';
import { type Trial, tryOrder } from './try-order.js';

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
  /** Where no reading tells much: what is left, in the order worth trying. */
  readonly order: readonly Trial[];
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

/** A part that holds this share of what is modelled may be taken for it where no reading tells more. */
const settledShare = 0.95;

/** The readings that are expected to tell the suspects apart for the least work, best first. */
export function proposeNext(
  circuit: Circuit,
  job: Job,
  check: CheckAnswer,
  { skip = new Set(), most = 4 }: NextOptions = {},
): NextAnswer {
  const none = { circuit, job, check, proposals: [], order: [], missing: 0, suspects: 0, left: 0, kept: [] };
  if (check.verdict !== 'ambiguous') return { ...none, reason: check.verdict };
  const search = searchFor(circuit, job, check, skip);
  const { hypotheses, missing, left } = search;
  const { worked, kept } = workedOut(search);
  const sorted = worked.filter(({ bits }) => bits >= leastBits(search)).sort(byScore);
  const good = sorted.filter(({ bits }) => bits >= goodBits(search));
  const proposals = firstAcross(search, good.length > 0 ? good : sorted, worked).slice(0, most);
  const order = good.length > 0 ? [] : tryOrder(circuit, hypotheses);
  const answer = { ...none, proposals, order, missing, suspects: hypotheses.length, left, kept };
  return proposals.length > 0 ? answer : { ...answer, reason: isSettled(hypotheses) ? 'settled' : 'alike' };
}

/** How often the best few are worked out, where those before them told little. */
const rounds = 5;

/** What looked good at first and turns out to tell little makes place for others. */
function workedOut(search: Search): {
  readonly worked: readonly Proposal[];
  readonly kept: readonly State[];
} {
  const dismissed = new Set<string>();
  const worked: Proposal[] = [];
  for (let round = 1; ; round += 1) {
    const { best, kept } = ratedReadings(search, dismissed);
    worked.push(...best.map((each) => proposalOf(search, each)));
    const isGood = worked.some(({ bits }) => bits >= goodBits(search));
    if (isGood || best.length === 0 || round === rounds) return { worked, kept };
    for (const each of best) dismissed.add(keyOf(each));
  }
}

/** Whether one part is in nearly all that is suspected, alone or with another. */
function isSettled(hypotheses: readonly Hypothesis[]): boolean {
  const all = hypotheses.reduce((sum, { weight }) => sum + weight, 0);
  const withPart = (part: string) =>
    hypotheses.reduce((sum, { parts, weight }) => sum + (parts.includes(part) ? weight : 0), 0);
  return (hypotheses[0]?.parts ?? []).some((part) => withPart(part) >= settledShare * all);
}

function byScore(a: Proposal, b: Proposal): number {
  const difference = scoreOf(b.bits, b.minutes) - scoreOf(a.bits, a.minutes);
  // Equal but for rounding: the dead one first.
  return Math.abs(difference) > 1e-9 ? difference : Number(a.live) - Number(b.live);
}

function proposalOf({ stand }: Search, { scene, probe, cost, minutes }: Rated): Proposal {
  return {
    state: scene.state,
    probe,
    live: scene.state.power,
    minutes,
    cost,
    sound: scene.sound && stand.expectIn(scene.sound, probe),
    ...weighReading(scene.ballot, shownIn(stand, scene, probe), probe),
  };
}

/** Minutes that two leads at two places and live work take more than a clamp does. */
const asEasy = 3;

/** Share of the best one's bits that it has to tell (judgement, no source). */
const nearlyAll = 0.6;

/** Before the first reading, and where it is as easy and tells nearly as much: across the load that does not do its job, in that state. */
function firstAcross(
  search: Search,
  proposals: readonly Proposal[],
  worked: readonly Proposal[],
): readonly Proposal[] {
  const [best] = proposals;
  if (search.job.readings.length > 0 || best === undefined) return proposals;
  const across = worked.find(
    ({ probe, state, minutes, bits }) =>
      bits > 0 &&
      bits >= nearlyAll * best.bits &&
      isAcross(search, state, probe) &&
      minutes <= best.minutes + asEasy,
  );
  return across === undefined ? proposals : [across, ...proposals.filter((each) => each !== across)];
}
