import { basename, join } from 'node:path';
import { designateFault, faultName } from '../../../circuit/circuit.js';
import {
  type AnswerSecret,
  type BenchSecret,
  type Difficulty,
  difficultyOf,
  drawExercise,
  type FaultClass,
  isSolvable,
  kindOfFault,
  openExercise,
  type Planted,
  Planter,
} from '../../../practice/practice.js';
import {
  cautions,
  clean,
  complaintLines,
  exerciseText,
  keyCsv,
  type WrittenExercise,
  wordUnsuitable,
  writtenJson,
  writtenTable,
} from '../../../report/report.js';
import { decode, limits, type Raw, readExerciseFile } from '../../../text/text.js';
import { deliver, hint, type OutputOptions, refuse, refuseFault } from '../../deliver.js';
import { type ExitStatus, exitStatus } from '../../exit-status.js';
import type { Input } from '../../load.js';
import { progressOf } from '../../progress.js';
import { sealed, sealingKey } from '../../seal.js';
import { withCircuit } from '../../with-circuit.js';
import type { World } from '../../world.js';
import { openText } from './load-exercise.js';
import { passphraseOf } from './passphrase.js';

export interface NewOptions extends OutputOptions {
  readonly fault?: string;
  readonly seed: number;
  readonly seeds?: readonly number[];
  readonly difficulty?: Difficulty;
  readonly class: readonly FaultClass[];
  readonly passphrase?: string;
  readonly key?: string;
}

/** An exercise as a file, and as its trainer is told of it. */
interface Made {
  readonly text: string;
  readonly written: WrittenExercise;
}

export async function runPracticeNew(world: World, path: string, options: NewOptions): Promise<ExitStatus> {
  const { seeds, fault, output } = options;
  if (seeds !== undefined && (output === undefined || output === '-'))
    return refuse(world, '--seeds writes a file for each, into a folder.', 'Say which: --output FOLDER.');
  if (seeds !== undefined && fault !== undefined)
    return refuse(world, '--seeds draws faults; --fault names one.', 'Leave one of them out.');
  if (fault !== undefined && (options.difficulty !== undefined || options.class.length > 0))
    return refuse(
      world,
      '--difficulty and --class are for a fault that is drawn; --fault names one.',
      'Leave --fault out, or the others.',
    );
  return withCircuit(world, path, 'practice new', options, async (circuit, inputs) => {
    const planter = new Planter(circuit);
    const text = textOf(inputs);
    const taken = new Set<string>();
    const made: Made[] = [];
    const all = seeds ?? [options.seed];
    const progress = progressOf(world, options, 'exercises');
    for (const seed of all) {
      const planted = plantedBy(world, planter, options, seed, taken);
      if (planted === undefined) {
        progress.end();
        return fault === undefined ? exitStatus.undecided : exitStatus.unusable;
      }
      taken.add(kindOfFault(planted.fault));
      const file =
        seeds === undefined ? output : join(output ?? '', fileName(path, seed, all)).replaceAll('\\', '/');
      made.push(
        make(planter, text, planted, seed, file === '-' ? undefined : file, passphraseOf(world, options)),
      );
      progress.tell(made.length, all.length);
    }
    progress.end();
    return write(world, options, made, inputs);
  });
}

/** As the circuit stands in its file, without a byte order mark. */
function textOf([input]: readonly Input[]): string {
  const { source } = decode(input?.path ?? '', input?.bytes ?? new Uint8Array(), limits.circuitBytes);
  return source?.text ?? '';
}

/** `range-hood-07.exercise.yaml`, with as many digits as the largest seed has. */
function fileName(circuit: string, seed: number, all: readonly number[]): string {
  const stem = circuit === '-' ? 'exercise' : basename(circuit).replace(/(?:\.circuit)?\.ya?ml$/, '');
  const digits = Math.max(...all.map((each) => String(each).length));
  return `${stem}-${String(seed).padStart(digits, '0')}.exercise.yaml`;
}

/** The fault that was named, or one that is drawn; undefined, and told, where there is no exercise in it. */
function plantedBy(
  world: World,
  planter: Planter,
  options: NewOptions,
  seed: number,
  taken: ReadonlySet<string>,
): Planted | undefined {
  if (options.fault === undefined) {
    const drawn = drawExercise(
      planter,
      seed,
      { classes: options.class, difficulty: options.difficulty },
      taken,
    );
    if (drawn.kind === 'drawn') return drawn.planting;
    const others = taken.size === 0 ? '' : ` that is not in the ${taken.size} before`;
    refuse(
      world,
      `no fault of that kind makes an exercise${others} (${drawn.tried} tried, seed ${seed}).`,
      'Ask for less: another --difficulty or --class, or fewer seeds.',
    );
    return undefined;
  }
  const designated = designateFault(planter.circuit, options.fault);
  if (!designated.ok) {
    refuseFault(world, designated);
    return undefined;
  }
  const planting = planter.plant(designated.fault, seed);
  if (planting?.kind === 'planted') return planting;
  const why = planting === undefined ? '' : wordUnsuitable(planting.why);
  refuse(world, `${clean(options.fault)} makes no exercise: ${why}.`, 'Plant another fault.');
  return undefined;
}

function make(
  { circuit }: Planter,
  text: string,
  planted: Planted,
  seed: number,
  file: string | undefined,
  passphrase: string | undefined,
): Made {
  const { fault, symptoms, wrong, par } = planted;
  const complaint = complaintLines(symptoms, wrong);
  const open = openExercise(circuit, text, symptoms, { complaint, cautions });
  const name = faultName(fault);
  const bench: BenchSecret = { fault: name, seed };
  const answer: AnswerSecret = { ...bench, par };
  const locked = passphrase === undefined ? 'no' : 'yes';
  // Sealed with what a reader of the file will find in it.
  const unsealed = exerciseText(open, { bench: 'none', answer: 'none', passphrase: locked });
  const read = readExerciseFile({ name: 'exercise', text: unsealed });
  if (read.file === undefined)
    throw new Error(`an exercise that can't be read: ${JSON.stringify(read.problems)}`);
  const around = openText(read.file.raw, locked);
  const seals: Raw.Sealed = {
    bench: sealed(sealingKey(around, 'bench'), JSON.stringify(bench)),
    answer: sealed(sealingKey(around, 'answer', passphrase), JSON.stringify(answer)),
    passphrase: locked,
  };
  const difficulty = difficultyOf(par);
  const group = !isSolvable(planted);
  const written = { file, seed, circuit, fault, faultName: name, difficulty, par, group };
  return { text: exerciseText(open, seals), written };
}

/** The files first, then what was written, to standard output where that is free. */
async function write(
  world: World,
  options: NewOptions,
  made: readonly Made[],
  inputs: readonly Input[],
): Promise<ExitStatus> {
  const read = inputs.map(({ path }) => path);
  if (options.seeds !== undefined) await world.makeFolder(options.output ?? '');
  for (const { text, written } of made) {
    if (written.file === undefined) world.out(text);
    else await world.writeWhole(written.file, text, read);
  }
  const all = made.map(({ written }) => written);
  if (options.key !== undefined) await world.writeWhole(options.key, keyCsv(all), read);
  if (all.some(({ file }) => file === undefined)) {
    const [only] = all;
    if (only !== undefined) hint(world, options, `Seed ${only.seed}, ${only.difficulty}.`);
    return exitStatus.agrees;
  }
  // The files have gone where --output says: what is told of them goes to standard output.
  const { output: _, ...told } = options;
  await deliver(world, told, 'practice new', inputs, {
    table: (style) => writtenTable(all, style),
    json: () => writtenJson(all),
  });
  return exitStatus.agrees;
}
