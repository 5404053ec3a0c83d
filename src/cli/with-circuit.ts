import type { Circuit } from '../circuit/circuit.js';
import { deliverUnusable, type OutputOptions, warn } from './deliver.js';
import type { ExitStatus } from './exit-status.js';
import { type Input, loadCircuit } from './load.js';
import type { World } from './world.js';

/** Runs a command on a circuit that could be loaded; tells what is wrong with one that could not. */
export async function withCircuit(
  world: World,
  path: string,
  command: string,
  options: OutputOptions,
  run: (circuit: Circuit, inputs: readonly Input[]) => Promise<ExitStatus>,
): Promise<ExitStatus> {
  const loaded = await loadCircuit(world, path);
  if (loaded.value === undefined) return deliverUnusable(world, options, command, loaded);
  warn(world, options, loaded);
  return run(loaded.value.circuit, loaded.inputs);
}
