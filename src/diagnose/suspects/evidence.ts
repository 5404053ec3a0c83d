import { type Circuit, type Fault, type State, stateKey } from '../../circuit/circuit.js';
import {
  compare,
  displayError,
  type Expected,
  isAsNominal,
  isFarOff,
  type Job,
  mayOutputBe,
  mostVolts,
  nominalSymptomVolts,
  probeOf,
  type Reading,
  type Symptom,
  type SymptomVolts,
  symptomVolts,
  type TestStand,
  type Trip,
  type Unsettled,
  type Verdict,
  widestSymptomVolts,
} from '../../meter/meter.js';
import { lacksOnlyVolts, type View, type Works, workingVolts } from '../../solve/solve.js';
import { openedBy } from './opened.js';
import { otherSoundViews } from './undecided.js';
import { viewsOf } from './views.js';

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
  const verdict = compare(reading, expected);
  // Where the sound circuit may stand one way or the other, what is right for either is no sign of anything.
  const isRightFor = (view: View) => compare(reading, stand.expectIn(view, probeOf(reading))) !== 'differs';
  const mayBeSound =
    verdict === 'differs' &&
    faults.length === 0 &&
    reading.shown.kind !== 'blank' &&
    reading.shown.unit !== 'ohm' &&
    otherSoundViews(stand, reading.state).some(isRightFor);
  return { reading, expected, verdict: mayBeSound ? 'inconclusive' : verdict };
}

export function holdSymptom(stand: TestStand, symptom: Symptom, faults: readonly Fault[]): SymptomEvidence {
  const sight = stand.look(symptom.state, faults);
  const expected = sight.kind === 'steady' ? stand.worksIn(sight.view, symptom) : 'marginal';
  const verdict = symptomVerdict(symptom, expected);
  const isRightFor = (view: View) => symptomVerdict(symptom, stand.worksIn(view, symptom)) !== 'differs';
  const mayBeSound =
    verdict === 'differs' && faults.length === 0 && otherSoundViews(stand, symptom.state).some(isRightFor);
  return mayBeSound
    ? { symptom, expected: 'marginal', verdict: 'inconclusive' }
    : { symptom, expected, verdict };
}

function symptomVerdict(symptom: Symptom, expected: Works): Verdict {
  if (expected === 'marginal') return 'inconclusive';
  return (expected === 'yes') === symptom.works ? 'agrees' : 'differs';
}

/** A protector seen to open, held against what opens with these faults. */
export interface TripEvidence {
  readonly trip: Trip;
  readonly verdict: Verdict;
}

export function holdTrip(stand: TestStand, trip: Trip, faults: readonly Fault[]): TripEvidence {
  const sight = stand.look(trip.state, faults);
  const opens =
    sight.kind === 'short' || sight.kind === 'overload' ? openedBy(stand.circuit, sight).part : undefined;
  return { trip, verdict: opens === trip.protector ? 'agrees' : 'differs' };
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
 * How well supposed faults explain observations: undefined when any contradicts them, else a share from 0 to 1. A
 * reading that only strays could explain (a floating place under a high-impedance meter), or taken where contacts
 * never settle, counts for less than one that the faults predict. With nominal parts no load works, or stops, for being
 * at its limit.
 */
export function explainedBy(
  stand: TestStand,
  groups: readonly Group[],
  faults: readonly Fault[],
  withNominalParts = false,
): number | undefined {
  let share = 1;
  for (const group of groups) {
    if (isRuledOut(stand, group, faults)) return undefined;
    const views = viewsOf(stand, group.state, faults, group.dead);
    if (views === undefined) return undefined;
    const part =
      views.length === 0
        ? unsettledShare(stand, group)
        : explainedGroup(stand, group, views, withNominalParts);
    if (part === undefined) return undefined;
    share *= part;
  }
  return share;
}

/** Contacts that never settle may show anything that the supplies can give. */
function unsettledShare(stand: TestStand, { readings }: Group): number | undefined {
  const most = mostVolts(stand.plan('running'), stand.supplies.spread);
  const impossible = readings.some(
    ({ shown, meter }) =>
      shown.kind === 'value' &&
      shown.unit === 'V' &&
      Math.abs(shown.value) > most + displayError(meter.accuracy, shown.value),
  );
  return impossible ? undefined : unsettledLikelihood;
}

/** Volts and share by which a reading must be off what is certain: more than good conductors could ever drop. */
const farVolts = 5;
const farShare = 0.4;

const reclosing = new WeakMap<Circuit, readonly Fault[]>();

/** Overloads that open, each open. */
function recloses(circuit: Circuit): readonly Fault[] {
  const known = reclosing.get(circuit) ?? openedOnes(circuit);
  reclosing.set(circuit, known);
  return known;
}

function openedOnes({ protectors }: Circuit): readonly Fault[] {
  return [...protectors.values()].flatMap(({ name, branch, closesAgain, rating }) =>
    closesAgain && rating !== undefined
      ? { part: name, mode: 'open', changes: [{ kind: 'absent', branch }] }
      : [],
  );
}

/** Whether some reading of the group is plainly impossible with these faults. */
export function isRuledOut(stand: TestStand, group: Group, faults: readonly Fault[]): boolean {
  return impossibleIn(stand, group, faults).length > 0;
}

/** The readings of a group that are plainly impossible with these faults, by a first look without solving. */
export function impossibleIn(stand: TestStand, group: Group, faults: readonly Fault[]): readonly Reading[] {
  // An overload that opens and closes again may have been open just then.
  const networks = [faults, ...recloses(stand.circuit).map((opened) => [...faults, opened])];
  return networks.reduce<readonly Reading[]>((amiss, each) => {
    const out = amiss.length === 0 ? undefined : ruledOut(stand, group, each);
    return out === undefined ? [] : amiss.filter(out);
  }, group.readings);
}

/**
 * Of one network: most faults leave some reading of a state plainly impossible. Tells which; undefined where nothing is
 * certain. Of faults that short a supply it tells nothing.
 */
function ruledOut(
  stand: TestStand,
  { state, dead }: Group,
  faults: readonly Fault[],
): ((reading: Reading) => boolean) | undefined {
  const tied = dead ? undefined : stand.tiedUnder(state, faults, true);
  if (tied === undefined) return undefined;
  return ({ where, shown, meter }) => {
    if (where.kind !== 'between' || shown.kind !== 'value' || shown.unit !== 'V') return false;
    // Told to be ac or dc, it may be the one that is not there.
    if (shown.current !== undefined) return false;
    const volts = tied(where.red, where.black, meter.input === 'low-impedance');
    if (volts === undefined) return false;
    const off = Math.abs(Math.abs(shown.value) - volts);
    return off > farVolts + farShare * Math.max(volts, Math.abs(shown.value));
  };
}

/** Each observation must be what one of the views gives. */
function explainedGroup(
  stand: TestStand,
  group: Group,
  views: readonly View[],
  withNominalParts: boolean,
): number | undefined {
  let share = 1;
  for (const symptom of group.symptoms) {
    const best = Math.max(0, ...views.map((view) => symptomLikelihood(stand, symptom, view, group.symptoms)));
    if (best === 0 || (withNominalParts && best < 1)) return undefined;
    share *= best;
  }
  for (const reading of group.readings) {
    const best = Math.max(...views.map((view) => readingLikelihood(stand, reading, view)));
    if (best === 0) return undefined;
    share *= best;
  }
  return share;
}

/** 1 for what a load does under a fault, 0 for what it does not, and less than 1 where its parts must be off for it. */
function symptomLikelihood(stand: TestStand, symptom: Symptom, view: View, all: readonly Symptom[]): number {
  if (symptomVerdict(symptom, stand.worksIn(view, symptom)) !== 'differs') return 1;
  const { does } = symptom.load;
  if (does.kind === 'actuator')
    return mayOutputBe(stand, view, symptom.state, symptom.load, symptom.works) ? atLimitLikelihood : 0;
  if (!lacksOnlyVolts(view, symptom.load)) return 0;
  const volts = workingVolts(view, does.branch);
  const spread = stand.spreadIn(view);
  const isBeyond = ({ least, most }: SymptomVolts) => (symptom.works ? volts < least : volts >= most);
  if (isBeyond(widestSymptomVolts(stand, symptom, spread))) return 0;
  if (isBeyond(symptomVolts(stand, symptom, spread, view))) return 0;
  return all.some((other) => isOpposed(stand, view, symptom, other)) ? 0 : atLimitLikelihood;
}

/** Side by side, two loads have the same volts wherever parts are: one can't be over its limit and the other under it. */
function isOpposed(stand: TestStand, view: View, one: Symptom, other: Symptom): boolean {
  if (one.works === other.works || one.load.does.kind !== 'volts' || other.load.does.kind !== 'volts')
    return false;
  const spread = stand.spreadIn(view);
  const [works, idle] = one.works ? [one, other] : [other, one];
  const { least } = nominalSymptomVolts(stand, works, spread);
  const { most } = nominalSymptomVolts(stand, idle, spread);
  return least >= most && areSideBySide(view, one.load.does.branch, other.load.does.branch);
}

/** What is driven into the one shows across the other whole, but for the drop in their wires. */
function areSideBySide(view: View, one: number, other: number): boolean {
  const size = (from: number, to: number) => {
    const { re, im } = view.transfer(0, ...view.ends(from), ...view.ends(to));
    return Math.hypot(re, im);
  };
  const between = size(one, other);
  return between >= sideBySide * Math.max(size(one, one), size(other, other));
}

/** Share of its own impedance that a load in parallel sees (judgement, no source). */
const sideBySide = 0.95;

/** Few loads are so near their limit that tolerances decide (judgement, no source). */
const atLimitLikelihood = 0.1;

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
