import { auditCircuit } from '../../diagnose/diagnose.js';
import { readExpectations } from '../../meter/meter.js';
import { isValid, showJson, type ValidatedFile, validateJson, validateTable } from '../../report/report.js';
import { deliver, envelopeOf, type OutputOptions } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { type Input, loadCircuit, rate } from '../load.js';
import { styleFor } from '../terminal.js';
import type { World } from '../world.js';

export async function runValidate(
  world: World,
  paths: readonly string[],
  options: OutputOptions,
): Promise<ExitStatus> {
  const files: ValidatedFile[] = [];
  const inputs: Input[] = [];
  let unreadable = false;
  for (const path of paths) {
    const loaded = await loadCircuit(world, path);
    inputs.push(...loaded.inputs);
    unreadable ||= loaded.unreadable;
    const name = loaded.inputs[0]?.path ?? path;
    const { problems, more } = loaded;
    files.push(
      loaded.value === undefined ? { path: name, problems, more } : validated(name, loaded.value, problems),
    );
  }
  const text =
    options.format === 'json'
      ? showJson('validate', envelopeOf(inputs), validateJson(files))
      : validateTable(files, styleFor(world, 'out', options));
  await deliver(world, options, text);
  if (unreadable) return exitStatus.unusable;
  return files.every(isValid) ? exitStatus.agrees : exitStatus.found;
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
