import { compareJob } from '../../answer/answer.js';
import { type Fault, faultName } from '../../circuit/circuit.js';
import type { CheckAnswer } from '../../diagnose/diagnose.js';
import { checkJson, checkTable, clean } from '../../report/report.js';
import { deliver, hint, type OutputOptions } from '../deliver.js';
import type { ExitStatus } from '../exit-status.js';
import { stateOptions } from '../state-option.js';
import { verdictStatus } from '../verdict-status.js';
import { withJob } from '../with-job.js';
import type { World } from '../world.js';

export interface CheckOptions extends OutputOptions {
  /** In place of the circuit the readings file names. */
  readonly circuit?: string;
  readonly verbose?: boolean;
}

export async function runCheck(world: World, readings: string, options: CheckOptions): Promise<ExitStatus> {
  return withJob(world, readings, 'check', options, async ({ circuit, job, circuitPath }, inputs) => {
    const { answer, onward } = compareJob(circuit, job);
    await deliver(world, options, 'check', inputs, {
      table: (style) => checkTable(answer, onward, style, options.verbose),
      json: () => checkJson(answer, onward),
    });
    const command = nextCommand(answer, circuitPath);
    if (command !== undefined) hint(world, options, `What would be read then: ${command}`);
    return verdictStatus[answer.verdict];
  });
}

/** Ready to paste: what every test point would read with the best suspect. */
function nextCommand(
  { suspects, firstDiscrepancy, readings, symptoms }: CheckAnswer,
  circuitPath: string,
): string | undefined {
  const [best] = suspects;
  if (best === undefined || firstDiscrepancy === undefined) return undefined;
  const { kind, index } = firstDiscrepancy;
  const state =
    kind === 'reading'
      ? readings.find((each) => each.reading.index === index)?.reading.state
      : symptoms.find((each) => each.symptom.index === index)?.symptom.state;
  const settings = state && stateOptions(state);
  if (settings === undefined) return undefined;
  const words = [
    'loadside',
    'expect',
    circuitPath,
    ...settings.flatMap((each) => ['--state', each]),
    ...best.faults.flatMap((fault) => ['--fault', faultName(inTheMiddle(fault))]),
  ];
  return words.map((word) => clean(quoted(word))).join(' ');
}

/** Of a stretch of values the middle one on a scale of ratios, to three digits. */
function inTheMiddle(fault: Fault): Fault {
  if (fault.value === undefined) return fault;
  const { low, high, unit } = fault.value;
  const middle = Number((Number.isFinite(high) ? Math.sqrt(low * high) : low).toPrecision(3));
  return { ...fault, value: { low: middle, high: middle, unit } };
}

function quoted(word: string): string {
  return /^[\w./:=+@%-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}
