import {
  compareJob,
  type Opened,
  openCircuit,
  readCircuitGiven,
  readReadings,
  unopened,
  unusableFields,
} from '../../answer/answer.js';
import type { Json } from '../../answers.js';
import { answerHead, checkJson, clean, jsonLine, type Problem } from '../../report/report.js';
import {
  type Document,
  decode,
  limits,
  partOf,
  type Raw,
  readBatchJob,
  readCircuitData,
  readReadingsData,
  type Source,
} from '../../text/text.js';
import { recordOf } from '../deliver.js';
import { exitStatus } from '../exit-status.js';
import { type CircuitLoader, type Input, joinJob, type LoadingJob, loadCircuit, loadJob } from '../load.js';
import { verdictStatus } from '../verdict-status.js';
import { FileTrouble, isFileTrouble, type World } from '../world.js';
import type { AnsweredJob, BatchJob, JobOptions } from './batch-job.js';
import { KeptCircuits } from './kept-circuits.js';
import type { Line } from './lines.js';

/** Answers jobs one after the other; whatever is wrong with one is its own answer and nobody else's. */
export class JobAnswerer {
  private readonly world: World;
  private readonly options: JobOptions;
  private readonly circuits = new KeptCircuits();

  constructor(world: World, options: JobOptions) {
    this.world = world;
    this.options = options;
  }

  async answer(job: BatchJob): Promise<AnsweredJob> {
    let mark: Json.BatchJob = job.kind === 'file' ? { path: job.path } : { line: job.line.number };
    try {
      if (job.kind === 'file') return await this.answered(mark, await this.fromFile(job.path));
      const { document, raw, wrong } = readLine(job.line);
      if (raw?.id !== undefined) mark = { ...mark, id: raw.id };
      const loaded =
        wrong === undefined && document !== undefined && raw !== undefined
          ? await this.fromLine(document, raw)
          : { ...(wrong ?? unopened([])), inputs: [] };
      return await this.answered(mark, loaded);
    } catch (error) {
      if (!isFileTrouble(error)) return defective(mark, error);
      const problem = ofFile(error.path, 'file-unusable', { reason: error.message });
      return this.answered(mark, { ...unopened([problem]), inputs: [] });
    }
  }

  private async answered(mark: Json.BatchJob, loaded: LoadingJob): Promise<AnsweredJob> {
    const head = { job: mark, ...answerHead('check', await recordOf(loaded.inputs)) };
    if (loaded.value === undefined) return unusable(head, loaded);
    const { answer, onward } = compareJob(loaded.value.circuit, loaded.value.job);
    const { verdict } = answer;
    return {
      text: jsonLine({ ...head, ...checkJson(answer, onward) }),
      verdict,
      status: verdictStatus[verdict],
    };
  }

  private async fromFile(path: string): Promise<LoadingJob> {
    const loaded = await loadJob(this.world, path, this.options.circuit, this.circuitAt);
    return loaded.circuitMissing === true
      ? withoutCircuit(loaded, ofFile(path, 'key-missing', noCircuit))
      : loaded;
  }

  private readonly circuitAt: CircuitLoader = (path) =>
    this.circuits.get(`path ${path}`, () => loadCircuit(this.world, ofItsOwn(path)));

  /** Readings and circuit of a line, each as data, as text, or as the path of a file. */
  private async fromLine(document: Document, raw: Raw.RawJob): Promise<LoadingJob> {
    const { readings, circuit = this.options.circuit } = raw;
    const inline =
      circuit === undefined || isPath(circuit) ? undefined : this.inlineCircuit(document, circuit);
    const circuitAt = inline === undefined ? this.circuitAt : () => inline;
    const path = inline === undefined ? (circuit as string | undefined) : 'the circuit of this line';
    const loaded = isPath(readings)
      ? await loadJob(this.world, ofItsOwn(readings), path, circuitAt)
      : await joinJob({ read: this.inlineReadings(document, raw), inputs: [], path: '-' }, path, circuitAt);
    if (loaded.circuitMissing !== true) return loaded;
    const at = document.locate(['readings'], 'key');
    return withoutCircuit(loaded, { code: 'key-missing', data: noCircuit, at });
  }

  private inlineReadings(
    document: Document,
    { readings, name }: Raw.RawJob,
  ): ReturnType<typeof readReadings> {
    if (typeof readings !== 'string') return readReadingsData(partOf(document, 'readings', readings));
    return readReadings(readings, name ?? `readings of line ${document.source.firstLine}`);
  }

  private inlineCircuit(document: Document, circuit: string | object): ReturnType<CircuitLoader> {
    const isText = typeof circuit === 'string';
    return this.circuits.get(isText ? circuit : JSON.stringify(circuit), async () => {
      const read = isText
        ? readCircuitGiven(circuit, `circuit of line ${document.source.firstLine}`)
        : readCircuitData(partOf(document, 'circuit', circuit));
      return { ...openCircuit(read), inputs: [] };
    });
  }
}

const noCircuit = { key: 'circuit' };

/** Standard input may hold the jobs: none of them can have it for itself. */
function ofItsOwn(path: string): string {
  if (path === '-') throw new FileTrouble(path, 'a job needs a file of its own, not standard input');
  return path;
}

/** A text of one line. */
function isPath(given: string | object): given is string {
  return typeof given === 'string' && !/[\r\n]/.test(given);
}

function readLine({ number, bytes, tooLong }: Line): {
  readonly document?: Document;
  readonly raw?: Raw.RawJob;
  readonly wrong?: Opened<never>;
} {
  const name = 'standard input';
  if (tooLong !== undefined) {
    const data = { what: 'bytes', found: tooLong, limit: limits.jobBytes, unit: 'bytes' };
    const at = { source: { name, text: '', firstLine: number }, span: { start: 0, end: 0 } };
    return { wrong: unopened([{ code: 'limit-exceeded', data, at }]) };
  }
  const { source, problems } = decode(name, bytes);
  if (source === undefined) return { wrong: unopened(problems.map((problem) => onLine(problem, number))) };
  const { file, mended, problems: found, more } = readBatchJob({ ...source, firstLine: number });
  if (file !== undefined) return file;
  return { ...(mended === undefined ? {} : { raw: mended.raw }), wrong: unopened(found, more) };
}

/** A problem found before the line's number was known to its text. */
function onLine<Found extends Problem>(problem: Found, firstLine: number): Found {
  return { ...problem, at: { ...problem.at, source: { ...problem.at.source, firstLine } } };
}

function ofFile<Code extends 'file-unusable' | 'key-missing', Data>(
  name: string,
  code: Code,
  data: Data,
): { code: Code; data: Data; at: { source: Source; span: { start: number; end: number } } } {
  return { code, data, at: { source: { name, text: '' }, span: { start: 0, end: 0 } } };
}

function withoutCircuit({ inputs }: { readonly inputs: readonly Input[] }, problem: Problem): LoadingJob {
  return { ...unopened([problem]), inputs };
}

function unusable(head: object, loaded: LoadingJob): AnsweredJob {
  const fields = unusableFields(loaded);
  const [first] = fields.problems;
  const others = fields.problems.length + fields.more - 1;
  const trouble =
    first === undefined
      ? {}
      : {
          trouble: `${clean(first.file)}:${first.line}:${first.column}: ${first.severity}: ${first.message}${others > 0 ? ` (and ${others} more)` : ''}`,
        };
  return {
    text: jsonLine({ ...head, ...fields }),
    verdict: 'unusable',
    status: exitStatus.unusable,
    ...trouble,
  };
}

/** What loadside could not do, though nothing is wrong with the job as far as it is known. */
export function defective(mark: Json.BatchJob, error: unknown): AnsweredJob {
  const what = error instanceof Error ? error.message : String(error);
  return {
    text: jsonLine({ job: mark, ...answerHead('check', []), verdict: 'defect', defect: what }),
    verdict: 'defect',
    status: exitStatus.defect,
    trouble: `a defect in loadside at ${clean(JSON.stringify(mark))}: ${clean(what)}`,
  };
}
