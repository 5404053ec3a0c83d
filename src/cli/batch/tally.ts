import { type ExitStatus, exitStatus, worse } from '../exit-status.js';
import type { AnsweredJob, JobVerdict } from './batch-job.js';

/** How many jobs came to what. */
export class Tally {
  jobs = 0;
  /** The exit status that speaks for all of them. */
  worst: ExitStatus = exitStatus.agrees;
  private readonly counts = new Map<JobVerdict, number>();

  add({ verdict, status }: AnsweredJob): void {
    this.jobs += 1;
    this.worst = worse(this.worst, status);
    this.counts.set(verdict, (this.counts.get(verdict) ?? 0) + 1);
  }

  /** "5 jobs: 3 agree, 1 bounded, 1 unusable." */
  toString(): string {
    const told = [...words].flatMap(([verdict, word]) => {
      const count = this.counts.get(verdict) ?? 0;
      return count === 0 ? [] : [`${count} ${count === 1 && verdict === 'agrees' ? 'agrees' : word}`];
    });
    const jobs = `${this.jobs} job${this.jobs === 1 ? '' : 's'}`;
    return told.length === 0 ? `${jobs}.` : `${jobs}: ${told.join(', ')}.`;
  }
}

const words: ReadonlyMap<JobVerdict, string> = new Map([
  ['agrees', 'agree'],
  ['bounded', 'bounded'],
  ['ambiguous', 'ambiguous'],
  ['unexplained', 'unexplained'],
  ['undecided', 'undecided'],
  ['unusable', 'unusable'],
  ['defect', 'ended by a defect in loadside'],
]);
