import type { Circuit } from '../../circuit/circuit.js';
import { checkJob, type NextAnswer, proposeNext } from '../../diagnose/diagnose.js';
import { asHtml, asMarkdown, nextJson, nextPaper, nextTable } from '../../report/report.js';
import { deliver, type OutputOptions, refuseName } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { withJob } from '../with-job.js';
import type { World } from '../world.js';

export interface NextOptions extends OutputOptions {
  /** In place of the circuit the readings file names. */
  readonly circuit?: string;
  /** Nodes that can't be reached. */
  readonly skip: readonly string[];
}

export async function runNext(world: World, readings: string, options: NextOptions): Promise<ExitStatus> {
  return withJob(world, readings, 'next', options, async ({ circuit, job }, inputs) => {
    const skip = readSkipped(world, circuit, options.skip);
    if (skip === undefined) return exitStatus.unusable;
    const answer = proposeNext(circuit, job, checkJob(circuit, job), { skip });
    await deliver(world, options, 'next', inputs, {
      table: (style) => nextTable(answer, style),
      json: () => nextJson(answer),
      markdown: () => asMarkdown(nextPaper(answer)),
      html: () => asHtml(nextPaper(answer)),
    });
    return statusOf(answer);
  });
}

/** A reading to take, or none needed, is an answer. */
function statusOf({ proposals, reason }: NextAnswer): ExitStatus {
  const answered =
    proposals.length > 0 || reason === 'agrees' || reason === 'bounded' || reason === 'settled';
  return answered ? exitStatus.agrees : exitStatus.undecided;
}

/** Undefined, and told, when one is no node of this circuit. */
function readSkipped(
  world: World,
  circuit: Circuit,
  names: readonly string[],
): ReadonlySet<number> | undefined {
  const skip = new Set<number>();
  for (const name of names) {
    const node = circuit.nodeByName.get(name);
    if (node === undefined) {
      refuseName(world, 'node', name, [...circuit.nodeByName.keys()]);
      return undefined;
    }
    skip.add(node);
  }
  return skip;
}
