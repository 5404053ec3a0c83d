import { type Fault, type State, stateKey } from '../../circuit/circuit.js';
import type { TestStand, Verdict } from '../../meter/meter.js';
import { explainedBy, type Group, type ReadingEvidence, type SymptomEvidence } from '../suspects/evidence.js';
import { openedBy } from '../suspects/opened.js';

/** A reading or a symptom, by its place in the file. */
export interface Witness {
  readonly kind: 'reading' | 'symptom';
  readonly index: number;
}

/** One reading or symptom alone, to be held against supposed faults. */
export interface Observation {
  readonly witness: Witness;
  readonly verdict: Verdict;
  readonly group: Group;
  /** Of what a load does, which hangs on no reading: by it what was found of that is kept. */
  readonly key?: string;
}

/** Of a job with more than this, the rest clears nothing: nobody is to wait for it. */
const mostObservations = 100;

/**
 * A job's observations, those first that people trust first: what agrees with the sound circuit before what does not,
 * and a reading before a symptom. One that says the same as another stands once.
 */
export function observationsOf(
  readings: readonly ReadingEvidence[],
  symptoms: readonly SymptomEvidence[],
): readonly Observation[] {
  const all = [
    ...readings.map(({ reading, verdict }): Observation => {
      const dead = reading.shown.kind !== 'blank' && reading.shown.unit === 'ohm';
      const group = { state: reading.state, dead, symptoms: [], readings: [reading] };
      return { witness: { kind: 'reading', index: reading.index }, verdict, group };
    }),
    ...symptoms.map(({ symptom, verdict }): Observation => {
      const group = { state: symptom.state, dead: false, symptoms: [symptom], readings: [] };
      const key = `${symptom.load.name} ${symptom.works} ${stateKey(symptom.state)}`;
      return { witness: { kind: 'symptom', index: symptom.index }, verdict, group, key };
    }),
  ];
  const amiss = ({ verdict }: Observation) => Number(verdict === 'differs');
  const once = new Map([...all].reverse().map((each) => [said(each), each]));
  const kept = all.filter((each) => once.get(said(each)) === each);
  return kept.sort((a, b) => amiss(a) - amiss(b)).slice(0, mostObservations);
}

function said({ group }: Observation): string {
  const { state, dead, readings, symptoms } = group;
  const shown = readings.map(({ where, shown: value, meter }) => [where, value, meter.input]);
  return JSON.stringify([
    dead,
    stateKey(state),
    shown,
    symptoms.map(({ load, works }) => [load.name, works]),
  ]);
}

/** A fault by itself, and with what it may have opened for good by the time of a reading: each set of parts at once. */
export interface Supposed {
  readonly alone: readonly Fault[];
  /** Found when first asked for: most faults contradict nothing even by themselves. */
  readonly blown: () => readonly (readonly Fault[])[];
  /** By what was said of a load: whether it could not be so. */
  readonly symptoms: Map<string, boolean>;
}

/** `states` are all that the appliance is, or may have been, in: each of them may blow something, and then more. */
export function supposed(stand: TestStand, states: readonly State[], fault: Fault): Supposed {
  const alone = [fault];
  let known: readonly (readonly Fault[])[] | undefined;
  const blown = () => {
    known ??= blownBy(stand, states, alone);
    return known;
  };
  return { alone, blown, symptoms: new Map() };
}

function blownBy(
  stand: TestStand,
  states: readonly State[],
  alone: readonly Fault[],
): readonly (readonly Fault[])[] {
  // More resistance draws more current only where something that turns, or pulls in, then no longer does.
  const draws = alone.some(
    ({ mode, changes }) =>
      mode !== 'high-resistance' && changes.some(({ kind }) => kind !== 'absent' && kind !== 'idle'),
  );
  const mayOverload =
    stand.plan('running').limits.length > 0 &&
    (draws || stand.circuit.actuators.some(({ kind }) => kind !== 'output'));
  const sets = new Map<string, readonly Fault[]>();
  const open = (faults: readonly Fault[]): void => {
    for (const state of states) {
      if (!(mayOverload || stand.mayShortUnder(state, faults))) continue;
      const sight = stand.look(state, faults);
      if (sight.kind !== 'short' && sight.kind !== 'overload') continue;
      const all = [...faults, openedBy(stand.circuit, sight)];
      const parts = all.slice(1).map(({ part }) => part);
      const key = [...new Set(parts)].sort().join(' ');
      if (sets.has(key) || new Set(parts).size < parts.length) continue;
      sets.set(key, all);
      open(all);
    }
  };
  open(alone);
  return [...sets.values()];
}

/**
 * Whether an observation could not be so with the fault: neither before nor after what it opens. Nobody reads a meter
 * while something blows, so a state in which it does tells of the time after only; where contacts never settle, it tells
 * nothing. A fault matters, and shows, with nominal parts.
 */
export function contradicts(stand: TestStand, { key, group }: Observation, fault: Supposed): boolean {
  const { alone, blown, symptoms } = fault;
  const known = key === undefined ? undefined : symptoms.get(key);
  if (known !== undefined) return known;
  const denied = (faults: readonly Fault[]) => explainedBy(stand, [group], faults, true) === undefined;
  const found = denied(alone) && blown().every(denied);
  if (key !== undefined) symptoms.set(key, found);
  return found;
}
