import { type Circuit, type Fault, type State, stateKey } from '../circuit/circuit.js';
import {
  compare,
  type Expected,
  isAsNominal,
  isFarOff,
  type Job,
  probeOf,
  type Reading,
  type Symptom,
  type TestStand,
  type Unsettled,
  type Verdict,
} from '../meter/meter.js';
import type { View, Works } from '../solve/solve.js';

/** A reading held against what the circuit with these faults gives. */
export interface ReadingEvidence {
  readonly reading: Reading;
  readonly expected: Expected | Unsettled;
  readonly verdict: Verdict;
}

export interface SymptomEvidence {
  readonly symptom: Symptom;
  readonly expected: Works;
  readonly verdict: Verdict;
}

export function holdReading(stand: TestStand, reading: Reading, faults: readonly Fault[]): ReadingEvidence {
  const expected = stand.expect(reading.state, probeOf(reading), faults);
  return { reading, expected, verdict: compare(reading, expected) };
}

export function holdSymptom(stand: TestStand, symptom: Symptom, faults: readonly Fault[]): SymptomEvidence {
  const sight = stand.look(symptom.state, faults);
  const expected = sight.kind === 'steady' ? stand.worksIn(sight.view, symptom) : 'marginal';
  return { symptom, expected, verdict: symptomVerdict(symptom, expected) };
}

function symptomVerdict(symptom: Symptom, expected: Works): Verdict {
  if (expected === 'marginal') return 'inconclusive';
  return (expected === 'yes') === symptom.works ? 'agrees' : 'differs';
}

/** A job's observations of one state, told of one network: with power and as it runs, or dead for ohms. */
export interface Group {
  readonly state: State;
  readonly dead: boolean;
  readonly symptoms: readonly Symptom[];
  readonly readings: readonly Reading[];
}

/** The job by state, those with something amiss first: they rule most faults out. */
export function groupByState(job: Job, amiss: ReadonlySet<Reading | Symptom>): readonly Group[] {
  const groups = new Map<string, { state: State; dead: boolean; symptoms: Symptom[]; readings: Reading[] }>();
  const groupOf = (state: State, dead: boolean) => {
    const key = `${dead} ${stateKey(state)}`;
    const group = groups.get(key) ?? { state, dead, symptoms: [], readings: [] };
    groups.set(key, group);
    return group;
  };
  for (const symptom of job.symptoms) groupOf(symptom.state, false).symptoms.push(symptom);
  for (const reading of job.readings) groupOf(reading.state, isDead(reading)).readings.push(reading);
  const isAmiss = (group: Group) => [...group.symptoms, ...group.readings].some((each) => amiss.has(each));
  return [...groups.values()].sort((a, b) => Number(isAmiss(b)) - Number(isAmiss(a)));
}

function isDead(reading: Reading): boolean {
  return reading.shown.kind !== 'blank' && reading.shown.unit === 'ohm';
}

/**
 * How well supposed faults explain a job: undefined when any reading or symptom contradicts them, else a share
 * from 0 to 1. A reading that only strays could explain (a floating place under a high-impedance meter), or taken
 * where contacts never settle, counts for less than one that the faults predict.
 */
export function explained(
  stand: TestStand,
  groups: readonly Group[],
  faults: readonly Fault[],
): number | undefined {
  const standing = afterShort(stand, groups, faults);
  return explainedBy(stand, groups, standing) ?? afterOverload(stand, groups, standing);
}

function explainedBy(
  stand: TestStand,
  groups: readonly Group[],
  faults: readonly Fault[],
): number | undefined {
  let share = 1;
  for (const group of groups) {
    if (isRuledOut(stand, group, faults)) return undefined;
    const views = viewsOf(stand, group, faults);
    if (views === undefined) return undefined;
    const part = views.length === 0 ? unsettledLikelihood : explainedGroup(stand, group, views);
    if (part === undefined) return undefined;
    share *= part;
  }
  return share;
}

/**
 * What a meter could be looking at in a group's state: one network; two where an overload opens and closes again; none
 * where contacts never settle. Undefined where something blows for good: nobody reads a meter until it does.
 */
function viewsOf(
  stand: TestStand,
  { state, dead }: Group,
  faults: readonly Fault[],
): readonly View[] | undefined {
  const sight = stand.look(state, faults, dead);
  switch (sight.kind) {
    case 'steady':
      return [sight.view];
    case 'chattering':
      return [];
    case 'short':
      return undefined;
    case 'overload': {
      if (stand.circuit.protectors.get(sight.protector)?.closesAgain !== true) return undefined;
      const opened = stand.look(state, [...faults, openedBy(stand, sight)], dead);
      return opened.kind === 'steady' ? [sight.view, opened.view] : [sight.view];
    }
  }
}

function bridges(fault: Fault): boolean {
  return fault.changes.some(({ kind }) => kind === 'conducts' || kind === 'held');
}

/** Volts and share by which a reading must be off what is certain: more than good conductors could ever drop. */
const farVolts = 5;
const farShare = 0.4;

/**
 * A first look without solving: most faults leave some reading of the state plainly impossible. What they short has been
 * seen to before.
 */
function isRuledOut(stand: TestStand, { state, dead, readings }: Group, faults: readonly Fault[]): boolean {
  const tied = dead ? undefined : stand.tiedUnder(state, faults, true);
  if (tied === undefined) return false;
  return readings.some(({ where, shown }) => {
    if (where.kind !== 'between' || shown.kind !== 'value' || shown.unit !== 'V') return false;
    // Told to be ac or dc, it may be the one that is not there.
    if (shown.current !== undefined) return false;
    const volts = tied(where.red, where.black);
    if (volts === undefined) return false;
    const off = Math.abs(Math.abs(shown.value) - volts);
    return off > farVolts + farShare * Math.max(volts, Math.abs(shown.value));
  });
}

/** Each observation must be what one of the views gives. */
function explainedGroup(stand: TestStand, group: Group, views: readonly View[]): number | undefined {
  let share = 1;
  for (const symptom of group.symptoms) {
    if (views.every((view) => symptomVerdict(symptom, stand.worksIn(view, symptom)) === 'differs'))
      return undefined;
  }
  for (const reading of group.readings) {
    const best = Math.max(...views.map((view) => readingLikelihood(stand, reading, view)));
    if (best === 0) return undefined;
    share *= best;
  }
  return share;
}

/** 1 for a reading that a view gives, 0 for one it does not, and less than 1 where only a stray could be shown. */
function readingLikelihood(stand: TestStand, reading: Reading, view: View): number {
  const { where, shown, meter } = reading;
  if (where.kind === 'between' && shown.kind === 'value' && shown.unit === 'V') {
    const { red, black } = where;
    const first = {
      red,
      black,
      meter,
      shown: shown.value,
      current: shown.current,
      spread: stand.supplies.spread,
    };
    if (isFarOff(view, first)) return 0;
    if (isAsNominal(view, first)) return 1;
  }
  const expected = stand.expectIn(view, probeOf(reading));
  const verdict = compare(reading, expected);
  if (verdict === 'differs') return 0;
  return verdict === 'inconclusive' && expected.kind === 'floating' ? strayLikelihood : 1;
}

/** Most floating places read near zero or wander; a reading there is weak support (judgement, no source). */
const strayLikelihood = 0.5;

/** Contacts that chatter are heard; that nobody wrote so speaks against it (judgement, no source). */
const unsettledLikelihood = 0.1;

/**
 * The faults with what they blow: a short circuit in any state of the job opens a protector on its path (or, with
 * none there, the building's), and it stays open for every reading.
 */
function afterShort(stand: TestStand, groups: readonly Group[], faults: readonly Fault[]): readonly Fault[] {
  if (!faults.some(bridges)) return faults;
  for (const { state, dead } of groups) {
    const short = dead ? undefined : stand.shortUnder(state, faults);
    if (short !== undefined) return [...faults, openedBy(stand, short)];
  }
  return faults;
}

/**
 * The same for what overloads a protector, told the other way round, for it is rare: where the job would be explained
 * with a protector open, does any of its states open that one? One that closes again is seen to state by state.
 */
function afterOverload(
  stand: TestStand,
  groups: readonly Group[],
  faults: readonly Fault[],
): number | undefined {
  const { limits } = stand.plan('running');
  if (limits.length === 0 || !mayOverload(stand.circuit, faults)) return undefined;
  for (const { name, branch } of limits) {
    if (stand.circuit.protectors.get(name)?.closesAgain === true) continue;
    if (faults.some((fault) => fault.part === name && fault.mode === 'open')) continue;
    const opens = { protector: name, opens: branch };
    const share = explainedBy(stand, groups, [...faults, openedBy(stand, opens)]);
    if (share === undefined) continue;
    const overloads = groups.some(({ state, dead }) => {
      const sight = dead ? undefined : stand.look(state, faults);
      return sight?.kind === 'overload' && sight.protector === name;
    });
    if (overloads) return share;
  }
  return undefined;
}

/** Only what adds a way for current can overload anything, or a motor that is not started. */
function mayOverload({ actuators }: Circuit, faults: readonly Fault[]): boolean {
  if (actuators.some((actuator) => actuator.kind === 'load')) return true;
  return faults.some((fault) =>
    fault.changes.some(({ kind }) => kind === 'held' || kind === 'moved' || kind === 'conducts'),
  );
}

/** The protector open; with none on the path, the building's, which takes every live leg of the supply away. */
function openedBy(
  { circuit }: TestStand,
  opens: { protector?: string; opens?: number; supply?: string },
): Fault {
  const protector = circuit.protectors.get(opens.protector ?? '');
  if (protector !== undefined) {
    return { part: protector.name, mode: 'open', changes: [{ kind: 'absent', branch: protector.branch }] };
  }
  if (opens.opens !== undefined) {
    return { part: opens.protector ?? '', mode: 'open', changes: [{ kind: 'absent', branch: opens.opens }] };
  }
  const supply = circuit.supplies.get(opens.supply ?? '');
  const live = supply?.legs.filter((leg) => leg.live) ?? [];
  const changes = live.map((leg) => ({ kind: 'absent' as const, branch: leg.branch }));
  return { part: supply?.name ?? '', mode: 'missing', changes };
}
