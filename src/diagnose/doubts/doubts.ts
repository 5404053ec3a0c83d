import { type Fault, listFaults, type State, stateKey } from '../../circuit/circuit.js';
import {
  compare,
  instrument,
  type Job,
  probeOf,
  type Reading,
  type Symptom,
  type TestStand,
} from '../../meter/meter.js';
import { explainedBy, type Group, groupByState } from '../suspects/evidence.js';
import { explainer } from '../suspects/explained.js';
import { priorOf } from '../suspects/priors.js';
import { nearStates } from './near-states.js';

/** What a doubtful reading would be right for. */
export type Likeness =
  | { readonly kind: 'state'; readonly state: State }
  | { readonly kind: 'place'; readonly lead: 'red' | 'black'; readonly node: number }
  | { readonly kind: 'input' };

/** One observation that, set aside, leaves an answer in which all others agree. */
export interface Doubt {
  readonly observation:
    | { readonly kind: 'reading'; readonly reading: Reading }
    | { readonly kind: 'symptom'; readonly symptom: Symptom };
  /** The single faults that explain the rest, best first; none where the sound circuit does. */
  readonly leaves: readonly Fault[];
  readonly likenesses: readonly Likeness[];
}

/** Each observation is set aside by itself up to this many; more say that the whole file is in doubt. */
const mostObservations = 40;

/** Doubts shown: what takes the most setting aside to be right is hardly worth reading. */
const mostDoubts = 3;

/** A doubt that leaves less likely faults than this share of the best one's is none. */
const leastShare = 0.1;

/** Likenesses of one reading beyond which it is like anything. */
const mostLikenesses = 3;

/**
 * Where nothing explains all observations: which single one is against all the others, those first that leave the sound
 * circuit, then those that leave the likeliest faults. Alone of one kind, an observation is no doubt but the whole evidence.
 */
export function doubtsOf(stand: TestStand, job: Job): readonly Doubt[] {
  const all = [
    ...job.readings.map((reading) => ({ kind: 'reading', reading }) as const),
    ...job.symptoms.map((symptom) => ({ kind: 'symptom', symptom }) as const),
  ];
  if (all.length < 3 || all.length > mostObservations) return [];
  const doubts = all.flatMap((observation) => {
    const rest: Job = {
      ...job,
      readings: job.readings.filter((each) => observation.kind !== 'reading' || each !== observation.reading),
      symptoms: job.symptoms.filter((each) => observation.kind !== 'symptom' || each !== observation.symptom),
    };
    const left = leftBy(stand, rest);
    if (left === undefined) return [];
    const { leaves, score } = left;
    const likenesses =
      observation.kind === 'reading' ? likeTo(stand, job, observation.reading, leaves.slice(0, 1)) : [];
    return [{ doubt: { observation, leaves, likenesses }, score }];
  });
  const best = Math.max(0, ...doubts.map(({ score }) => score));
  return doubts
    .filter(({ score }) => score >= leastShare * best)
    .sort((a, b) => b.score - a.score)
    .map(({ doubt }) => doubt)
    .slice(0, mostDoubts);
}

/** No fault where the sound circuit gives the rest; else the single ones that do; undefined where none does. */
function leftBy(
  stand: TestStand,
  rest: Job,
): { readonly leaves: readonly Fault[]; readonly score: number } | undefined {
  const groups = groupByState(rest, new Set());
  const explain = explainer(stand, amissFirst(stand, groups), rest.trips);
  if (explain([]) !== undefined) return { leaves: [], score: 1 };
  const found = listFaults(stand.circuit).flatMap((fault) => {
    const share = explain([fault])?.share;
    return share === undefined ? [] : { fault, score: share * priorOf(stand.circuit, fault) };
  });
  if (found.length === 0) return undefined;
  found.sort((a, b) => b.score - a.score);
  return { leaves: found.map(({ fault }) => fault), score: found.reduce((sum, { score }) => sum + score, 0) };
}

function amissFirst(stand: TestStand, groups: readonly Group[]): readonly Group[] {
  const amiss = new Set(groups.filter((group) => explainedBy(stand, [group], []) === undefined));
  return [...groups].sort((a, b) => Number(amiss.has(b)) - Number(amiss.has(a)));
}

/** Another state, another terminal, or the other input, with which the reading is what the rest says it should be. */
function likeTo(stand: TestStand, job: Job, reading: Reading, faults: readonly Fault[]): readonly Likeness[] {
  const fits = (each: Reading) => {
    const expected = stand.expect(each.state, probeOf(each), faults);
    return expected.kind === 'driven' && compare(each, expected) === 'agrees';
  };
  const states = nearStates(stand.circuit, job, reading.state)
    .filter((state) => state.power === reading.state.power && fits({ ...reading, state }))
    .map((state): Likeness => ({ kind: 'state', state }));
  const places = placesLike(stand, reading).filter(({ reading: each }) => fits(each));
  const few = <T>(found: readonly T[]) => (found.length > mostLikenesses ? [] : found);
  const other = reading.meter.input === 'low-impedance' ? 'high-impedance' : 'low-impedance';
  const input = fits({ ...reading, meter: instrument(other, reading.meter.accuracy) });
  return [
    ...few(states),
    ...few(places.map(({ likeness }) => likeness)),
    ...(input ? [{ kind: 'input' } as const] : []),
  ];
}

function placesLike(stand: TestStand, reading: Reading): { reading: Reading; likeness: Likeness }[] {
  const { where } = reading;
  if (where.kind !== 'between') return [];
  const owner = (node: number) => stand.circuit.nodes[node]?.name.split('.')[0];
  return (['red', 'black'] as const).flatMap((lead) =>
    stand.circuit.nodes
      .filter(
        ({ index, reachable, hazard }) =>
          reachable && hazard === undefined && index !== where.red && index !== where.black,
      )
      // A slip of the hand lands on the same part.
      .filter(({ index }) => owner(index) === owner(where[lead]))
      .map(({ index }) => ({
        reading: { ...reading, where: { ...where, [lead]: index } },
        likeness: { kind: 'place', lead, node: index } as const,
      })),
  );
}

/** A state whose readings are all what the sound circuit gives in another one: somebody moved a switch. */
export interface MovedSwitch {
  readonly state: State;
  readonly likelier: readonly State[];
}

/** States of a job of which two readings or more are amiss, and nothing is in another state near to it. */
export function movedSwitches(stand: TestStand, job: Job): readonly MovedSwitch[] {
  return groupByState(job, new Set()).flatMap((group) => {
    if (group.dead || group.readings.length < 2 || explainedBy(stand, [group], []) !== undefined) return [];
    const likelier = nearStates(stand.circuit, job, group.state).filter((state) => {
      if (state.power !== group.state.power || stateKey(state) === stateKey(group.state)) return false;
      const there = { ...group, state, readings: group.readings.map((each) => ({ ...each, state })) };
      if (explainedBy(stand, [{ ...there, symptoms: [] }], []) === undefined) return false;
      return there.readings.every((each) => {
        const expected = stand.expect(state, probeOf(each), []);
        return expected.kind === 'driven' && compare(each, expected) === 'agrees';
      });
    });
    return likelier.length === 0 || likelier.length > mostLikenesses
      ? []
      : [{ state: group.state, likelier }];
  });
}
