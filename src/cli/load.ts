import { dirname, isAbsolute, join, normalize } from 'node:path';
import { buildCircuit, type Circuit, circuitSeverities, wholeCircuit } from '../circuit/circuit.js';
import { auditSeverities } from '../diagnose/diagnose.js';
import { type Job, meterSeverities, readExpectations, readJob } from '../meter/meter.js';
import { practiceSeverities } from '../practice/practice.js';
import type { Problem, RatedProblem } from '../report/report.js';
import {
  byPlace,
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

const severities = {
  ...textSeverities,
  ...circuitSeverities,
  ...meterSeverities,
  ...auditSeverities,
  ...practiceSeverities,
};

/** Problems with how much they matter: each floor's own table says. */
export function rate(problems: readonly Problem[]): RatedProblem[] {
  return problems.map((problem) => ({ problem, severity: severities[problem.code] }));
}

export interface LoadedCircuit {
  readonly circuit: Circuit;
  readonly raw: Raw.RawCircuit;
}

/** A circuit file from the disk to the model. One with errors is looked through to its end all the same. */
export async function loadCircuit(world: World, path: string): Promise<Loaded<LoadedCircuit>> {
  const { source, inputs, problems: undecoded } = await readSource(world, path, limits.circuitBytes);
  if (source === undefined) return { problems: rate(undecoded), more: 0, unreadable: true, inputs };
  const { file, mended, problems, more } = readCircuitFile(source);
  if (file === undefined) {
    const further = mended === undefined ? [] : unrelated(circuitProblems(mended), mended.omitted);
    return { ...listed([...problems, ...further], more), unreadable: isUnreadable(problems), inputs };
  }
  const built = buildCircuit(file.document, file.raw);
  const found = built.circuit === undefined ? circuitProblems(file) : built.problems;
  const loaded = { ...listed(found, 0), unreadable: false, inputs };
  return built.circuit === undefined
    ? loaded
    : { ...loaded, value: { circuit: built.circuit, raw: file.raw } };
}

/** Everything wrong in a circuit file, its expectations included. */
function circuitProblems({
  document,
  raw,
}: {
  readonly document: Document;
  readonly raw: Raw.RawCircuit;
}): readonly Problem[] {
  const { partial, problems } = buildCircuit(document, raw);
  return [...problems, ...readExpectations(partial, raw.expectations ?? []).problems];
}

/** What is wrong by itself: neither for referring to something left out, nor for being left alone by it. */
function unrelated(problems: readonly Problem[], omitted: ReadonlySet<string>): readonly Problem[] {
  return problems.filter((problem) => {
    if (problem.code === 'node-dangling') return false;
    if (problem.code === 'key-needed' && problem.data.part === wholeCircuit) return false;
    if (problem.code !== 'reference-unknown') return true;
    const { found, of } = problem.data;
    const [owner = found] = found.split('.');
    return !omitted.has(found) && !omitted.has(owner) && !(of !== undefined && omitted.has(of));
  });
}

/** By place, each once, and no more than a person reads. */
export function listed(problems: readonly Problem[], more: number): Pick<Loaded<never>, 'problems' | 'more'> {
  const seen = new Set<string>();
  const once = problems.filter(({ code, at }) => {
    const key = `${code} ${at.span.start} ${at.span.end}`;
    return !seen.has(key) && seen.add(key);
  });
  const shown = [...once].sort(byPlace).slice(0, limits.problems);
  return { problems: rate(shown), more: more + once.length - shown.length };
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
  const { file, mended, problems, more } = await readReadingsFile(source);
  const read = file ?? mended;
  const unusable = { ...listed(problems, more), unreadable: isUnreadable(problems), inputs };
  const circuitPath = givenCircuit ?? besideReadings(path, read?.raw.circuit);
  if (read === undefined || (circuitPath === undefined && mended !== undefined)) return unusable;
  if (circuitPath === undefined) return { ...unusable, circuitMissing: true };
  const circuit = await loadCircuit(world, circuitPath);
  const both = [...inputs, ...circuit.inputs];
  if (circuit.value === undefined) {
    return mended === undefined ? { ...withoutValue(circuit), inputs: both } : { ...unusable, inputs: both };
  }
  const { job, problems: found } = readJob(circuit.value.circuit, read.document, read.raw);
  const own = mended === undefined ? found : [...problems, ...unrelated(found, mended.omitted)];
  const told = listed(own, more);
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
function besideReadings(readings: string, circuit: string | undefined): string | undefined {
  if (circuit === undefined) return undefined;
  if (isAbsolute(circuit) || readings === '-') return circuit;
  return normalize(join(dirname(readings), circuit)).replaceAll('\\', '/');
}

export async function readSource(
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
export function isUnreadable(problems: readonly Problem[]): boolean {
  return problems.some(({ code }) => /^(encoding|character|limit|yaml|csv|file)-/.test(code));
}
