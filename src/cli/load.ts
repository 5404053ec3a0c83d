import { dirname, isAbsolute, join, normalize } from 'node:path';
import { type Opened, type OpenedCircuit, openCircuit, openJob, unopened } from '../answer/answer.js';
import type { Circuit } from '../circuit/circuit.js';
import type { Job } from '../meter/meter.js';
import {
  decode,
  limits,
  type Raw,
  type ReadFile,
  readCircuitFile,
  readReadingsFile,
  type Source,
} from '../text/text.js';
import type { World } from './world.js';

/** A file that was read, for the record of a JSON answer. */
export interface Input {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** What was opened, with the files it was made from. */
export interface Loaded<Value> extends Opened<Value> {
  readonly inputs: readonly Input[];
}

/** A circuit file from the disk to the model. */
export async function loadCircuit(world: World, path: string): Promise<Loaded<OpenedCircuit>> {
  const { source, unusable, inputs } = await readSource(world, path, limits.circuitBytes);
  const opened = source === undefined ? unusable : openCircuit(readCircuitFile(source));
  return { ...opened, inputs };
}

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
  const { source, unusable, inputs } = await readSource(world, path, limits.readingsBytes);
  if (source === undefined) return { ...unusable, inputs };
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
function besideReadings(readings: string, circuit: string | undefined): string | undefined {
  if (circuit === undefined) return undefined;
  if (isAbsolute(circuit) || readings === '-') return circuit;
  return normalize(join(dirname(readings), circuit)).replaceAll('\\', '/');
}

async function readSource(
  world: World,
  path: string,
  most: number,
): Promise<{ source: Source | undefined; unusable: Opened<never>; inputs: Input[] }> {
  const bytes = await world.readBytes(path, most);
  const name = path === '-' ? 'standard input' : path;
  const { source, problems } = decode(name, bytes, most);
  return { source, unusable: unopened(problems), inputs: [{ path: name, bytes }] };
}
