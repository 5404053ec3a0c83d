import { dirname, isAbsolute, join, normalize } from 'node:path';
import { type Opened, type OpenedCircuit, openJob, unopened } from '../answer/answer.js';
import type { Circuit } from '../circuit/circuit.js';
import type { Job } from '../meter/meter.js';
import { limits, type Raw, type ReadFile, readReadingsFile } from '../text/text.js';
import { loadCircuit } from './load-circuit.js';
import { type Input, type Loaded, readSource } from './loaded.js';
import type { World } from './world.js';

export { loadCircuit } from './load-circuit.js';
export type { Input, Loaded } from './loaded.js';

export interface LoadedJob {
  readonly circuit: Circuit;
  readonly circuitPath: string;
  readonly job: Job;
}

/** A job, or what is wrong with it; `circuitMissing` where nothing says which circuit it is of. */
export type LoadingJob = Loaded<LoadedJob> & { readonly circuitMissing?: boolean };

/** How a circuit is come by: from the disk, or as it was loaded before. */
export type CircuitLoader = (path: string) => Promise<Loaded<OpenedCircuit>>;

/**
 * A readings file and its circuit: the one it names (relative to itself), or the one given. Standard input has
 * no place of its own, so names in it are relative to the working folder.
 */
export async function loadJob(
  world: World,
  path: string,
  givenCircuit: string | undefined,
  circuitAt: CircuitLoader = (circuit) => loadCircuit(world, circuit),
): Promise<LoadingJob> {
  const { source, problems, inputs } = await readSource(world, path, limits.readingsBytes);
  if (source === undefined) return { ...unopened(problems), inputs };
  return joinJob({ read: readReadingsFile(source), inputs, path }, givenCircuit, circuitAt);
}

/** Readings that were read, and where they stand, `-` for nowhere. */
export interface ReadReadings {
  readonly read: ReadFile<Raw.RawReadings>;
  readonly inputs: readonly Input[];
  readonly path: string;
}

/** The same with readings that were read already. */
export async function joinJob(
  { read, inputs, path }: ReadReadings,
  givenCircuit: string | undefined,
  circuitAt: CircuitLoader,
): Promise<LoadingJob> {
  const { file, mended, problems, more } = read;
  const held = file ?? mended;
  const unusable = { ...unopened(problems, more), inputs };
  const circuitPath = givenCircuit ?? besideReadings(path, held?.raw.circuit);
  if (held === undefined || (circuitPath === undefined && mended !== undefined)) return unusable;
  if (circuitPath === undefined) return { ...unusable, circuitMissing: true };
  const circuit = await circuitAt(circuitPath);
  const both = [...inputs, ...circuit.inputs];
  if (circuit.value === undefined) {
    return mended === undefined ? { ...withoutValue(circuit), inputs: both } : { ...unusable, inputs: both };
  }
  const { value: job, ...told } = openJob(circuit.value.circuit, read);
  const loaded = { ...told, problems: [...circuit.problems, ...told.problems], inputs: both };
  return job === undefined
    ? loaded
    : { ...loaded, value: { circuit: circuit.value.circuit, circuitPath, job } };
}

function withoutValue({ problems, more, unreadable }: Opened<unknown>): Opened<never> {
  return { problems, more, unreadable };
}

/** Relative to the readings file; forward slashes, so that output is the same everywhere. */
export function besideReadings(readings: string, circuit: string | undefined): string | undefined {
  if (circuit === undefined) return undefined;
  if (isAbsolute(circuit) || readings === '-') return circuit;
  return normalize(join(dirname(readings), circuit)).replaceAll('\\', '/');
}
