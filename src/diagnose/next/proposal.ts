import type { Minutes, State } from '../../circuit/circuit.js';
import type { Expected, Probe, Unit } from '../../meter/meter.js';
import type { Suspect } from '../suspects/suspects.js';
import type { CostPart } from './costs.js';
import { expectedGain } from './information.js';
import { type Ballot, outcomesOf, type Range, weighOutcomes } from './outcomes.js';

/** Where to put the leads, what it takes, and what it is worth. */
export interface Proposal {
  readonly state: State;
  readonly probe: Probe;
  /** With power on. */
  readonly live: boolean;
  readonly minutes: Minutes;
  readonly cost: readonly CostPart[];
  /** Expected information about which part it is. */
  readonly bits: number;
  /** What a sound circuit shows there; undefined where nothing would hold still. */
  readonly sound: Expected | undefined;
  /** What each suspect would show, in the order of their weights; several where it has a range, none where nothing is predicted. */
  readonly shows: readonly { readonly suspect: Suspect; readonly shows: readonly Expected[] }[];
  /** What can be told apart, lowest first. */
  readonly outcomes: readonly ReadingOutcome[];
}

/** One thing the meter may show, and what is left then. */
export interface ReadingOutcome {
  /** Both infinite for beyond range. */
  readonly low: number;
  readonly high: number;
  readonly unit: Unit;
  /** Some of it would be a stray voltage on a floating place. */
  readonly stray: boolean;
  /** How likely it is, by the weights. */
  readonly weight: number;
  /** What is left, by what would be replaced, likeliest first; shares of what is modelled. */
  readonly left: readonly { readonly parts: readonly string[]; readonly share: number }[];
  readonly suspects: readonly Suspect[];
}

/** What an expected reading may be on the display. */
export function rangeOf(expected: Expected): Range {
  if (expected.kind === 'driven') return expected;
  if (expected.unit === 'ohm') return { low: Number.POSITIVE_INFINITY, high: Number.POSITIVE_INFINITY };
  return { low: 0, high: expected.high };
}

/** The outcomes of a reading, with what each sample of each hypothesis gives for it. */
export function weighReading(
  ballot: Ballot,
  shown: readonly (Expected | undefined)[],
  { unit, meter }: Probe,
): Pick<Proposal, 'bits' | 'outcomes' | 'shows'> {
  const ranges = shown.map((each) => each && signedRange(each, shown));
  const { outcome, count } = outcomesOf(ranges);
  const rows = weighOutcomes(ballot, outcome, count);
  const total = rows.reduce((sum, row) => sum + row.reduce((a, b) => a + b, 0), 0);
  const outcomes = rows.map((row, at): ReadingOutcome => {
    const members = ballot.samples.flatMap((sample, index) =>
      outcome[index] === at ? [{ sample, index }] : [],
    );
    const hull = members.map(({ index }) => ranges[index] ?? { low: 0, high: 0 });
    const suspected = new Set(members.map(({ sample }) => sample.hypothesis));
    return {
      low: Math.min(...hull.map(({ low }) => low)),
      high: Math.max(...hull.map(({ high }) => high)),
      unit,
      // On a low-impedance input next to nothing strays.
      stray:
        unit === 'V' &&
        meter.input === 'high-impedance' &&
        members.some(({ index }) => shown[index]?.kind === 'floating'),
      weight: row.reduce((a, b) => a + b, 0) / total,
      left: leftOf(ballot, row),
      suspects: ballot.hypotheses.flatMap(({ suspect }, index) => (suspected.has(index) ? suspect : [])),
    };
  });
  const shows = ballot.hypotheses.map(({ suspect }, hypothesis) => ({
    suspect,
    shows: ballot.samples.flatMap((sample, index) =>
      sample.hypothesis === hypothesis ? (shown[index] ?? []) : [],
    ),
  }));
  return { bits: count < 2 ? 0 : expectedGain(rows), outcomes, shows };
}

/** A dc reading has a sign, so that what strays there may have either. */
function signedRange(each: Expected, all: readonly (Expected | undefined)[]): Range {
  const range = rangeOf(each);
  const signed = all.some((other) => other?.kind === 'driven' && other.signed === true);
  return signed && each.kind === 'floating' && each.unit === 'V'
    ? { low: -range.high, high: range.high }
    : range;
}

function leftOf({ answers, hypotheses }: Ballot, row: Float64Array): ReadingOutcome['left'] {
  const modelled = answers.reduce((sum, _, index) => sum + (row[index] ?? 0), 0);
  return answers
    .flatMap((answer, index) => {
      const share = (row[index] ?? 0) / modelled;
      const parts = hypotheses.find((each) => each.answer === answer)?.parts ?? [];
      return share > 0 ? [{ parts, share }] : [];
    })
    .sort((a, b) => b.share - a.share);
}
