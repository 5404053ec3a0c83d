import { isUnreadable, ratedList } from '../../../answer/answer.js';
import {
  type Act,
  changedLine,
  lineOf,
  type PracticeProblem,
  replay,
  Session,
  sealedText,
} from '../../../practice/practice.js';
import { clean, recordHead, recordText } from '../../../report/report.js';
import { limits, problemAt, readRecordFile } from '../../../text/text.js';
import { deliverUnusable, type OutputOptions, refuse } from '../../deliver.js';
import type { ExitStatus } from '../../exit-status.js';
import { type Input, type Loaded, readSource } from '../../loaded.js';
import { lineSeal, sealingKey } from '../../seal.js';
import type { World } from '../../world.js';
import { type LoadedExercise, loadExercise } from './load-exercise.js';

export interface ExerciseOptions extends OutputOptions {
  readonly record?: string;
}

/** A learner's session with what is kept of it. */
export interface KeptSession {
  readonly loaded: LoadedExercise;
  readonly session: Session;
  /** Whether acts are kept in a file. */
  readonly kept: boolean;
  /** Adds an act that was done to the record. */
  readonly keep: (act: Act) => Promise<void>;
}

/** A record done again in a new session; `last` is the seal of its last line. */
export interface LoadedRecord {
  readonly session: Session;
  readonly last: string;
  readonly endsLine: boolean;
}

export function newSession({ exercise, fault, seed }: LoadedExercise): Session {
  return new Session(exercise, fault, seed);
}

function recordKey({ fingerprint }: LoadedExercise): Uint8Array {
  return sealingKey(fingerprint, 'record');
}

/** The exercise whose record this is, by its fingerprint; undefined where the file can't be read so far. */
export async function loadRecord(
  world: World,
  path: string,
  exerciseOf: (fingerprint: string) => LoadedExercise | undefined,
): Promise<Loaded<LoadedRecord & { readonly loaded: LoadedExercise }>> {
  const { source, inputs, problems: undecoded } = await readSource(world, path, limits.recordBytes);
  const failed = (problems: Parameters<typeof ratedList>[0], more = 0) => ({
    ...ratedList(problems, more, path),
    unreadable: isUnreadable(problems),
    inputs,
  });
  if (source === undefined) return failed(undecoded);
  const { file, problems, more } = readRecordFile(source);
  if (file === undefined) return failed(problems, more);
  const { document, raw } = file;
  const loaded = exerciseOf(raw.exercise);
  if (loaded === undefined)
    return failed([problemAt(document, 'record-exercise', {}, ['exercise']) as PracticeProblem]);
  const key = recordKey(loaded);
  const acts = raw.acts ?? [];
  const changed = changedLine(acts, (text) => lineSeal(key, text));
  if (changed !== undefined) {
    const data = { act: changed + 1 };
    return failed([problemAt(document, 'record-line', data, ['acts', changed]) as PracticeProblem]);
  }
  const session = newSession(loaded);
  const found = replay(session, document, acts);
  if (found.length > 0) return failed(found);
  const value = { session, loaded, last: acts.at(-1)?.seal ?? '', endsLine: source.text.endsWith('\n') };
  return { value, ...ratedList([], 0, path), unreadable: false, inputs };
}

/** Runs something in an exercise, after all that its record says was done; tells what is wrong with either. */
export async function withSession(
  world: World,
  path: string,
  command: string,
  options: ExerciseOptions,
  run: (kept: KeptSession, inputs: readonly Input[]) => Promise<ExitStatus>,
): Promise<ExitStatus> {
  const { record } = options;
  if (path === '-' || record === '-')
    return refuse(world, 'an exercise and its record are files, not standard input.', 'Give their names.');
  const exercise = await loadExercise(world, path);
  if (exercise.value === undefined) return deliverUnusable(world, options, command, exercise);
  const loaded = exercise.value;
  if (record === undefined) {
    const session = newSession(loaded);
    return run({ loaded, session, kept: false, keep: async () => {} }, exercise.inputs);
  }
  const isNew = (await world.kindOf(record)) === undefined;
  const known = isNew
    ? undefined
    : await loadRecord(world, record, (fingerprint) =>
        fingerprint === loaded.fingerprint ? loaded : undefined,
      );
  if (known !== undefined && known.value === undefined)
    return deliverUnusable(world, options, command, known);
  const session = known?.value?.session ?? newSession(loaded);
  const keep = keeper(world, record, loaded, known?.value);
  const inputs = [...exercise.inputs, ...(known?.inputs ?? [])];
  return run({ loaded, session, kept: true, keep }, inputs);
}

/** Writes each act behind the last one, sealed with it. */
function keeper(
  world: World,
  record: string,
  loaded: LoadedExercise,
  known: LoadedRecord | undefined,
): KeptSession['keep'] {
  const key = recordKey(loaded);
  let last = known?.last ?? '';
  let ahead = known === undefined ? recordHead(loaded.fingerprint) : known.endsLine ? '' : '\n';
  return async (act) => {
    const line = lineOf(loaded.exercise.circuit, act);
    last = lineSeal(key, sealedText(line, last));
    await world.append(record, `${ahead}${recordText({ ...line, seal: last })}`);
    ahead = '';
  };
}

/** Told where a session takes no more: it was answered, or everything works again. */
export function refuseEnded(world: World, session: Session, record: string | undefined): ExitStatus {
  const where = record === undefined ? 'this exercise' : clean(record);
  return session.ended === 'answered'
    ? refuse(world, `${where} has its answer: nothing is added to it.`, 'Begin another with --record FILE.')
    : refuse(world, 'everything works again: there is nothing left to look for.', 'Give the answer.');
}
