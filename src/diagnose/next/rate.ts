import { type Minutes, type State, stateKey } from '../../circuit/circuit.js';
import type { Probe } from '../../meter/meter.js';
import { deadStates, knownStates, loosened, loosenedLeaks, type Pair, readingKey } from './candidates.js';
import { type CostPart, probeCost, stateCost, totalMinutes } from './costs.js';
import { gainOf } from './outcomes.js';
import { deadProbes, liveProbes } from './probes.js';
import { roughRange, type Scene } from './scenes.js';
import type { Search } from './search.js';

/** A reading with what it takes and, roughly, what it is worth. */
export interface Rated {
  readonly scene: Scene;
  readonly probe: Probe;
  readonly cost: readonly CostPart[];
  readonly minutes: Minutes;
  readonly score: number;
}

/** Of the bits that are missing: less is rounding, and anything that tells suspects apart is more. */
const leastShare = 1e-3;

/** Of the bits that are missing: a reading that promises less is taken where no other is left (judgement, no source). */
const goodShare = 0.08;

/** A state in which this share of belief would be a dead short is not energised (judgement, no source). */
const notableWeight = 0.02;

/** Worked out in full, of those that look best. */
const finalists = 6;

/** Any reading has to be noted and thought over as well: a few that tell much before many that are quick (judgement, no source). */
const noteMinutes: Minutes = 2;

/** What a reading is worth: bits a minute. */
export function scoreOf(bits: number, minutes: Minutes): number {
  return bits / (minutes + noteMinutes);
}

/** The fewest bits that a reading must promise. */
export function leastBits({ missing }: Search): number {
  return leastShare * missing;
}

/** Bits from which a reading is a help. */
export function goodBits({ missing }: Search): number {
  return goodShare * missing;
}

/**
 * The readings that look best, in states that nothing suspected would short, but for those `dismissed` (`keyOf`); `kept`
 * are the states that something would.
 */
export function ratedReadings(
  search: Search,
  dismissed: ReadonlySet<string>,
): {
  readonly best: readonly Rated[];
  readonly kept: readonly State[];
} {
  const { circuit, standing, places, job } = search;
  const known = knownStates(circuit, job, standing, places);
  const rating = { rated: [], best: 0, dismissed };
  const kept: State[] = [];
  for (const { state, dead, only, toState } of scenery(search, known)) {
    if (!isWorth(search, rating, totalMinutes(toState))) continue;
    const scene = search.sceneIn(state, dead);
    if (!dead && scene.blows >= notableWeight) kept.push(state);
    else if (dead) rateScene(search, rating, scene, toState, deadProbes(search, only));
    else rateScene(search, rating, scene, toState, liveProbes(search, scene));
  }
  return { best: finest(rating.rated, search), kept };
}

interface Setting {
  readonly state: State;
  readonly dead: boolean;
  /** The one pair of leads it is for. */
  readonly only?: Pair;
  readonly toState: readonly CostPart[];
}

/** States live and dead, those that are quickest to get to first: they may make the others not worth solving. */
function scenery({ circuit, standing, hypotheses, places }: Search, known: readonly State[]): Setting[] {
  const dead = deadStates(known);
  const here = dead.slice(0, 1);
  // What was lifted before may be back on for it.
  const whole = dead.filter(({ disconnected }) => disconnected.size === 0).slice(0, 1);
  const loose = [
    ...here.flatMap((state) => loosened(circuit, state, hypotheses, places)),
    ...[...new Set([...here, ...whole])].flatMap((state) =>
      loosenedLeaks(circuit, state, hypotheses, places),
    ),
  ];
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
  readonly dismissed: ReadonlySet<string>;
}

/** A reading by what tells it from others. */
export function keyOf({ scene, probe }: Rated): string {
  return readingKey(scene.state, probe);
}

/** More bits than this a single reading hardly ever gives (judgement, no source). */
const mostBits = 1.6;

/** What could not come to this share of the best so far is not looked at. */
const worthShare = 0.5;

function isWorth({ missing }: Search, { best }: Rating, minutes: Minutes): boolean {
  return scoreOf(Math.min(missing, mostBits), minutes) >= best * worthShare;
}

function rateScene(
  search: Search,
  rating: Rating,
  scene: Scene,
  toState: readonly CostPart[],
  probes: readonly Probe[],
): void {
  const { circuit, standing, stand, isTaken } = search;
  for (const probe of probes) {
    const cost = [...toState, ...probeCost(circuit, standing, scene.state, probe)];
    const minutes = totalMinutes(cost);
    // The first reading of all is across the load of interest, where that is as easy: it is worked out in any case.
    const first = search.job.readings.length === 0 && isAcross(search, scene.state, probe);
    if (isTaken(scene.state, probe) || !(first || isWorth(search, rating, minutes))) continue;
    const ranges = scene.views.map((view) => view && roughRange(stand, view, probe));
    const bits = gainOf(scene.ballot, ranges);
    if (bits < leastBits(search) && !first) continue;
    const score = scoreOf(bits, minutes);
    const each = { scene, probe, cost, minutes, score };
    if (rating.dismissed.has(keyOf(each))) continue;
    rating.rated.push(each);
    rating.best = Math.max(rating.best, score);
  }
}

/** The best few, no two of them at one place, and across the load of interest in any case. */
function finest(rated: readonly Rated[], search: Search): Rated[] {
  const best = [...rated].sort((a, b) => b.score - a.score);
  const across = best.find(({ probe, scene }) => isAcross(search, scene.state, probe));
  const byPlace = new Map<string, Rated>();
  for (const each of best) {
    const { where } = each.probe;
    const place = where.kind === 'around' ? `around ${where.branch}` : `${where.red}`;
    if (!byPlace.has(place)) byPlace.set(place, each);
  }
  const few = [...byPlace.values()].slice(0, finalists);
  return across === undefined || few.includes(across) ? few : [...few, across];
}

/** Whether it is volts across the load of interest, in the state in which that should do its job. */
export function isAcross({ load, interest }: Search, state: State, { where, unit }: Probe): boolean {
  if (load === undefined || interest === undefined || where.kind === 'around' || unit !== 'V') return false;
  if (!load.includes(where.red) || !load.includes(where.black)) return false;
  return stateKey(state) === stateKey(interest.state);
}
