import type { ExitStatus } from '../exit-status.js';
import type { Line } from './lines.js';

/** One job as it is handed to a worker: a readings file, or a line of standard input. */
export type BatchJob =
  | { readonly kind: 'file'; readonly path: string }
  | { readonly kind: 'line'; readonly line: Line };

/** What can be said of a job in one word. */
export type JobVerdict =
  | 'agrees'
  | 'bounded'
  | 'ambiguous'
  | 'unexplained'
  | 'undecided'
  | 'unusable'
  | 'defect';

/** A job answered: one line of NDJSON with its line end, and what is told of it besides. */
export interface AnsweredJob {
  readonly text: string;
  readonly verdict: JobVerdict;
  readonly status: ExitStatus;
  /** The first thing wrong with it, as a person is told. */
  readonly trouble?: string;
}

/** Options that shape the answers. */
export interface JobOptions {
  /** In place of the circuit the readings name. */
  readonly circuit?: string;
}
