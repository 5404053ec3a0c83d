import { faultName } from '../../circuit/circuit.js';
import { type CheckAnswer, type CheckVerdict, checkJob } from '../../diagnose/diagnose.js';
import { checkJson, checkTable, clean } from '../../report/report.js';
import { deliver, deliverUnusable, hint, type OutputOptions, refuse, warn } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { loadJob } from '../load.js';
import { stateOptions } from '../state-option.js';
import type { World } from '../world.js';

export interface CheckOptions extends OutputOptions {
  /** In place of the circuit the readings file names. */
  readonly circuit?: string;
}

const statusOf: Readonly<Record<CheckVerdict, ExitStatus>> = {
  agrees: exitStatus.agrees,
  bounded: exitStatus.found,
  ambiguous: exitStatus.found,
  unexplained: exitStatus.found,
  undecided: exitStatus.undecided,
};

export async function runCheck(world: World, readings: string, options: CheckOptions): Promise<ExitStatus> {
  if (readings === '-' && options.circuit === '-') {
    return refuse(
      world,
      'standard input can be read once only.',
      'Give the readings or the circuit as a file.',
    );
  }
  const loaded = await loadJob(world, readings, options.circuit);
  if (loaded.circuitMissing === true) {
    return refuse(
      world,
      `${clean(readings)} names no circuit.`,
      'Give one: --circuit FILE, or `circuit: FILE` in the readings file.',
    );
  }
  if (loaded.value === undefined) return deliverUnusable(world, options, 'check', loaded);
  warn(world, options, loaded);
  const { circuit, job, circuitPath } = loaded.value;
  const answer = checkJob(circuit, job);
  await deliver(world, options, 'check', loaded.inputs, {
    table: (style) => checkTable(answer, style),
    json: () => checkJson(answer),
  });
  const next = nextCommand(answer, circuitPath);
  if (next !== undefined) hint(world, options, `What would be read then: ${next}`);
  return statusOf[answer.verdict];
}

/** Ready to paste: what every test point would read with the best suspect. */
function nextCommand(
  { suspects, firstDiscrepancy, readings, symptoms }: CheckAnswer,
  circuitPath: string,
): string | undefined {
  const [fault] = suspects[0]?.faults ?? [];
  if (fault === undefined || firstDiscrepancy === undefined) return undefined;
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
    '--fault',
    faultName(fault),
  ];
  return words.map((word) => clean(quoted(word))).join(' ');
}

function quoted(word: string): string {
  return /^[\w./:=+@%-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}
