/**
 * What a rule asks for, with a piece of a file that breaks it and the same piece put right. The pieces are of the files in
 * tests/report/rule-files.ts, where they are tried.
 */
export interface RuleDoc {
  /** One or two sentences: what must be so, and why. */
  readonly about: string;
  readonly bad: string;
  readonly good: string;
  /** The kind of file the pieces are of; a circuit where absent. */
  readonly of?: 'readings' | 'readings table';
}

/** Rules of one floor or subject. */
export type RuleDocs<Code extends string> = Readonly<Record<Code, RuleDoc>>;
