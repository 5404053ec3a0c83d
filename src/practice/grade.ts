import { type Circuit, type Fault, stateKey } from '../circuit/circuit.js';
import { type CheckAnswer, partsOf, proposeNext, type Suspect, worthOf } from '../diagnose/diagnose.js';
import type { Job } from '../meter/meter.js';
import { openingJob } from './complaint.js';
import { Desk } from './desk.js';
import type { Exercise, Par } from './exercise.js';
import { faultParts } from './plant.js';
import { type Act, type ActOf, readingOf } from './session.js';
import { isSamePlace } from './technician.js';

/** What marks are given for. */
export type MarkName = 'answer' | 'proof' | 'readings' | 'telling' | 'safety' | 'swaps';

/** Marks that can be had, 100 in all (judgement, no source). */
export const fullMarks: Readonly<Record<MarkName, number>> = {
  answer: 35,
  proof: 15,
  readings: 15,
  telling: 10,
  safety: 15,
  swaps: 10,
};

/** Taken off for each unsafe request, each part exchanged too soon, and a wrong way to fail of the right part. */
const penalties = { unsafe: 10, premature: 5, mode: 5 } as const;

/** Why a reading could tell nothing, by what was known before it. */
export type Idle = 'bounded' | 'repeat' | 'alike';

/** An act in the light of what was known before it. */
export type Step =
  | {
      readonly act: ActOf<'measure'>;
      /** Parts suspected before it and after it. */
      readonly before: number;
      readonly after: number;
      readonly idle?: Idle;
    }
  | {
      readonly act: ActOf<'swap'>;
      readonly suspected: number;
      /** `cleared`: it was not suspected any more. `several`: another reading would have told more. */
      readonly premature?: 'cleared' | 'several';
    }
  | { readonly act: ActOf<'refused'> | ActOf<'answer'> };

export interface Grade {
  readonly exercise: Exercise;
  readonly fault: Fault;
  readonly par: Par;
  readonly steps: readonly Step[];
  /** Undefined where no answer was given. */
  readonly right: boolean | undefined;
  /** Of the right part, another way to fail was named. */
  readonly wrongMode: boolean;
  readonly named: readonly string[];
  /** Parts that the learner's own readings and exchanges leave. */
  readonly left: readonly string[];
  readonly readings: number;
  readonly idle: number;
  readonly unsafe: number;
  readonly premature: number;
  readonly minutes: number;
  readonly marks: Readonly<Record<MarkName, number>>;
  readonly total: number;
}

/** Grades several learners at one circuit; what was once thought through is kept. */
export class Grader {
  private readonly desk: Desk;

  constructor(circuit: Circuit, desk: Desk = new Desk(circuit)) {
    this.desk = desk;
  }

  /** What the acts are worth: the answer, and how it was come to. */
  grade(exercise: Exercise, fault: Fault, par: Par, acts: readonly Act[]): Grade {
    const { steps, known } = this.walked(exercise, acts);
    const answer = acts.find((act) => act.kind === 'answer');
    const named = answer?.parts ?? [];
    const parts = faultParts(fault);
    const right = answer && parts.some((part) => named.includes(part));
    const cured = acts.some((act) => act.kind === 'swap' && act.cured);
    const counts = {
      readings: steps.filter((step) => step.act.kind === 'measure').length,
      idle: steps.filter((step) => 'idle' in step).length,
      unsafe: steps.filter((step) => step.act.kind === 'refused').length,
      premature: steps.filter((step) => 'premature' in step).length,
    };
    const wrongMode = right === true && answer?.mode !== undefined && answer.mode !== fault.mode;
    const marks = marksOf(par, { ...counts, right: right === true, named, wrongMode, cured, known });
    return {
      exercise,
      fault,
      par,
      steps,
      right,
      wrongMode,
      named,
      left: partsIn(known.suspects),
      ...counts,
      minutes: acts.reduce((sum, act) => sum + ('minutes' in act ? act.minutes : 0), 0),
      marks,
      total: Object.values(marks).reduce((sum, each) => sum + each, 0),
    };
  }

  /** Each act with what was known before it; and what is known at the end. */
  private walked(
    exercise: Exercise,
    acts: readonly Act[],
  ): { readonly steps: readonly Step[]; readonly known: CheckAnswer } {
    const { circuit, symptoms, meter } = exercise;
    const swapped = new Set<string>();
    const check = (at: Job) => withoutSwapped(this.desk.check(at), swapped);
    let job: Job = { ...openingJob(symptoms, new Map()), meter };
    let known = check(job);
    const steps = acts.map((act): Step => {
      const before = known;
      if (act.kind === 'measure') {
        const earlier = job;
        job = { ...job, readings: [...job.readings, readingOf(act.ask, act.shown, job)] };
        known = check(job);
        const idle = idleness(circuit, earlier, before, act);
        const counts = { before: partsIn(before.suspects).length, after: partsIn(known.suspects).length };
        return { act, ...counts, ...(idle === undefined ? {} : { idle }) };
      }
      if (act.kind === 'swap') {
        const premature = prematurity(circuit, job, before, act.part);
        if (!act.cured) swapped.add(act.part);
        known = check(job);
        const suspected = partsIn(before.suspects).length;
        return { act, suspected, ...(premature === undefined ? {} : { premature }) };
      }
      return { act };
    });
    return { steps, known };
  }
}

/** A part that was exchanged, and did not help, is not it. */
function withoutSwapped(check: CheckAnswer, swapped: ReadonlySet<string>): CheckAnswer {
  if (swapped.size === 0) return check;
  const suspects = check.suspects.filter((suspect) => !partsOf(suspect).some((part) => swapped.has(part)));
  const answers = new Set(suspects.map(answerOf));
  const verdict = answers.size === 0 ? 'unexplained' : answers.size === 1 ? 'bounded' : 'ambiguous';
  return { ...check, suspects, verdict };
}

/** Suspects with one answer need not be told apart. */
function answerOf(suspect: Suspect): string {
  return partsOf(suspect).sort().join(' + ');
}

function partsIn(suspects: readonly Suspect[]): string[] {
  return [...new Set(suspects.flatMap(partsOf))];
}

/** Why a reading could tell nothing; undefined where it could, and where nothing modelled fits any more. */
function idleness(
  circuit: Circuit,
  job: Job,
  before: CheckAnswer,
  { ask: { state, probe } }: ActOf<'measure'>,
): Idle | undefined {
  if (before.verdict === 'unexplained') return undefined;
  if (before.verdict === 'bounded') return 'bounded';
  if (worthOf(circuit, job, before, state, probe).tells) return undefined;
  const isRepeat = job.readings.some(
    (each) => stateKey(each.state) === stateKey(state) && isSamePlace(each.where, probe.where),
  );
  return isRepeat ? 'repeat' : 'alike';
}

/** Whether a part was exchanged before there was reason to. */
function prematurity(
  circuit: Circuit,
  job: Job,
  before: CheckAnswer,
  part: string,
): 'cleared' | 'several' | undefined {
  if (before.verdict === 'unexplained') return undefined;
  if (!partsIn(before.suspects).includes(part)) return 'cleared';
  if (before.verdict === 'bounded') return undefined;
  // Where no reading tells much, trying is what is left.
  const { proposals, order } = proposeNext(circuit, job, before);
  return proposals.length > 0 && order.length === 0 ? 'several' : undefined;
}

interface Found {
  readonly right: boolean;
  readonly wrongMode: boolean;
  readonly named: readonly string[];
  readonly cured: boolean;
  readonly known: CheckAnswer;
  readonly readings: number;
  readonly idle: number;
  readonly unsafe: number;
  readonly premature: number;
}

function marksOf(par: Par, found: Found): Record<MarkName, number> {
  const { right, wrongMode, named, cured, known, readings, idle, unsafe, premature } = found;
  const share = (name: MarkName, part: number) =>
    Math.round(fullMarks[name] * Math.min(1, Math.max(0, part)));
  // Naming more parts than readings have to leave is half an answer.
  const precision = par.left.length / Math.max(par.left.length, named.length);
  const answers = new Set(known.suspects.map(answerOf));
  const covered = new Set(
    known.suspects.filter((suspect) => partsOf(suspect).some((part) => named.includes(part))).map(answerOf),
  );
  const proven = cured ? 1 : answers.size === 0 ? 0 : covered.size / answers.size;
  // A guess shows nothing of how one reads, and who does nothing shows nothing at all.
  const shown = right ? proven : 0;
  const didSomething = right || readings > 0;
  const telling = readings === 0 ? shown : right ? (1 - idle / readings) * shown : 1 - idle / readings;
  const kept = (name: MarkName, lost: number) => (didSomething ? Math.max(0, fullMarks[name] - lost) : 0);
  return {
    answer: right ? share('answer', precision) - (wrongMode ? penalties.mode : 0) : 0,
    proof: share('proof', shown),
    readings: share('readings', Math.min(1, (par.readings + 1) / (readings + 1)) * shown),
    telling: share('telling', telling),
    safety: kept('safety', penalties.unsafe * unsafe),
    swaps: kept('swaps', penalties.premature * premature),
  };
}
