import { rate } from '../../answer/answer.js';
import { auditCircuit } from '../../diagnose/diagnose.js';
import { readExpectations } from '../../meter/meter.js';
import { clean, isValid, type ValidatedFile, validateJson, validateTable } from '../../report/report.js';
import { deliver, type OutputOptions, refuse, tellTrouble } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { circuitEndings, findFiles } from '../find-files.js';
import { type Input, loadCircuit } from '../load.js';
import { isFileTrouble, type World } from '../world.js';

export async function runValidate(
  world: World,
  given: readonly string[],
  options: OutputOptions,
): Promise<ExitStatus> {
  if (given.filter((path) => path === '-').length > 1) {
    return refuse(world, 'standard input can be read once only.', 'Give the other circuits as files.');
  }
  const { paths, missing } = await findFiles(world, given, circuitEndings);
  for (const { path, reason } of missing) refuse(world, `${clean(path)}: ${clean(reason)}`);
  const files: ValidatedFile[] = [];
  const inputs: Input[] = [];
  let unreadable = missing.length > 0;
  for (const path of paths) {
    const loaded = await loadOrTell(world, path);
    if (loaded === undefined) {
      unreadable = true;
      continue;
    }
    inputs.push(...loaded.inputs);
    unreadable ||= loaded.unreadable;
    const name = loaded.inputs[0]?.path ?? path;
    const { problems, more } = loaded;
    files.push(
      loaded.value === undefined ? { path: name, problems, more } : validated(name, loaded.value, problems),
    );
  }
  await deliver(world, options, 'validate', inputs, {
    table: (style) => validateTable(files, style),
    json: () => validateJson(files),
  });
  if (unreadable) return exitStatus.unusable;
  return files.every(isValid) ? exitStatus.agrees : exitStatus.found;
}

/** A file that is not there is told by name, and the others are still looked at. */
async function loadOrTell(
  world: World,
  path: string,
): Promise<Awaited<ReturnType<typeof loadCircuit>> | undefined> {
  try {
    return await loadCircuit(world, path);
  } catch (error) {
    if (!isFileTrouble(error)) throw error;
    tellTrouble(world, error);
    return undefined;
  }
}

type Value = NonNullable<Awaited<ReturnType<typeof loadCircuit>>['value']>;

function validated(
  path: string,
  { circuit, raw }: Value,
  warnings: ValidatedFile['problems'],
): ValidatedFile {
  const { expectations, problems: unread } = readExpectations(circuit, raw.expectations ?? []);
  const audit = auditCircuit(circuit, expectations);
  return {
    path,
    problems: [...warnings, ...rate(unread), ...rate(audit.problems)],
    more: 0,
    done: {
      parts: circuit.parts.size,
      nodes: circuit.nodes.length,
      states: audit.states,
      complete: audit.complete,
      expectations: audit.expectations,
    },
  };
}
