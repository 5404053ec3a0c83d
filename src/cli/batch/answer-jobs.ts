import { processWorld } from '../process-world.js';
import type { AnsweredJob } from './batch-job.js';
import { type Crew, crewOfOne, type WorkerTask } from './crew.js';

let crew: Crew | undefined;

/** What runs in a worker: its circuits stay from one task to the next. */
export function answerJobs({ jobs, options }: WorkerTask): Promise<readonly AnsweredJob[]> {
  crew ??= crewOfOne(processWorld(), options);
  return crew.answer(jobs);
}
