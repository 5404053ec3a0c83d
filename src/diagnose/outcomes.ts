import type { Hypothesis } from './hypotheses.js';
import { expectedGain } from './information.js';

/** What one sample of a hypothesis would have a meter show: a range, infinite ends for beyond range. */
export interface Range {
  readonly low: number;
  readonly high: number;
}

/** The hypotheses, each as its samples; the answers among them by number, the last for a fault nobody modelled. */
export interface Ballot {
  readonly hypotheses: readonly Hypothesis[];
  /** By sample: its hypothesis, its answer and its share of belief. */
  readonly samples: readonly {
    readonly hypothesis: number;
    readonly answer: number;
    readonly weight: number;
  }[];
  readonly answers: readonly string[];
  readonly unknown: number;
}

export function ballotOf(hypotheses: readonly Hypothesis[]): Ballot {
  const answers = [...new Set(hypotheses.map(({ answer }) => answer))];
  const samples = hypotheses.flatMap(({ samples: all, weight, answer }, hypothesis) =>
    all.map(() => ({ hypothesis, answer: answers.indexOf(answer), weight: weight / all.length })),
  );
  const unknown = Math.max(0, 1 - hypotheses.reduce((sum, each) => sum + each.weight, 0));
  return { hypotheses, samples, answers, unknown };
}

/** Ranges that overlap, or that a chain of others joins, can't be told apart: the outcome of each, by number from low to high. */
export function outcomesOf(ranges: readonly (Range | undefined)[]): {
  readonly outcome: readonly number[];
  readonly count: number;
} {
  const order: number[] = [];
  for (let index = 0; index < ranges.length; index += 1) if (ranges[index] !== undefined) order.push(index);
  order.sort((a, b) => ranges[a]!.low - ranges[b]!.low || a - b);
  const outcome = ranges.map(() => -1);
  let [count, reach] = [0, Number.NEGATIVE_INFINITY];
  for (const index of order) {
    const { low, high } = ranges[index]!;
    if (count === 0 || low > reach) count += 1;
    reach = Math.max(reach, high);
    outcome[index] = count - 1;
  }
  return { outcome, count };
}

/**
 * How much of each answer ends up in each outcome. What predicts nothing (no range, or not modelled) may end up in any,
 * as likely as that is by the others.
 */
export function weighOutcomes(
  { samples, answers, unknown }: Ballot,
  outcome: readonly number[],
  count: number,
): Float64Array[] {
  const rows = Array.from({ length: count }, () => new Float64Array(answers.length + 1));
  const wild = new Float64Array(answers.length + 1);
  wild[answers.length] = unknown;
  const each = new Float64Array(count);
  let told = 0;
  for (let index = 0; index < samples.length; index += 1) {
    const { answer, weight } = samples[index]!;
    const at = outcome[index]!;
    if (at < 0) wild[answer]! += weight;
    else {
      rows[at]![answer]! += weight;
      each[at]! += weight;
      told += weight;
    }
  }
  if (told === 0) return rows;
  for (let at = 0; at < count; at += 1) {
    const share = each[at]! / told;
    for (let answer = 0; answer < wild.length; answer += 1) rows[at]![answer]! += share * wild[answer]!;
  }
  return rows;
}

/** Bits that a reading with these ranges is expected to give. */
export function gainOf(ballot: Ballot, ranges: readonly (Range | undefined)[]): number {
  const { outcome, count } = outcomesOf(ranges);
  return count < 2 ? 0 : expectedGain(weighOutcomes(ballot, outcome, count));
}
