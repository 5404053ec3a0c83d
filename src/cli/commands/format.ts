import { formatJson, formatTable, type LaidOut } from '../../report/report.js';
import { decode, formatCircuit, limits } from '../../text/text.js';
import { deliver, deliverUnusable, type OutputOptions, refuse, tellTrouble } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { type Input, type Loaded, loadCircuit } from '../load.js';
import { isFileTrouble, type World } from '../world.js';

export interface FormatOptions extends OutputOptions {
  readonly write?: boolean;
  readonly check?: boolean;
}

/** Without --write or --check the text of the one file goes to standard output. */
export async function runFormat(
  world: World,
  paths: readonly string[],
  options: FormatOptions,
): Promise<ExitStatus> {
  const [first = ''] = paths;
  if (options.write !== true && options.check !== true) {
    if (paths.length === 1) return printFormatted(world, first, options);
    return refuse(world, 'only one file can be printed.', 'Rewrite them with --write, or look with --check.');
  }
  if (options.write === true && paths.includes('-')) {
    return refuse(world, 'standard input can not be rewritten.', 'Without --write its text is printed.');
  }
  const inputs: Input[] = [];
  const files: LaidOut[] = [];
  for (const path of paths) {
    const file = await formatInPlace(world, path, options);
    inputs.push(...file.inputs);
    files.push({ path: file.inputs[0]?.path ?? path, verdict: file.verdict });
  }
  await deliver(world, options, 'format', inputs, {
    table: (style) => formatTable(files, style),
    json: () => formatJson(files),
  });
  if (files.some(({ verdict }) => verdict === 'unusable')) return exitStatus.unusable;
  return files.some(({ verdict }) => verdict === 'not-formatted') ? exitStatus.found : exitStatus.agrees;
}

async function printFormatted(world: World, path: string, options: FormatOptions): Promise<ExitStatus> {
  const loaded = await loadCircuit(world, path);
  const text = formatted(loaded);
  if (text === undefined) return deliverUnusable(world, options, 'format', loaded);
  const answer = { table: () => text, json: () => ({ text }), isFile: true } as const;
  await deliver(world, options, 'format', loaded.inputs, answer);
  return exitStatus.agrees;
}

/** A file with errors, or that can't be read or written, is told and left as it is: the others are still looked at. */
async function formatInPlace(
  world: World,
  path: string,
  options: FormatOptions,
): Promise<{ readonly verdict: LaidOut['verdict']; readonly inputs: readonly Input[] }> {
  let inputs: readonly Input[] = [];
  try {
    const loaded = await loadCircuit(world, path);
    inputs = loaded.inputs;
    const text = formatted(loaded);
    if (text === undefined) {
      await deliverUnusable(world, { ...options, format: 'table' }, 'format', loaded);
      return { verdict: 'unusable', inputs };
    }
    if (text === exactText(inputs)) return { verdict: 'formatted', inputs };
    if (options.write !== true) return { verdict: 'not-formatted', inputs };
    await world.writeWhole(path, text, []);
    return { verdict: 'rewritten', inputs };
  } catch (error) {
    if (!isFileTrouble(error)) throw error;
    tellTrouble(world, error);
    return { verdict: 'unusable', inputs };
  }
}

/** Undefined where the file has errors. */
function formatted({ value, inputs: [input] }: Loaded<unknown>): string | undefined {
  if (value === undefined || input === undefined) return undefined;
  const { source } = decode(input.path, input.bytes, limits.circuitBytes);
  return source === undefined ? undefined : formatCircuit(source);
}

/** With the byte order mark, where there is one. */
function exactText([input]: readonly Input[]): string {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(input?.bytes);
}
