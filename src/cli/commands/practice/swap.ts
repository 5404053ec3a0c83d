import { type ExitStatus, exitStatus } from '../../exit-status.js';
import type { World } from '../../world.js';
import { deliverAct } from './measure.js';
import { type ExerciseOptions, refuseEnded, withSession } from './session.js';
import { readParts } from './verdict.js';

export async function runPracticeSwap(
  world: World,
  path: string,
  part: string,
  options: ExerciseOptions,
): Promise<ExitStatus> {
  return withSession(world, path, 'practice swap', options, async (kept, inputs) => {
    const { session, loaded } = kept;
    if (session.ended !== undefined) return refuseEnded(world, session, options.record);
    const [name] = readParts(world, loaded.exercise.circuit, [part])?.parts ?? [];
    if (name === undefined) return exitStatus.unusable;
    const act = session.swap(name);
    await kept.keep(act);
    return deliverAct(world, options, 'practice swap', kept, act, inputs);
  });
}
