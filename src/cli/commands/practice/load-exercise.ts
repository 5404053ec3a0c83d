import { isUnreadable, ratedList } from '../../../answer/answer.js';
import { buildCircuit, designateFault, type Fault } from '../../../circuit/circuit.js';
import { readJob } from '../../../meter/meter.js';
import type { AnswerSecret, BenchSecret, Exercise, PracticeProblem } from '../../../practice/practice.js';
import {
  type Document,
  limits,
  problemAt,
  type Raw,
  readCircuitFile,
  readExerciseFile,
} from '../../../text/text.js';
import { type Loaded, readSource } from '../../loaded.js';
import { fingerprintOf, opened, type Purpose, sealingKey } from '../../seal.js';
import type { World } from '../../world.js';

export interface LoadedExercise {
  readonly exercise: Exercise;
  readonly raw: Raw.RawExercise;
  readonly fault: Fault;
  readonly seed: number;
  /** What a record says which exercise it belongs to. */
  readonly fingerprint: string;
}

/** An exercise from the disk to the bench: its seal holds it together, so it is opened before anything is made of it. */
export async function loadExercise(world: World, path: string): Promise<Loaded<LoadedExercise>> {
  const { source, inputs, problems: undecoded } = await readSource(world, path, limits.exerciseBytes);
  if (source === undefined) return { ...ratedList(undecoded, 0, path), unreadable: true, inputs };
  const { file, problems, more } = readExerciseFile(source);
  if (file === undefined)
    return { ...ratedList(problems, more, path), unreadable: isUnreadable(problems), inputs };
  const { document, raw } = file;
  const secret = secretOf<BenchSecret>(raw, 'bench');
  if (secret === undefined)
    return { ...ratedList([trouble(document, 'exercise-seal')], 0, path), unreadable: false, inputs };
  const read = readCircuitFile({ name: `${source.name} (circuit)`, text: raw.circuit });
  const built = read.file && buildCircuit(read.file.document, read.file.raw);
  const { circuit } = built ?? {};
  if (circuit === undefined)
    return { ...ratedList(built?.problems ?? read.problems, read.more, path), unreadable: false, inputs };
  const { meter, symptoms } = raw;
  const { job, problems: found } = readJob(circuit, document, { loadside: 'readings/1', meter, symptoms });
  const designated = designateFault(circuit, secret.fault);
  if (found.length > 0 || !designated.ok)
    return {
      ...ratedList(designated.ok ? found : [trouble(document, 'exercise-fault')], 0, path),
      unreadable: false,
      inputs,
    };
  const exercise = { circuit, symptoms: job.symptoms, meter: job.meter };
  const { fault } = designated;
  const { seed } = secret;
  const value = { exercise, raw, fault, seed, fingerprint: fingerprintOfExercise(raw) };
  return { value, ...ratedList([], 0, path), unreadable: false, inputs };
}

function trouble(document: Document, code: 'exercise-seal' | 'exercise-fault'): PracticeProblem {
  return problemAt(document, code, {}, ['sealed'], 'key') as PracticeProblem;
}

/** What stands openly in an exercise, in an order of its own: neither comments nor line ends are part of it. */
export function openText(raw: Omit<Raw.RawExercise, 'sealed'>, passphrase: 'yes' | 'no'): string {
  const { loadside, title, complaint, symptoms, meter, rest, costs, cautions, circuit } = raw;
  return JSON.stringify([
    loadside,
    title,
    complaint,
    symptoms,
    meter,
    rest,
    costs,
    cautions,
    circuit,
    passphrase,
  ]);
}

function fingerprintOfExercise(raw: Raw.RawExercise): string {
  return fingerprintOf(`${openText(raw, raw.sealed.passphrase)}${raw.sealed.bench}${raw.sealed.answer}`);
}

/** What was sealed; undefined where the seal does not fit. */
export function secretOf<Secret extends BenchSecret | AnswerSecret>(
  raw: Raw.RawExercise,
  purpose: Exclude<Purpose, 'record'>,
  passphrase?: string,
): Secret | undefined {
  const { sealed } = raw;
  const text = opened(sealingKey(openText(raw, sealed.passphrase), purpose, passphrase), sealed[purpose]);
  return text === undefined ? undefined : (JSON.parse(text) as Secret);
}
