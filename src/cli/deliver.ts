import { type Envelope, problemFields, showJson, showProblems } from '../report/report.js';
import { type ExitStatus, exitStatus } from './exit-status.js';
import { type Input, type Loaded, sha256 } from './load.js';
import { type StyleOptions, styleFor } from './terminal.js';
import { version } from './version.js';
import type { World } from './world.js';

/** The options every command has. */
export interface OutputOptions extends StyleOptions {
  readonly format: 'table' | 'json';
  readonly output?: string;
  readonly quiet?: boolean;
}

/** The answer to standard output, or whole into the file of `--output`. */
export async function deliver(world: World, options: OutputOptions, text: string): Promise<void> {
  if (options.output === undefined || options.output === '-') world.out(text);
  else await world.writeWhole(options.output, text);
}

/** A hint for people, on standard error; machines and the quiet don't get it. */
export function hint(world: World, options: OutputOptions, text: string): void {
  if (options.quiet === true || options.format !== 'table') return;
  world.err(`${text}\n`);
}

export function envelopeOf(inputs: readonly Input[]): Envelope {
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
    const answer = { verdict: 'unusable', problems, more: loaded.more };
    await deliver(world, options, showJson(command, envelopeOf(loaded.inputs), answer));
  }
  return exitStatus.unusable;
}

/** A call that can't be carried out: what is wrong, and what would be right, each on a line of its own. */
export function refuse(world: World, message: string, help?: string): ExitStatus {
  world.err(`loadside: ${message}\n${help === undefined ? '' : `${help}\n`}`);
  return exitStatus.unusable;
}
