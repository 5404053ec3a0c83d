import type { Fault } from '../circuit/circuit.js';
import {
  compare,
  type Expected,
  type Job,
  probeOf,
  type Reading,
  type Symptom,
  type TestStand,
  type Unsettled,
  type Verdict,
} from '../meter/meter.js';
import type { Works } from '../solve/solve.js';

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
  const expected = stand.works(symptom, faults);
  const verdict = expected === 'marginal' ? 'inconclusive' : (expected === 'yes') === symptom.works ? 'agrees' : 'differs';
  return { symptom, expected, verdict };
}

/**
 * How well supposed faults explain a job: undefined when any reading or symptom contradicts them, else a share
 * from 0 to 1. A reading that only strays could explain (a floating place under a high-impedance meter) counts
 * for less than one that the faults predict.
 */
export function fit(stand: TestStand, job: Job, faults: readonly Fault[]): number | undefined {
  const standing = afterProtection(stand, job, faults);
  let share = 1;
  for (const symptom of job.symptoms) {
    const { verdict } = holdSymptom(stand, symptom, standing);
    if (verdict === 'differs') return undefined;
  }
  for (const reading of job.readings) {
    const { verdict, expected } = holdReading(stand, reading, standing);
    if (verdict === 'differs') return undefined;
    if (verdict === 'inconclusive' && expected.kind === 'floating') share *= strayLikelihood;
  }
  return share;
}

/** Most floating places read near zero or wander; a reading there is weak support (judgement, no source). */
const strayLikelihood = 0.5;

/**
 * The faults with what they blow: a short circuit in any state of the job opens a protector on its path (or, with
 * none there, the building's), and it stays open for every reading.
 */
export function afterProtection(stand: TestStand, job: Job, faults: readonly Fault[]): readonly Fault[] {
  const shorts = faults.some((fault) => fault.changes.some((change) => change.kind === 'conducts' || change.kind === 'moved'));
  if (!shorts) return faults;
  for (const { state } of [...job.symptoms, ...job.readings]) {
    const sight = stand.look(state, faults);
    if (sight.kind === 'short') return [...faults, opened(stand, sight.path)];
  }
  return faults;
}

function opened(stand: TestStand, path: readonly number[]): Fault {
  const { circuit } = stand;
  const protector = path.map((index) => circuit.branches[index]).find((branch) => branch?.role === 'protector');
  if (protector !== undefined) {
    return { part: protector.part, mode: 'open', changes: [{ kind: 'absent', branch: protector.index }] };
  }
  const [supply] = circuit.supplies.values();
  const live = supply?.legs.filter((leg) => leg.live) ?? [];
  const changes = live.map((leg) => ({ kind: 'absent' as const, branch: leg.branch }));
  return { part: supply?.name ?? '', mode: 'missing', changes };
}
