import { type OpenedCircuit, rate, sift, unused } from '../../answer/answer.js';
import { auditCircuit, testabilityProblems, testFaults } from '../../diagnose/diagnose.js';
import { readExpectations } from '../../meter/meter.js';
import {
  type ValidateAnswer,
  type ValidatedFile,
  type ValidateVerdict,
  validateGithub,
  validateJson,
  validateJunit,
  validateSarif,
  validateTable,
  verdictOf,
  version,
} from '../../report/report.js';
import { deliver, type OutputOptions, refuse, tellTrouble } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { circuitEndings, findFiles } from '../find-files.js';
import { type Input, type Loaded, loadCircuit } from '../load.js';
import { type ThresholdOptions, thresholdsOf } from '../threshold-options.js';
import { isFileTrouble, type World } from '../world.js';

export interface ValidateOptions extends OutputOptions, ThresholdOptions {
  readonly maxWarnings?: number;
}

const statusOf: Readonly<Record<ValidateVerdict, ExitStatus>> = {
  valid: exitStatus.agrees,
  invalid: exitStatus.found,
  unusable: exitStatus.unusable,
};

export async function runValidate(
  world: World,
  given: readonly string[],
  options: ValidateOptions,
): Promise<ExitStatus> {
  if (given.filter((path) => path === '-').length > 1) {
    return refuse(world, 'standard input can be read once only.', 'Give the other circuits as files.');
  }
  const { paths, missing } = await findFiles(world, given, circuitEndings);
  const troubles = [...missing];
  const files: ValidatedFile[] = [];
  const inputs: Input[] = [];
  for (const path of paths) {
    const loaded = await loadOrTell(world, path);
    if ('reason' in loaded) {
      troubles.push(loaded);
      continue;
    }
    inputs.push(...loaded.inputs);
    files.push(validated(loaded.inputs[0]?.path ?? path, loaded, options));
  }
  for (const { path, reason } of troubles) tellTrouble(world, { path, message: reason });
  const answer: ValidateAnswer = { files, troubles, mostWarnings: options.maxWarnings };
  const status = statusOf[verdictOf(answer)];
  await deliver(world, options, 'validate', inputs, {
    table: (style) => validateTable(answer, style),
    json: () => validateJson(answer),
    junit: () => validateJunit(answer),
    sarif: () => validateSarif(answer, version, status),
    github: () => validateGithub(answer),
  });
  return status;
}

/** A file that can't be opened is told by name, and the others are still looked at. */
async function loadOrTell(
  world: World,
  path: string,
): Promise<Loaded<OpenedCircuit> | ValidateAnswer['troubles'][number]> {
  try {
    return await loadCircuit(world, path);
  } catch (error) {
    if (!isFileTrouble(error)) throw error;
    return { path: error.path, reason: error.message };
  }
}

function validated(path: string, loaded: Loaded<OpenedCircuit>, options: ThresholdOptions): ValidatedFile {
  const { value, problems, more, unreadable, allowed = [] } = loaded;
  if (value === undefined) return { path, problems, more, unreadable, allowed };
  const { circuit, raw, allowances } = value;
  const { expectations, problems: unread } = readExpectations(circuit, raw.expectations ?? []);
  const audit = auditCircuit(circuit, expectations);
  const thresholds = thresholdsOf(options);
  const asked = Object.keys(thresholds).length > 0;
  const short = asked
    ? testabilityProblems(
        testFaults(circuit, undefined, () => {}),
        thresholds,
      )
    : [];
  const sifted = sift(rate([...unread, ...audit.problems, ...short]), allowances);
  const passed = [...allowed, ...sifted.allowed];
  const kept = [...problems, ...sifted.kept];
  // Where something is wrong not everything else is looked for: a remark may be about that.
  const isSound = kept.every(({ severity }) => severity !== 'error');
  const looked = allowances.filter(({ code }) => code !== 'testability-low' || asked);
  const idle = isSound && audit.complete ? unused(looked, passed) : [];
  return {
    path,
    unreadable: false,
    problems: [...kept, ...rate(idle)],
    more: 0,
    allowed: passed,
    done: {
      parts: circuit.parts.size,
      nodes: circuit.nodes.length,
      states: audit.states,
      complete: audit.complete,
      expectations: audit.expectations,
    },
  };
}
