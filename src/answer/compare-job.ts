import type { Circuit } from '../circuit/circuit.js';
import {
  type CheckAnswer,
  checkJob,
  type NextAnswer,
  proposeNext,
  type Triage,
  triageOf,
} from '../diagnose/diagnose.js';
import type { Job } from '../meter/meter.js';

/** A comparison with what follows from it: the complaint sorted, and the reading to take next. */
export interface Comparison {
  readonly answer: CheckAnswer;
  readonly onward: { readonly triage: Triage | undefined; readonly next: NextAnswer };
}

export function compareJob(circuit: Circuit, job: Job): Comparison {
  const answer = checkJob(circuit, job);
  return { answer, onward: { triage: triageOf(answer), next: proposeNext(circuit, job, answer) } };
}
