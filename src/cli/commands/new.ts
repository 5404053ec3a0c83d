import { clean } from '../../report/report.js';
import { deliver, hint, type OutputOptions, refuse } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { readAnswers, Unanswerable, type Written } from '../starter/answers.js';
import { askForRest } from '../starter/ask.js';
import { startingCircuit } from '../starter/starting-circuit.js';
import { isFileTrouble, type World } from '../world.js';

export interface NewOptions extends OutputOptions {
  readonly title?: string;
  readonly supply?: string;
  readonly load?: readonly string[];
  readonly protector?: readonly string[];
  readonly switch?: readonly string[];
  /** False: nothing is asked. */
  readonly input: boolean;
}

/** A circuit file is somebody's work: one that is there is not written over. */
export async function runNew(world: World, options: NewOptions): Promise<ExitStatus> {
  const { output } = options;
  if (output !== undefined && output !== '-' && (await isThere(world, output)))
    return refuse(world, `${clean(output)} is there already, and is not written over.`, 'Give another name.');
  const given: Written = {
    title: options.title,
    supply: options.supply,
    load: listIn(options.load),
    protector: listIn(options.protector),
    switch: listIn(options.switch),
  };
  const written = options.input && world.inIsTerminal ? await askForRest(world, given) : given;
  if (written === undefined) return refuse(world, 'left before the last answer: nothing was written.');
  try {
    const text = startingCircuit(readAnswers(written));
    await deliver(world, options, 'new', [], { table: () => text, json: () => ({ text }), isFile: true });
    if (output !== undefined && output !== '-')
      hint(world, options, `Next: loadside validate ${clean(output)}`);
    return exitStatus.agrees;
  } catch (error) {
    if (!(error instanceof Unanswerable)) throw error;
    return refuse(world, clean(error.message), error.help);
  }
}

/** `none` is an empty list. */
function listIn(texts: readonly string[] | undefined): readonly string[] | undefined {
  return texts?.length === 1 && texts[0] === 'none' ? [] : texts;
}

async function isThere(world: World, path: string): Promise<boolean> {
  try {
    await world.readBytes(path, 0);
    return true;
  } catch (error) {
    if (!isFileTrouble(error)) throw error;
    return false;
  }
}
