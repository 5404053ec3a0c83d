// The forms of answers belong to no floor: they depend on nothing, and are a part of what the library tells of itself.
import type { AnyAnswer, Input, Problem, Tool } from './answers.generated.js';

/** What answers are made of; types generated from schemas/report.schema.json. */
export type * as Json from './answers.generated.js';

/** What every answer says of itself. */
export interface AnswerHead<Command extends string = string> {
  /** The kind of answer and the version of its form. */
  readonly loadside: 'report/1';
  /** The command that gave it, or would have. */
  readonly command: Command;
  readonly tool: Tool;
  /** The files that were read; none where text or data was given. */
  readonly inputs: readonly Input[];
}

/** An answer without what it says of itself. */
export type Fields<Answer> = Omit<Answer, keyof AnswerHead>;

type Present<Keys extends keyof AnyAnswer> = {
  readonly [Key in Keys]-?: Exclude<AnyAnswer[Key], undefined>;
};

/** What a comparison can come to. */
export type Verdict = 'agrees' | 'bounded' | 'ambiguous' | 'unexplained' | 'undecided';

/** The answer of `check`. */
export interface CheckReport
  extends AnswerHead<'check'>,
    Present<
      | 'conclusion'
      | 'readings'
      | 'symptoms'
      | 'firstDiscrepancy'
      | 'suspects'
      | 'supposed'
      | 'tried'
      | 'triedPairs'
      | 'movedSwitches'
      | 'disagreements'
      | 'doubts'
      | 'advice'
      | 'cleared'
      | 'partlyCleared'
      | 'proven'
      | 'notProven'
      | 'notCleared'
      | 'notRead'
      | 'slips'
      | 'hasAllItNeeds'
      | 'triage'
      | 'next'
      | 'cautions'
    > {
  readonly verdict: Verdict;
}

/** The answer of `next`. */
export interface NextReport
  extends AnswerHead<'next'>,
    Present<
      | 'next'
      | 'alternatives'
      | 'reason'
      | 'order'
      | 'missing'
      | 'lookedAt'
      | 'leftOut'
      | 'notEnergised'
      | 'cautions'
    > {
  readonly verdict: Verdict;
}

/** What one state is like; where nothing holds still to be read, why. */
export interface StateFields
  extends Present<'in' | 'outcome' | 'points' | 'loads'>,
    Pick<
      AnyAnswer,
      | 'relays'
      | 'others'
      | 'openedBefore'
      | 'cycle'
      | 'period'
      | 'settles'
      | 'protector'
      | 'amps'
      | 'ratedAmps'
      | 'path'
    > {}

/** The answer of `expect` for one state. */
export interface ExpectReport
  extends AnswerHead<'expect'>,
    StateFields,
    Present<'faults' | 'input' | 'neverProbed' | 'cautions'> {
  readonly verdict?: never;
}

/** The answer of any command where what it was given has errors in it. */
export interface UnusableReport<Command extends string = string> extends AnswerHead<Command> {
  readonly verdict: 'unusable';
  readonly problems: readonly Problem[];
  /** How many there are beyond those listed. */
  readonly more: number;
}
