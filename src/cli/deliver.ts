import {
  asciiOnly,
  clean,
  type Envelope,
  problemFields,
  showJson,
  showProblems,
  type TerminalStyle,
} from '../report/report.js';
import { nearestName } from '../text/text.js';
import { type ExitStatus, exitStatus } from './exit-status.js';
import type { Input, Loaded } from './load.js';
import { type StyleOptions, styleFor } from './terminal.js';
import { version } from './version.js';
import type { FileTrouble, World } from './world.js';

/** Every form an answer may have; each command has some of them. */
export const formats = ['table', 'json', 'markdown', 'html', 'yaml', 'csv', 'svg', 'terminal'] as const;
export type Format = (typeof formats)[number];

/** The options every command has. */
export interface OutputOptions extends StyleOptions {
  readonly format: Format;
  readonly output?: string;
  readonly quiet?: boolean;
}

/** An answer in each of its forms, made when its form is known. */
export interface Answer {
  readonly table: (style: TerminalStyle) => string;
  readonly json: () => Readonly<Record<string, unknown>>;
  /** Whole files in other forms, where the command has them; a drawing in characters is its table. */
  readonly others?: Readonly<Partial<Record<Exclude<Format, 'table' | 'json' | 'terminal'>, () => string>>>;
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
  const text = await textOf(options.format, command, inputs, answer, style);
  if (options.output === undefined || options.output === '-') world.out(text);
  else
    await world.writeWhole(
      options.output,
      text,
      inputs.map(({ path }) => path),
    );
}

async function textOf(
  format: Format,
  command: string,
  inputs: readonly Input[],
  { table, json, others }: Answer,
  style: TerminalStyle,
): Promise<string> {
  if (format === 'json') return showJson(command, await envelopeOf(inputs), json());
  const other = format === 'table' || format === 'terminal' ? undefined : others?.[format];
  if (other !== undefined) return other();
  const text = table(style);
  return style.ascii ? asciiOnly(text) : text;
}

/** A hint for people, on standard error; machines and the quiet don't get it. */
export function hint(world: World, options: OutputOptions, text: string): void {
  if (options.quiet === true || options.format !== 'table') return;
  world.err(`${text}\n`);
}

/** What an answer was made from. Hashing is loaded only for the answers that say what they were made from. */
export async function envelopeOf(inputs: readonly Input[]): Promise<Envelope> {
  const { createHash } = await import('node:crypto');
  const sha256 = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');
  return {
    tool: { name: 'loadside', version },
    inputs: inputs.map(({ path, bytes }) => ({ path, sha256: sha256(bytes) })),
  };
}

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
    const problems = loaded.problems.map(({ problem, severity }) => problemFields(problem, severity));
    const json = () => ({ verdict: 'unusable', problems, more: loaded.more });
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
export function tellTrouble(world: World, trouble: FileTrouble): ExitStatus {
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

const shownNames = 12;
