import type { World } from '../world.js';
import { defective, JobAnswerer } from './answer-job.js';
import type { AnsweredJob, BatchJob, JobOptions } from './batch-job.js';

/** Who answers jobs, a few at a time. */
export interface Crew {
  readonly answer: (jobs: readonly BatchJob[]) => Promise<readonly AnsweredJob[]>;
  readonly dismiss: () => Promise<void>;
}

/** In this process: for few jobs, or one processor. */
export function crewOfOne(world: World, options: JobOptions): Crew {
  const answerer = new JobAnswerer(world, options);
  return {
    answer: async (jobs) => {
      const answers: AnsweredJob[] = [];
      for (const job of jobs) {
        answers.push(await answerer.answer(job));
        // A signal, and who reads the answers, get their turn.
        await new Promise((resolve) => setImmediate(resolve));
      }
      return answers;
    },
    dismiss: async () => {},
  };
}

/** Up to this many jobs it takes longer to start workers than to do the work. */
const tooFewForWorkers = 3;

/** Those that suit the jobs: of a stream nobody knows how many there will be, and the first few are done here. */
export function crewFor(world: World, options: JobOptions, workers: number, jobs: number | undefined): Crew {
  const alone = crewOfOne(world, options);
  if (workers === 1 || (jobs ?? Number.POSITIVE_INFINITY) <= tooFewForWorkers) return alone;
  let many: Promise<Crew> | undefined;
  let begun = 0;
  return {
    answer: async (handful) => {
      begun += handful.length;
      if (jobs === undefined && begun <= tooFewForWorkers) return alone.answer(handful);
      many ??= crewOfWorkers(Math.min(workers, jobs ?? workers), options);
      return (await many).answer(handful);
    },
    dismiss: async () => (await many)?.dismiss(),
  };
}

/**
 * Workers, each a thread that keeps circuits of its own. A job that ends its thread (memory, a crash in the engine) is a
 * defect by itself: those that were handed over with it are tried again, one by one.
 */
async function crewOfWorkers(size: number, options: JobOptions): Promise<Crew> {
  const { Piscina } = await import('piscina');
  const pool = new Piscina<WorkerTask, AnsweredJob[]>({
    filename: `${__dirname}/../bin/work.js`,
    name: 'answerJobs',
    minThreads: size,
    maxThreads: size,
    // How many tasks wait is bounded where they come from.
    concurrentTasksPerWorker: 1,
  });
  const answer = (jobs: readonly BatchJob[]) => pool.run({ jobs, options });
  const one = (job: BatchJob) => answer([job]).catch((error: unknown) => [defective(markOf(job), error)]);
  return {
    answer: (jobs) =>
      answer(jobs).catch(async () => {
        const answers: AnsweredJob[] = [];
        for (const job of jobs) answers.push(...(await one(job)));
        return answers;
      }),
    dismiss: () => pool.destroy(),
  };
}

/** What a worker is handed. */
export interface WorkerTask {
  readonly jobs: readonly BatchJob[];
  readonly options: JobOptions;
}

function markOf(job: BatchJob): { path: string } | { line: number } {
  return job.kind === 'file' ? { path: job.path } : { line: job.line.number };
}
