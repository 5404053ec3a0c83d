import { buildCircuit, type Circuit } from '../circuit/circuit.js';
import { type Job, readExpectations, readJob } from '../meter/meter.js';
import type { Problem } from '../report/report.js';
import type { FileRead, Raw, ReadFile } from '../text/text.js';
import { listed, type Opened, unopened, unrelated } from './opened.js';

export interface OpenedCircuit {
  readonly circuit: Circuit;
  readonly raw: Raw.RawCircuit;
}

/** A circuit file that was read, to the model. One with errors is looked through to its end all the same. */
export function openCircuit(read: ReadFile<Raw.RawCircuit>): Opened<OpenedCircuit> {
  const { file, mended, problems, more } = read;
  if (file === undefined) {
    const further = mended === undefined ? [] : unrelated(circuitProblems(mended), mended.omitted);
    return { ...unopened(problems), ...listed([...problems, ...further], more) };
  }
  const built = buildCircuit(file.document, file.raw);
  const found = built.circuit === undefined ? circuitProblems(file) : built.problems;
  const opened = { ...listed(found, 0), unreadable: false };
  return built.circuit === undefined
    ? opened
    : { ...opened, value: { circuit: built.circuit, raw: file.raw } };
}

/** Everything wrong in a circuit file, its expectations included. */
function circuitProblems({ document, raw }: FileRead<Raw.RawCircuit>): readonly Problem[] {
  const { partial, problems } = buildCircuit(document, raw);
  return [...problems, ...readExpectations(partial, raw.expectations ?? []).problems];
}

/** A readings file that was read, on its circuit. One with errors is looked through to its end all the same. */
export function openJob(circuit: Circuit, read: ReadFile<Raw.RawReadings>): Opened<Job> {
  const { file, mended, problems, more } = read;
  const held = file ?? mended;
  if (held === undefined) return unopened(problems, more);
  const { job, problems: found } = readJob(circuit, held.document, held.raw);
  const own = mended === undefined ? found : [...problems, ...unrelated(found, mended.omitted)];
  const opened = { ...listed(own, more), unreadable: false };
  return own.length > 0 ? opened : { ...opened, value: job };
}
