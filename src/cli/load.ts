import { dirname, isAbsolute, join, normalize } from 'node:path';
import { buildCircuit, type Circuit, circuitSeverities } from '../circuit/circuit.js';
import { auditSeverities } from '../diagnose/diagnose.js';
import { type Job, meterSeverities, readJob } from '../meter/meter.js';
import type { Problem, RatedProblem } from '../report/report.js';
import {
  type Document,
  decode,
  limits,
  type Raw,
  readCircuitFile,
  readReadingsFile,
  type Source,
  textSeverities,
} from '../text/text.js';
import type { World } from './world.js';

/** A file that was read, for the record of a JSON answer. */
export interface Input {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** Problems found on the way to something loaded; `value` is there when none of them is an error. */
export interface Loaded<Value> {
  readonly value?: Value;
  readonly problems: readonly RatedProblem[];
  readonly more: number;
  /** The text itself could not be read as a file of its kind (encoding, YAML, limits). */
  readonly unreadable: boolean;
  readonly inputs: readonly Input[];
}

const severities = { ...textSeverities, ...circuitSeverities, ...meterSeverities, ...auditSeverities };

/** Problems with how much they matter: each floor's own table says. */
export function rate(problems: readonly Problem[]): RatedProblem[] {
  return problems.map((problem) => ({ problem, severity: severities[problem.code] }));
}

export interface LoadedCircuit {
  readonly circuit: Circuit;
  readonly raw: Raw.RawCircuit;
}

/** A circuit file from the disk to the model, stopping after the first stage that finds errors. */
export async function loadCircuit(world: World, path: string): Promise<Loaded<LoadedCircuit>> {
  const { source, inputs, problems: undecoded } = await readSource(world, path, limits.circuitBytes);
  if (source === undefined) return { problems: rate(undecoded), more: 0, unreadable: true, inputs };
  const { file, problems, more } = readCircuitFile(source);
  if (file === undefined)
    return { problems: rate(problems), more, unreadable: isUnreadable(problems), inputs };
  const built = buildCircuit(file.document, file.raw);
  const cut = built.problems.slice(0, limits.problems);
  const found = { problems: rate(cut), more: built.problems.length - cut.length, unreadable: false, inputs };
  return built.circuit === undefined ? found : { ...found, value: { circuit: built.circuit, raw: file.raw } };
}

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
  const { file, problems, more } = await readReadingsFile(source);
  if (file === undefined)
    return { problems: rate(problems), more, unreadable: isUnreadable(problems), inputs };
  const circuitPath = givenCircuit ?? besideReadings(path, file.raw.circuit);
  if (circuitPath === undefined)
    return { problems: [], more: 0, unreadable: false, inputs, circuitMissing: true };
  const circuit = await loadCircuit(world, circuitPath);
  const both = [...inputs, ...circuit.inputs];
  if (circuit.value === undefined) return { ...withoutValue(circuit), inputs: both };
  const job = understand(circuit.value.circuit, circuitPath, file.document, file.raw, both);
  return { ...job, problems: [...circuit.problems, ...job.problems] };
}

function understand(
  circuit: Circuit,
  circuitPath: string,
  document: Document,
  raw: Raw.RawReadings,
  inputs: readonly Input[],
): Loaded<LoadedJob> {
  const { job, problems: found } = readJob(circuit, document, raw);
  const cut = found.slice(0, limits.problems);
  const result = { problems: rate(cut), more: found.length - cut.length, unreadable: false, inputs };
  return found.length > 0 ? result : { ...result, value: { circuit, circuitPath, job } };
}

function withoutValue({
  problems,
  more,
  unreadable,
}: Loaded<unknown>): Omit<Loaded<never>, 'value' | 'inputs'> {
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
): Promise<{ source: Source | undefined; inputs: Input[]; problems: readonly Problem[] }> {
  const bytes = await world.readBytes(path, most);
  const name = path === '-' ? 'standard input' : path;
  const { source, problems } = decode(name, bytes, most);
  return { source: problems.length > 0 ? undefined : source, inputs: [{ path: name, bytes }], problems };
}

/** Problems of the text as text: before anyone could look for keys and values. */
function isUnreadable(problems: readonly Problem[]): boolean {
  return problems.some(({ code }) => /^(encoding|character|limit|yaml|csv|file)-/.test(code));
}
