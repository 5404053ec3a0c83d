import type { Fault } from '../../circuit/circuit.js';
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
  readonly samples: readonly {
    readonly hypothesis: number;
    readonly answer: number;
    /** Its share of belief. */
    readonly weight: number;
    /** By itself, and with what that blew already. */
    readonly first: readonly Fault[];
    readonly faults: readonly Fault[];
  }[];
  readonly answers: readonly string[];
  readonly unknown: number;
}

export function ballotOf(hypotheses: readonly Hypothesis[]): Ballot {
  const answers = [...new Set(hypotheses.map(({ answer }) => answer))];
  const samples = hypotheses.flatMap(({ suspect, samples: all, weight, answer }, hypothesis) =>
    all.map((faults, index) => ({
      hypothesis,
      answer: answers.indexOf(answer),
      weight: weight / all.length,
      first: suspect.samples[index] ?? faults,
      faults,
    })),
  );
  const unknown = Math.max(0, 1 - hypotheses.reduce((sum, each) => sum + each.weight, 0));
  return { hypotheses, samples, answers, unknown };
}

/**
 * Ranges that overlap, or that a chain of others joins, can't be told apart: the outcome of each, by number from low to
 * high; -1 where nothing is predicted.
 */
export function outcomesOf(ranges: readonly (Range | undefined)[]): {
  readonly outcome: readonly number[];
  readonly count: number;
} {
  const outcome = new Array<number>(ranges.length).fill(-1);
  if (allOverlap(ranges)) {
    for (let index = 0; index < ranges.length; index += 1)
      if (ranges[index] !== undefined) outcome[index] = 0;
    return { outcome, count: 1 };
  }
  const order = ranges.flatMap((range, index) => (range === undefined ? [] : [{ range, index }]));
  order.sort((a, b) => a.range.low - b.range.low || a.index - b.index);
  let [count, reach] = [0, Number.NEGATIVE_INFINITY];
  for (const { range, index } of order) {
    if (count === 0 || range.low > reach) count += 1;
    reach = Math.max(reach, range.high);
    outcome[index] = count - 1;
  }
  return { outcome, count };
}

/** Most places read alike whatever is wrong: seen without sorting. */
function allOverlap(ranges: readonly (Range | undefined)[]): boolean {
  let [low, high] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (const range of ranges) {
    if (range === undefined) continue;
    if (range.low > low) low = range.low;
    if (range.high < high) high = range.high;
  }
  return low <= high;
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
  for (const [index, { answer, weight }] of samples.entries()) {
    const row = rows[outcome[index] ?? -1] ?? wild;
    row[answer] = (row[answer] ?? 0) + weight;
  }
  const told = rows.map(sumOf);
  const total = told.reduce((sum, each) => sum + each, 0);
  if (total === 0) return rows;
  return rows.map((row, at) =>
    row.map((each, answer) => each + ((told[at] ?? 0) / total) * (wild[answer] ?? 0)),
  );
}

function sumOf(weights: Float64Array): number {
  return weights.reduce((sum, each) => sum + each, 0);
}

/** Bits that a reading with these ranges is expected to give. */
export function gainOf(ballot: Ballot, ranges: readonly (Range | undefined)[]): number {
  if (allOverlap(ranges)) return 0;
  const { outcome, count } = outcomesOf(ranges);
  return count < 2 ? 0 : expectedGain(weighOutcomes(ballot, outcome, count));
}
