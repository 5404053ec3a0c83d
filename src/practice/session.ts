import type { Mode } from '../circuit/circuit.js';
import { swapMinutes } from '../diagnose/diagnose.js';
import type { Job, Reading, Shown } from '../meter/meter.js';
import type { Ask } from './ask.js';
import { Bench, type Unsafe } from './bench.js';
import { openingJob } from './complaint.js';
import type { Exercise } from './exercise.js';
import { minutesFor } from './hunt.js';

/** One thing a learner did, and what came of it. */
export type Act =
  | {
      readonly kind: 'measure';
      readonly ask: Ask;
      readonly shown: Shown;
      readonly minutes: number;
      readonly tripped: readonly string[];
    }
  | { readonly kind: 'refused'; readonly ask: Ask; readonly why: Unsafe }
  | { readonly kind: 'swap'; readonly part: string; readonly cured: boolean; readonly minutes: number }
  | { readonly kind: 'answer'; readonly parts: readonly string[]; readonly mode?: Mode };

export type ActOf<Kind extends Act['kind']> = Extract<Act, { kind: Kind }>;

/** One learner at one exercise: everything done so far, in order. The same acts give the same results. */
export class Session {
  readonly exercise: Exercise;
  readonly acts: Act[] = [];
  private readonly bench: Bench;
  /** The complaint and the readings so far. */
  job: Job;

  constructor(exercise: Exercise, fault: ConstructorParameters<typeof Bench>[1], seed: number) {
    this.exercise = exercise;
    this.bench = new Bench(exercise.circuit, fault, seed);
    this.job = { ...openingJob(exercise.symptoms, new Map()), meter: exercise.meter };
  }

  /** After its answer nothing is added; once everything works again there is nothing left to read or exchange. */
  get ended(): 'answered' | 'cured' | undefined {
    if (this.acts.some(({ kind }) => kind === 'answer')) return 'answered';
    return this.acts.some((act) => act.kind === 'swap' && act.cured) ? 'cured' : undefined;
  }

  get minutes(): number {
    return this.acts.reduce((sum, act) => sum + ('minutes' in act ? act.minutes : 0), 0);
  }

  measure(ask: Ask): ActOf<'measure'> | ActOf<'refused'> {
    const taken = this.bench.take(ask);
    if (taken.kind === 'refused') return this.did({ kind: 'refused', ask, why: taken.why });
    const { shown, tripped } = taken;
    const minutes = minutesFor(this.exercise.circuit, this.job, ask);
    this.job = { ...this.job, readings: [...this.job.readings, readingOf(ask, shown, this.job)] };
    return this.did({ kind: 'measure', ask, shown, minutes, tripped });
  }

  swap(part: string): ActOf<'swap'> {
    const minutes = swapMinutes(this.exercise.circuit, part);
    return this.did({ kind: 'swap', part, cured: this.bench.swap(part), minutes });
  }

  answer(parts: readonly string[], mode: Mode | undefined): ActOf<'answer'> {
    return this.did({ kind: 'answer', parts, ...(mode === undefined ? {} : { mode }) });
  }

  private did<Done extends Act>(act: Done): Done {
    this.acts.push(act);
    return act;
  }
}

/** A reading as the next one of a job. */
export function readingOf({ state, probe: { where, meter } }: Ask, shown: Shown, { readings }: Job): Reading {
  return { index: readings.length + 1, state, where, shown, meter };
}
