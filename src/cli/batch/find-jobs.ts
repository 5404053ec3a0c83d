import { limits } from '../../text/text.js';
import { findFiles, type MissingFiles } from '../find-files.js';
import type { World } from '../world.js';
import type { BatchJob } from './batch-job.js';
import { linesOf } from './lines.js';

/** How names of readings files end, for those that are looked for in folders. */
const readingsEndings = ['.readings.yaml', '.readings.yml', '.readings.csv'];

/** One part of a run that is divided: 2/8 is every eighth job, from the second on. */
export interface Shard {
  readonly index: number;
  readonly of: number;
}

export interface FoundJobs {
  readonly paths: readonly string[];
  /** How many jobs there are, of every shard; undefined where a stream is among them. */
  readonly count: number | undefined;
  readonly missing: readonly MissingFiles[];
  /** As they come: of a stream what is there at once. */
  readonly jobs: () => AsyncGenerator<readonly BatchJob[]>;
}

/** Readings files, folders and globs of them, and the lines of standard input for `-`, in that order. */
export async function findJobs(world: World, given: readonly string[]): Promise<FoundJobs> {
  const { paths, missing } = await findFiles(world, given, readingsEndings);
  return {
    paths,
    count: paths.includes('-') ? undefined : paths.length,
    missing,
    jobs: async function* () {
      for (const path of paths) {
        if (path !== '-') yield [{ kind: 'file', path }];
        else
          for await (const lines of linesOf(world.readChunks(), limits.jobBytes))
            yield lines.map((line) => ({ kind: 'line', line }));
      }
    },
  };
}

/**
 * The jobs of a shard, `size` at most at once, and no fewer than that but where a stream has no more to give yet. `seen`
 * is told of all that come, and says whether to go on.
 */
export async function* handfuls(
  given: AsyncIterable<readonly BatchJob[]>,
  { index, of }: Shard,
  size: number,
  seen: (jobs: number) => boolean,
): AsyncGenerator<readonly BatchJob[]> {
  let number = 0;
  let handful: BatchJob[] = [];
  for await (const group of given) {
    if (!seen(group.length)) return;
    for (const job of group) {
      number += 1;
      if ((number - index) % of === 0) handful.push(job);
      if (handful.length < size) continue;
      yield handful;
      handful = [];
    }
    // More files are always at hand; the next line may be long in coming.
    if (handful.length === 0 || group[0]?.kind === 'file') continue;
    yield handful;
    handful = [];
  }
  if (handful.length > 0) yield handful;
}
