import type { Circuit } from '../circuit/circuit.js';
import type { Instrument, Symptom } from '../meter/meter.js';

/** What a learner is given: an appliance as drawn, what is wrong with it by the look of it, and a meter. */
export interface Exercise {
  readonly circuit: Circuit;
  readonly symptoms: readonly Symptom[];
  readonly meter: Instrument;
}

/** What the bench has to know to show what a meter would: the fault as the command line names it, and the seed. */
export interface BenchSecret {
  readonly fault: string;
  readonly seed: number;
}

/** What grading holds a learner's hunt against. */
export interface AnswerSecret extends BenchSecret {
  readonly par: Par;
}

/** What it takes to find the fault, known once it was done. */
export interface Par {
  /** Following the proposed reading until it ends: one step is looked ahead, so that luck may do with fewer. */
  readonly readings: number;
  readonly minutes: number;
  /** Halving the supply path in place of that. */
  readonly halfSplit: { readonly readings: number; readonly minutes: number };
  /** Parts that the complaint alone leaves suspected. */
  readonly suspected: number;
  /** Parts left in the end: one, or those that no reading within reach tells apart. */
  readonly left: readonly string[];
}

export type Difficulty = 'easy' | 'medium' | 'hard';

/** Readings and suspected parts up to which an exercise is easy, and from which it is hard (judgement, no source). */
const bounds = {
  easy: { readings: 2, suspected: 10 },
  hard: { readings: 5, suspected: 25 },
} as const;

/** By the readings that following the proposed one takes, and by how many parts the complaint leaves. */
export function difficultyOf({ readings, suspected }: Pick<Par, 'readings' | 'suspected'>): Difficulty {
  const { easy, hard } = bounds;
  if (readings >= hard.readings || (readings > easy.readings && suspected >= hard.suspected)) return 'hard';
  return readings <= easy.readings && suspected <= easy.suspected ? 'easy' : 'medium';
}
