import { dirname, isAbsolute, join, normalize } from 'node:path';
import type { Circuit } from '../circuit/circuit.js';
import { type Job, readJob } from '../meter/meter.js';
import { limits, readReadingsFile } from '../text/text.js';
import { loadCircuit } from './load-circuit.js';
import { isUnreadable, type Loaded, rate, ratedList, readSource, unrelated } from './loaded.js';
import type { World } from './world.js';

export { type LoadedCircuit, loadCircuit } from './load-circuit.js';
export { type Input, type Loaded, rate } from './loaded.js';

export interface LoadedJob {
  readonly circuit: Circuit;
  readonly circuitPath: string;
  readonly job: Job;
}

/**
 * A readings file and its circuit: the one it names (relative to itself), or the one given. Standard input has
 * no place of its own, so names in it are relative to the working folder.
 */
export async function loadJob(
  world: World,
  path: string,
  givenCircuit: string | undefined,
): Promise<Loaded<LoadedJob> & { readonly circuitMissing?: boolean }> {
  const { source, inputs, problems: undecoded } = await readSource(world, path, limits.readingsBytes);
  if (source === undefined) return { problems: rate(undecoded), more: 0, unreadable: true, inputs };
  const { file, mended, problems, more } = await readReadingsFile(source);
  const read = file ?? mended;
  const unusable = { ...ratedList(problems, more, source.name), unreadable: isUnreadable(problems), inputs };
  const circuitPath = givenCircuit ?? besideReadings(path, read?.raw.circuit);
  if (read === undefined || (circuitPath === undefined && mended !== undefined)) return unusable;
  if (circuitPath === undefined) return { ...unusable, circuitMissing: true };
  const circuit = await loadCircuit(world, circuitPath);
  const both = [...inputs, ...circuit.inputs];
  if (circuit.value === undefined) {
    return mended === undefined ? { ...withoutValue(circuit), inputs: both } : { ...unusable, inputs: both };
  }
  const { job, problems: found } = readJob(circuit.value.circuit, read.document, read.raw);
  const own =
    mended === undefined
      ? found
      : [...problems, ...unrelated(found, { names: mended.omitted, prefixes: [], guessed: mended.guessed })];
  const told = ratedList(own, more, source.name);
  const loaded = {
    ...told,
    problems: [...circuit.problems, ...told.problems],
    unreadable: false,
    inputs: both,
  };
  return own.length > 0 ? loaded : { ...loaded, value: { circuit: circuit.value.circuit, circuitPath, job } };
}

function withoutValue({
  problems,
  more,
  unreadable,
}: Loaded<unknown>): Omit<Loaded<never>, 'value' | 'inputs'> {
  return { problems, more, unreadable };
}

/** Relative to the readings file; forward slashes, so that output is the same everywhere. */
export function besideReadings(readings: string, circuit: string | undefined): string | undefined {
  if (circuit === undefined) return undefined;
  if (isAbsolute(circuit) || readings === '-') return circuit;
  return normalize(join(dirname(readings), circuit)).replaceAll('\\', '/');
}
