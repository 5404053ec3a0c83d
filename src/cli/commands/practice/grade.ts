import { join } from 'node:path';
import { type AnswerSecret, fullMarks, Grader } from '../../../practice/practice.js';
import {
  classCsv,
  classTable,
  clean,
  type GradedRecord,
  gradesJson,
  gradeTable,
  showProblems,
} from '../../../report/report.js';
import { deliver, type OutputOptions, refuse } from '../../deliver.js';
import { type ExitStatus, exitStatus } from '../../exit-status.js';
import type { Input, Loaded } from '../../load.js';
import { progressOf } from '../../progress.js';
import { styleFor } from '../../terminal.js';
import type { World } from '../../world.js';
import { type LoadedExercise, loadExercise, secretOf } from './load-exercise.js';
import { passphraseOf } from './passphrase.js';
import { loadRecord } from './session.js';

export interface GradeOptions extends OutputOptions {
  readonly record: readonly string[];
  readonly passphrase?: string;
}

/** An exercise with what it takes, or why that can't be read. */
interface Keyed {
  readonly path: string;
  readonly loaded: LoadedExercise;
  readonly answer: AnswerSecret;
}

export async function runPracticeGrade(
  world: World,
  paths: readonly string[],
  options: GradeOptions,
): Promise<ExitStatus> {
  const named = await filesOf(world, paths, options.record);
  if (named.exercises.length === 0)
    return refuse(
      world,
      `no exercise in ${paths.map(clean).join(', ')}.`,
      'Exercises end in .exercise.yaml.',
    );
  const inputs: Input[] = [];
  const files = { world, options, inputs };
  const keyed: Keyed[] = [];
  let unusable = false;
  for (const path of named.exercises) {
    const each = await keyedExercise(files, path);
    if (each === 'passphrase') return exitStatus.unusable;
    if (each === undefined) unusable = true;
    else keyed.push(each);
  }
  const { graded, failed } = await gradeAll(files, keyed, named.records);
  if (graded.length === 0) return exitStatus.unusable;
  const isOne = graded.length === 1 && !named.fromFolder;
  await deliver(world, options, 'practice grade', inputs, {
    table: (style) =>
      isOne && graded[0] !== undefined ? gradeTable(graded[0], fullMarks, style) : classTable(graded, style),
    json: () => gradesJson(graded, fullMarks),
    csv: () => classCsv(graded),
  });
  return unusable || failed ? exitStatus.unusable : statusOf(graded);
}

/** A wrong answer is a finding; one that was not given is none. */
function statusOf(graded: readonly GradedRecord[]): ExitStatus {
  if (graded.some(({ grade }) => grade?.right === false)) return exitStatus.found;
  return graded.every(({ grade }) => grade?.right === true) ? exitStatus.agrees : exitStatus.undecided;
}

interface Named {
  readonly exercises: readonly string[];
  readonly records: readonly string[];
  readonly fromFolder: boolean;
}

/** Exercises and records by name; a folder gives all that it holds. */
async function filesOf(world: World, paths: readonly string[], given: readonly string[]): Promise<Named> {
  const exercises: string[] = [];
  const records = [...given];
  let fromFolder = false;
  for (const path of paths) {
    if ((await world.kindOf(path)) !== 'folder') {
      exercises.push(path);
      continue;
    }
    fromFolder = true;
    for (const { name, kind } of await world.listFolder(path)) {
      const inside = join(path, name).replaceAll('\\', '/');
      if (kind === 'file' && /\.exercise\.ya?ml$/.test(name)) exercises.push(inside);
      if (kind === 'file' && /\.record\.ya?ml$/.test(name)) records.push(inside);
    }
  }
  return { exercises: [...new Set(exercises)], records: [...new Set(records)], fromFolder };
}

interface Files {
  readonly world: World;
  readonly options: GradeOptions;
  readonly inputs: Input[];
}

function tell({ world, options }: Files, { problems, more }: Loaded<unknown>): void {
  world.err(`${showProblems(problems, more, styleFor(world, 'err', options))}\n`);
}

/** Undefined, and told, where the file is unusable; `passphrase`, and told, where one is missing or wrong. */
async function keyedExercise(files: Files, path: string): Promise<Keyed | 'passphrase' | undefined> {
  const { world, options } = files;
  const exercise = await loadExercise(world, path);
  files.inputs.push(...exercise.inputs);
  const loaded = exercise.value;
  if (loaded === undefined) {
    tell(files, exercise);
    return undefined;
  }
  const isLocked = loaded.raw.sealed.passphrase === 'yes';
  const passphrase = isLocked ? passphraseOf(world, options) : undefined;
  if (isLocked && passphrase === undefined) {
    refuse(
      world,
      `the answer in ${clean(path)} opens with its trainer's passphrase only.`,
      'Give it: --passphrase TEXT, or LOADSIDE_PASSPHRASE in the environment.',
    );
    return 'passphrase';
  }
  const answer = secretOf<AnswerSecret>(loaded.raw, 'answer', passphrase);
  if (answer !== undefined) return { path, loaded, answer };
  refuse(
    world,
    isLocked
      ? `that passphrase does not open the answer in ${clean(path)}.`
      : `the answer in ${clean(path)} does not open: it was changed after it was written.`,
    isLocked ? 'It is the one that practice new was given.' : 'Take the file as it was handed out.',
  );
  return 'passphrase';
}

async function gradeAll(
  files: Files,
  keyed: readonly Keyed[],
  records: readonly string[],
): Promise<{ readonly graded: GradedRecord[]; readonly failed: boolean }> {
  const byFingerprint = new Map(keyed.map((each) => [each.loaded.fingerprint, each]));
  const graders = new Map<string, Grader>();
  const begun = new Set<Keyed>();
  const graded: GradedRecord[] = [];
  let failed = false;
  const progress = progressOf(files.world, files.options, 'records');
  for (const [index, record] of records.entries()) {
    const read = await loadRecord(
      files.world,
      record,
      (fingerprint) => byFingerprint.get(fingerprint)?.loaded,
    );
    files.inputs.push(...read.inputs);
    const each = read.value && byFingerprint.get(read.value.loaded.fingerprint);
    if (read.value === undefined || each === undefined) {
      tell(files, read);
      failed = true;
      continue;
    }
    const { exercise, fault, raw } = each.loaded;
    const grader = graders.get(raw.circuit) ?? new Grader(exercise.circuit);
    graders.set(raw.circuit, grader);
    begun.add(each);
    // A grader thinks in its own circuit: one text is one circuit.
    const grade = grader.grade(exercise, fault, each.answer.par, read.value.session.acts);
    graded.push({ exercise: each.path, record, grade });
    progress.tell(index + 1, records.length);
  }
  progress.end();
  // Where a record was named, it is what is asked about.
  const untouched = files.options.record.length > 0 ? [] : keyed.filter((each) => !begun.has(each));
  for (const each of untouched) graded.push({ exercise: each.path, record: undefined, grade: undefined });
  return { graded, failed };
}
