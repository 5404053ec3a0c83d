import type { CheckReport, UnusableReport } from '../answers.js';
import { answerHead, checkJson } from '../report/report.js';
import type { ReadOptions } from './circuit.js';
import { compareJob } from './compare-job.js';
import type { Given } from './given.js';
import { modelOf } from './model-of.js';
import { openJob } from './open-files.js';
import { readReadings } from './read-files.js';
import type { ReadyCircuit } from './ready-circuit.js';
import { unusableReport } from './unusable.js';

/**
 * Recorded readings against a circuit: the first discrepancy, what bounds it, every fault that explains all that was
 * seen, and the reading to take next. The same answer as `loadside check --format json`.
 *
 * `readings` is the text or the bytes of a readings file (YAML, or CSV with a `name` that ends so), or what one holds
 * as an object; the circuit it names is not looked for. With errors in it the answer is unusable, with all of them.
 */
export function check(
  circuit: ReadyCircuit,
  readings: Given,
  { name = 'readings' }: ReadOptions = {},
): CheckReport | UnusableReport<'check'> {
  const model = modelOf(circuit);
  const opened = openJob(model, readReadings(readings, name));
  if (opened.value === undefined) return unusableReport('check', opened);
  const { answer, onward } = compareJob(model, opened.value);
  return { ...answerHead('check', []), ...checkJson(answer, onward) };
}
