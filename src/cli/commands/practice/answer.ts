import { type ActOf, faultParts } from '../../../practice/practice.js';
import { actAnswer, answerTable } from '../../../report/report.js';
import { deliver, hint } from '../../deliver.js';
import { type ExitStatus, exitStatus } from '../../exit-status.js';
import type { Input } from '../../load.js';
import type { World } from '../../world.js';
import { type ExerciseOptions, type KeptSession, refuseEnded, withSession } from './session.js';
import { readParts } from './verdict.js';

export type AnswerOptions = ExerciseOptions;

export async function runPracticeAnswer(
  world: World,
  path: string,
  verdicts: readonly string[],
  options: AnswerOptions,
): Promise<ExitStatus> {
  return withSession(world, path, 'practice answer', options, async (kept, inputs) => {
    const { session, loaded } = kept;
    if (session.ended === 'answered') return refuseEnded(world, session, options.record);
    const read = readParts(world, loaded.exercise.circuit, verdicts);
    if (read === undefined) return exitStatus.unusable;
    const act = session.answer(read.parts, read.mode);
    await kept.keep(act);
    return deliverAnswer(world, options, path, kept, act, inputs);
  });
}

/** Right or wrong, where no passphrase keeps that for the trainer. */
export async function deliverAnswer(
  world: World,
  options: AnswerOptions,
  path: string,
  { loaded, session, kept }: KeptSession,
  act: ActOf<'answer'>,
  inputs: readonly Input[],
): Promise<ExitStatus> {
  const { circuit } = loaded.exercise;
  const isOpen = loaded.raw.sealed.passphrase === 'no';
  const right = isOpen ? faultParts(loaded.fault).some((part) => act.parts.includes(part)) : undefined;
  const tally = { readings: session.job.readings.length, minutes: session.minutes, kept };
  await deliver(world, options, 'practice answer', inputs, {
    table: (style) => answerTable(circuit, act, right, style),
    json: () => ({ ...actAnswer(circuit, act, tally), right: right ?? null }),
  });
  if (isOpen && options.record !== undefined)
    hint(world, options, `How it was done: loadside practice grade ${path} --record ${options.record}`);
  return right === false ? exitStatus.found : exitStatus.agrees;
}
