import { unusableFields } from '../answer/answer.js';
import type { AnswerHead } from '../answers.js';
import type { Designated } from '../circuit/circuit.js';
import {
  answerHead,
  asciiOnly,
  clean,
  showJson,
  showProblems,
  type TerminalStyle,
} from '../report/report.js';
import { nearestName } from '../text/text.js';
import { type ExitStatus, exitStatus } from './exit-status.js';
import type { Input, Loaded } from './load.js';
import { type StyleOptions, styleFor } from './terminal.js';
import type { FileTrouble, World } from './world.js';

/** How an answer can be written; every command has the first two. */
export type Format =
  | 'table'
  | 'json'
  | 'csv'
  | 'junit'
  | 'sarif'
  | 'github'
  | 'markdown'
  | 'html'
  | 'yaml'
  | 'svg'
  | 'terminal';

/** The options every command has. */
export interface OutputOptions extends StyleOptions {
  readonly format: Format;
  readonly output?: string;
  readonly quiet?: boolean;
}

/** An answer in each of its forms, made when its form is known. */
export interface Answer {
  readonly table: (style: TerminalStyle) => string;
  readonly json: () => object;
  readonly csv?: () => string;
  readonly junit?: () => string;
  readonly sarif?: () => string;
  readonly github?: () => string;
  readonly markdown?: () => string;
  readonly html?: () => string;
  readonly yaml?: () => string;
  /** A whole picture, which is no text for a terminal. */
  readonly svg?: () => string;
  /** The table is the text of a file, for a program to read: no sign of it may change. */
  readonly isFile?: true;
}

/** The answer in the form asked for, to standard output or whole into the file of `--output`. */
export async function deliver(
  world: World,
  options: OutputOptions,
  command: string,
  inputs: readonly Input[],
  answer: Answer,
): Promise<void> {
  // A file is no terminal: colour goes into it only when asked for by name.
  const toFile = options.output !== undefined && options.output !== '-';
  const style = styleFor(toFile ? { ...world, outIsTerminal: false } : world, 'out', options);
  const text = await written(options.format, style, command, inputs, answer);
  if (options.output === undefined || options.output === '-') world.out(text);
  else
    await world.writeWhole(
      options.output,
      text,
      inputs.map(({ path }) => path),
    );
}

async function written(
  format: Format,
  style: TerminalStyle,
  command: string,
  inputs: readonly Input[],
  answer: Answer,
): Promise<string> {
  if (format === 'json')
    return showJson({ ...answerHead(command, await recordOf(inputs)), ...answer.json() });
  const write = format === 'terminal' ? answer.table : answer[format];
  if (write === undefined) throw new Error(`${command} was let run with the format ${format}`);
  const text = write(style);
  // The other forms are read by machines, which are told their encoding.
  return style.ascii && (format === 'table' || format === 'terminal') && answer.isFile !== true
    ? asciiOnly(text)
    : text;
}

/** A hint for people, on standard error; machines and the quiet don't get it. */
export function hint(world: World, options: OutputOptions, text: string): void {
  if (options.quiet === true || options.format !== 'table') return;
  world.err(`${text}\n`);
}

/** What an answer was made from. Hashing is loaded only for the answers that say what they were made from. */
export async function recordOf(inputs: readonly Input[]): Promise<AnswerHead['inputs']> {
  if (inputs.length === 0) return [];
  crypto ??= import('node:crypto');
  const { createHash } = await crypto;
  return inputs.map(({ path, bytes }) => {
    const sha256 = hashes.get(bytes) ?? createHash('sha256').update(bytes).digest('hex');
    hashes.set(bytes, sha256);
    return { path, sha256 };
  });
}

let crypto: Promise<typeof import('node:crypto')> | undefined;
/** A circuit is read once for all of its jobs. */
const hashes = new WeakMap<Uint8Array, string>();

/** Warnings of a file that is used all the same. */
export function warn(world: World, options: OutputOptions, loaded: Loaded<unknown>): void {
  if (options.quiet === true || loaded.problems.length === 0) return;
  world.err(`${showProblems(loaded.problems, loaded.more, styleFor(world, 'err', options))}\n`);
}

/** An input with errors in it: told to people on standard error, and in JSON as the one document on standard output. */
export async function deliverUnusable(
  world: World,
  options: OutputOptions,
  command: string,
  loaded: Loaded<unknown>,
): Promise<ExitStatus> {
  world.err(`${showProblems(loaded.problems, loaded.more, styleFor(world, 'err', options))}\n`);
  if (options.format === 'json') {
    const json = () => unusableFields(loaded);
    await deliver(world, options, command, loaded.inputs, { table: () => '', json });
  }
  return exitStatus.unusable;
}

/** A call that can't be carried out: what is wrong, and what would be right, each on a line of its own. */
export function refuse(world: World, message: string, help?: string | undefined): ExitStatus {
  world.err(`loadside: ${message}\n${help === undefined ? '' : `${help}\n`}`);
  return exitStatus.unusable;
}

/** A file that can't be used. */
export function tellTrouble(world: World, trouble: Pick<FileTrouble, 'path' | 'message'>): ExitStatus {
  return refuse(world, `${clean(trouble.path)}: ${clean(trouble.message)}`);
}

/** A name on the command line that leads nowhere: with the nearest one, and all of them where they are few. */
export function refuseName(
  world: World,
  what: string,
  found: string,
  names: readonly string[],
  nearest: string | undefined = nearestName(found, names),
): ExitStatus {
  const meant = nearest === undefined ? '' : ` Did you mean ${clean(nearest)}?`;
  const shown = names.slice(0, shownNames).map(clean).join(', ');
  const rest = names.length > shownNames ? `, and ${names.length - shownNames} more` : '';
  return refuse(
    world,
    `${clean(found)} is no ${what} of this circuit.${meant}`,
    names.length === 0 ? undefined : `There are: ${shown}${rest}.`,
  );
}

/** A fault that is none of this circuit, or one whose value is missing or wrong. */
export function refuseFault(world: World, read: Extract<Designated, { ok: false }>): ExitStatus {
  if (read.value !== undefined)
    return refuse(
      world,
      `${clean(read.found)}: ${read.value}.`,
      `For instance: --fault '${clean(read.nearest ?? '')}'.`,
    );
  return refuseName(world, 'fault (PART:MODE or PART.CONTACT:MODE)', read.found, read.allowed, read.nearest);
}

const shownNames = 12;
