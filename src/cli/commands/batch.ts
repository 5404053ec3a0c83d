import { clean } from '../../report/report.js';
import type { AnsweredJob, JobOptions } from '../batch/batch-job.js';
import { type Crew, crewFor } from '../batch/crew.js';
import { type FoundJobs, findJobs, handfuls, type Shard } from '../batch/find-jobs.js';
import { inOrder } from '../batch/in-order.js';
import { Tally } from '../batch/tally.js';
import { type OutputOptions, refuse } from '../deliver.js';
import { type ExitStatus, exitStatus, worse } from '../exit-status.js';
import { progressOf } from '../progress.js';
import type { World } from '../world.js';

export interface BatchOptions extends OutputOptions, JobOptions {
  /** Workers; as many as there are processors where absent. */
  readonly jobs?: number;
  readonly shard?: Shard;
}

/** Jobs handed over at once, so that handing over costs little beside them; and handfuls under way for each worker. */
const handfulSize = 8;
const handfulsPerWorker = 4;

/** One line of NDJSON for each job, in their order, as soon as it and those before it are answered. */
export async function runBatch(
  world: World,
  given: readonly string[],
  options: BatchOptions,
): Promise<ExitStatus> {
  if (options.circuit === '-') {
    return refuse(world, 'standard input holds the jobs of a batch.', 'Give the circuit as a file.');
  }
  const found = await findJobs(world, given);
  for (const { path, reason } of found.missing) refuse(world, `${clean(path)}: ${clean(reason)}`);
  const whole =
    options.output === undefined || options.output === '-'
      ? undefined
      : await world.startWhole(options.output, found.paths);
  const workers = options.jobs ?? (await world.cores());
  const crew = crewFor(
    world,
    options,
    workers,
    found.count && Math.ceil(found.count / (options.shard?.of ?? 1)),
  );
  const state = { stopped: undefined as ExitStatus | undefined, seen: 0 };
  const stop = new Promise<void>((resolve) =>
    world.onStop((status) => {
      state.stopped = status;
      resolve();
    }),
  );
  const { tally, work } = answering(world, options, workers, found, crew, state, whole?.write ?? world.out);
  try {
    await Promise.race([work, stop]);
  } catch (error) {
    whole?.drop();
    throw error;
  } finally {
    await crew.dismiss();
    await world.drained();
  }
  if (state.stopped !== undefined) {
    whole?.drop();
    return state.stopped;
  }
  whole?.keep();
  if (state.seen === 0 && found.missing.length === 0) return refuse(world, 'there is no job here.');
  if (options.quiet !== true) world.err(`${tally}\n`);
  return found.missing.length > 0 ? worse(tally.worst, exitStatus.unusable) : tally.worst;
}

/** The work itself, under way; it writes nothing more once it is told to stop. */
function answering(
  world: World,
  options: BatchOptions,
  workers: number,
  found: FoundJobs,
  crew: Crew,
  state: { readonly stopped: ExitStatus | undefined; seen: number },
  write: (text: string) => void,
): { readonly tally: Tally; readonly work: Promise<void> } {
  const { shard = { index: 1, of: 1 } } = options;
  const progress = progressOf(world, options, 'jobs');
  const tally = new Tally();
  const take = async (answers: readonly AnsweredJob[]): Promise<void> => {
    for (const answer of answers) {
      if (state.stopped !== undefined) return;
      write(answer.text);
      tally.add(answer);
      if (answer.trouble !== undefined && options.quiet !== true) {
        progress.end();
        world.err(`${answer.trouble}\n`);
      }
    }
    progress.tell(tally.jobs, found.count && Math.ceil(found.count / shard.of));
    await world.drained();
  };
  const fair =
    found.count === undefined ? handfulSize : Math.ceil(found.count / shard.of / workers / handfulsPerWorker);
  const size = Math.max(1, Math.min(handfulSize, fair));
  const seen = (jobs: number): boolean => {
    state.seen += jobs;
    return state.stopped === undefined;
  };
  const given = handfuls(found.jobs(), shard, size, seen);
  const work = inOrder(given, workers * handfulsPerWorker, crew.answer, take).finally(progress.end);
  return { tally, work };
}
