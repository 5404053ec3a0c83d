import { clean } from '../report/report.js';
import { deliverUnusable, type OutputOptions, refuse, warn } from './deliver.js';
import type { ExitStatus } from './exit-status.js';
import { type Input, type LoadedJob, loadJob } from './load.js';
import type { World } from './world.js';

/** Runs a command on readings that could be loaded, with their circuit; tells what is wrong with those that could not. */
export async function withJob(
  world: World,
  readings: string,
  command: string,
  options: OutputOptions & { readonly circuit?: string },
  run: (loaded: LoadedJob, inputs: readonly Input[]) => Promise<ExitStatus>,
): Promise<ExitStatus> {
  if (readings === '-' && options.circuit === '-') {
    return refuse(
      world,
      'standard input can be read once only.',
      'Give the readings or the circuit as a file.',
    );
  }
  const loaded = await loadJob(world, readings, options.circuit);
  if (loaded.circuitMissing === true) {
    return refuse(
      world,
      `${clean(readings)} names no circuit.`,
      'Give one: --circuit FILE, or `circuit: FILE` in the readings file.',
    );
  }
  if (loaded.value === undefined) return deliverUnusable(world, options, command, loaded);
  warn(world, options, loaded);
  return run(loaded.value, loaded.inputs);
}
