import { type Circuit, namedStates, readState, type State } from '../../circuit/circuit.js';
import { type Expected, usualInstrument } from '../../meter/meter.js';
import { sweepStates } from '../../solve/solve.js';
import { type ExpectAnswer, type ExpectedLoad, pointsIn, usualBlack } from '../expect.js';
import { type Fact, partFacts } from './part-facts.js';

/** A part that only one of the circuits has, or of which something else is so. */
export interface PartChange {
  readonly part: string;
  readonly kind: 'new' | 'gone' | 'changed';
  /** Facts that differ; of one side where the other has none. */
  readonly facts: readonly { readonly before?: Fact; readonly after?: Fact }[];
}

export interface PointChange {
  readonly state: State;
  readonly node: string;
  readonly before: Expected;
  readonly after: Expected;
}

export interface LoadChange {
  readonly state: State;
  readonly load: string;
  readonly before: ExpectedLoad;
  readonly after: ExpectedLoad;
}

/** A state that holds still in one of the circuits, or comes to nothing in another way. */
export interface OutcomeChange {
  readonly state: State;
  readonly before: ExpectAnswer['outcome'];
  readonly after: ExpectAnswer['outcome'];
}

/** Two circuits in electrical terms, the second against the first; states are the second's. */
export interface DiffAnswer {
  readonly before: Circuit;
  readonly after: Circuit;
  /** Where the black lead is in both; undefined where they share no such place, and nothing is predicted. */
  readonly against: string | undefined;
  readonly parts: readonly PartChange[];
  /** Test points, and loads, that only one of them has. */
  readonly newPoints: readonly string[];
  readonly gonePoints: readonly string[];
  readonly newLoads: readonly string[];
  readonly goneLoads: readonly string[];
  /** States both can be put in; and those only one can be. */
  readonly compared: number;
  readonly newStates: readonly State[];
  readonly goneStates: readonly State[];
  /** False when there are more combinations than were looked at. */
  readonly complete: boolean;
  /** Test points of both. */
  readonly points: number;
  readonly outcomes: readonly OutcomeChange[];
  readonly readings: readonly PointChange[];
  readonly loads: readonly LoadChange[];
}

/**
 * What differs electrically between two circuits: facts of their parts, and what a high-impedance meter reads at each
 * test point, and loads do, in every state that both can be put in; less than the meter's own error is no change.
 * `done` is told how far it is.
 */
export function diffCircuits(
  before: Circuit,
  after: Circuit,
  done: (states: number, of: number) => void,
): DiffAnswer {
  const { states, newStates, goneStates, complete } = sharedStates(before, after);
  const against = sharedBlack(before, after);
  const outcomes: OutcomeChange[] = [];
  const readings: PointChange[] = [];
  const loads: LoadChange[] = [];
  const [old, now] = [before, after].map((circuit) =>
    pointsIn(circuit, circuit.nodeByName.get(against ?? '')),
  );
  for (const [index, { was, state }] of states.entries()) {
    done(index, states.length);
    const from = old?.(was);
    const to = now?.(state);
    if (from === undefined || to === undefined) continue;
    if (from.kind !== 'steady' || to.kind !== 'steady') {
      if (from.kind !== to.kind) outcomes.push({ state, before: from, after: to });
      continue;
    }
    const points = new Map(from.points.map(({ node, expected }) => [node.name, expected]));
    for (const { node, expected } of to.points) {
      const known = points.get(node.name);
      if (known !== undefined && !readsAlike(known, expected))
        readings.push({ state, node: node.name, before: known, after: expected });
    }
    const known = new Map(from.loads.map((each) => [each.load.name, each]));
    for (const each of to.loads) {
      const earlier = known.get(each.load.name);
      if (earlier !== undefined && !worksAlike(earlier, each))
        loads.push({ state, load: each.load.name, before: earlier, after: each });
    }
  }
  const [oldPoints, points] = [testPoints(before), testPoints(after)];
  return {
    before,
    after,
    against,
    parts: partChanges(before, after),
    newPoints: without(points, oldPoints),
    gonePoints: without(oldPoints, points),
    newLoads: without([...after.loads.keys()], [...before.loads.keys()]),
    goneLoads: without([...before.loads.keys()], [...after.loads.keys()]),
    compared: states.length,
    newStates,
    goneStates,
    complete,
    points: points.length - without(points, oldPoints).length,
    outcomes,
    readings,
    loads,
  };
}

/** Whether anything electrical differs: facts, places, states or predictions. */
export function isSameCircuit(answer: DiffAnswer): boolean {
  const { parts, newPoints, gonePoints, newLoads, goneLoads, newStates, goneStates } = answer;
  const lists = [parts, newPoints, gonePoints, newLoads, goneLoads, newStates, goneStates];
  return [...lists, answer.outcomes, answer.readings, answer.loads].every((list) => list.length === 0);
}

function testPoints(circuit: Circuit): string[] {
  return circuit.nodes
    .filter(({ reachable, hazard }) => reachable && hazard === undefined)
    .map(({ name }) => name);
}

function without(list: readonly string[], taken: readonly string[]): string[] {
  const known = new Set(taken);
  return list.filter((each) => !known.has(each));
}

/** The usual place of the black lead in the later circuit, else in the earlier, that the other has as well. */
function sharedBlack(before: Circuit, after: Circuit): string | undefined {
  const nameIn = (circuit: Circuit) => circuit.nodes[usualBlack(circuit) ?? -1]?.name;
  return [nameIn(after), nameIn(before)].find(
    (name) => name !== undefined && before.nodeByName.has(name) && after.nodeByName.has(name),
  );
}

const { share, counts, resolution } = usualInstrument.accuracy;

/** What is counted is what the usual meter would tell apart; amps it shows to a hundredth. */
const leastVolts = counts * resolution;
const leastAmps = 0.01;

function isNear(a: number | undefined, b: number | undefined, least: number): boolean {
  if (a === undefined || b === undefined) return a === b;
  return Math.abs(a - b) <= least + share * Math.max(Math.abs(a), Math.abs(b));
}

function readsAlike(a: Expected, b: Expected): boolean {
  if (a.kind !== 'driven' || b.kind !== 'driven') return a.kind === b.kind;
  return isNear(a.nominal, b.nominal, leastVolts);
}

function worksAlike(a: ExpectedLoad, b: ExpectedLoad): boolean {
  return a.works === b.works && isNear(a.volts, b.volts, leastVolts) && isNear(a.amps, b.amps, leastAmps);
}

function partChanges(before: Circuit, after: Circuit): PartChange[] {
  const [old, now] = [partFacts(before), partFacts(after)];
  const changes: PartChange[] = [];
  for (const [part, facts] of now) {
    const earlier = old.get(part);
    if (earlier === undefined) {
      changes.push({ part, kind: 'new', facts: facts.map((fact) => ({ after: fact })) });
      continue;
    }
    const differing = factChanges(earlier, facts);
    if (differing.length > 0) changes.push({ part, kind: 'changed', facts: differing });
  }
  for (const [part, facts] of old)
    if (!now.has(part)) changes.push({ part, kind: 'gone', facts: facts.map((fact) => ({ before: fact })) });
  return changes;
}

function factChanges(before: readonly Fact[], after: readonly Fact[]): PartChange['facts'] {
  const keyOf = ({ of, kind }: Fact) => `${kind} ${of}`;
  const old = new Map(before.map((fact) => [keyOf(fact), fact]));
  const changed = after.flatMap((fact) => {
    const known = old.get(keyOf(fact));
    old.delete(keyOf(fact));
    if (known === undefined) return [{ after: fact }];
    return isSameValue(known.value, fact.value) ? [] : [{ before: known, after: fact }];
  });
  return [...changed, ...[...old.values()].map((fact) => ({ before: fact }))];
}

/** Of two ways to state the same quantity the last digits may differ. */
function isSameValue(a: string | number, b: string | number): boolean {
  if (typeof a === 'string' || typeof b === 'string') return a === b;
  return Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b));
}

interface SharedStates {
  readonly states: readonly { readonly was: State; readonly state: State }[];
  readonly newStates: readonly State[];
  readonly goneStates: readonly State[];
  readonly complete: boolean;
}

/** Every named state and every combination of positions of either circuit, once. */
function sharedStates(before: Circuit, after: Circuit): SharedStates {
  const [old, now] = [sweepStates(before), sweepStates(after)];
  const states = new Map<string, { readonly was: State; readonly state: State }>();
  const newStates = new Map<string, State>();
  const goneStates = new Map<string, State>();
  for (const state of [...namedStates(after), ...now.states]) {
    const key = JSON.stringify(state.changes);
    const was = inOther(before, state);
    if (was === undefined) newStates.set(key, newStates.get(key) ?? state);
    else if (!states.has(key)) states.set(key, { was, state });
  }
  for (const was of [...namedStates(before), ...old.states]) {
    const state = inOther(after, was);
    const key = JSON.stringify((state ?? was).changes);
    if (state === undefined) goneStates.set(key, goneStates.get(key) ?? was);
    else if (!states.has(key)) states.set(key, { was, state });
  }
  return {
    states: [...states.values()],
    newStates: [...newStates.values()],
    goneStates: [...goneStates.values()],
    complete: old.complete && now.complete,
  };
}

/** The same positions in the other circuit; undefined where it can't be put in them. */
function inOther(circuit: Circuit, { changes }: State): State | undefined {
  const { state, problems } = readState(circuit, changes, circuit.document, []);
  return problems.length > 0 ? undefined : state;
}
