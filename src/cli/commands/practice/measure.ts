import type { ActOf } from '../../../practice/practice.js';
import { actAnswer, actTable, wordRefusal } from '../../../report/report.js';
import { deliver, deliverUnusable, refuse } from '../../deliver.js';
import { type ExitStatus, exitStatus } from '../../exit-status.js';
import type { Input } from '../../load.js';
import type { World } from '../../world.js';
import { type MeterFunction, readAsk } from './ask.js';
import { type ExerciseOptions, type KeptSession, refuseEnded, withSession } from './session.js';

export interface MeasureOptions extends ExerciseOptions {
  readonly state: readonly string[];
  readonly red?: string;
  readonly black?: string;
  readonly on?: string;
  readonly function?: MeterFunction;
  readonly input: 'high' | 'low';
  readonly disconnect: readonly string[];
  readonly unplug: readonly string[];
}

export async function runPracticeMeasure(
  world: World,
  path: string,
  options: MeasureOptions,
): Promise<ExitStatus> {
  return withSession(world, path, 'practice measure', options, async (kept, inputs) => {
    const { session, loaded } = kept;
    if (session.ended !== undefined) return refuseEnded(world, session, options.record);
    const list = (key: string, names: readonly string[]) =>
      names.length === 0 ? [] : [`${key}=${names.join('+')}`];
    const state = [
      ...options.state,
      ...list('disconnected', options.disconnect),
      ...list('unplugged', options.unplug),
    ];
    const read = readAsk(
      world,
      loaded.exercise.circuit,
      { ...options, state },
      (what) => `Say so: --${what} NODE.`,
    );
    if (read.kind === 'problems') {
      const { problems } = read;
      return deliverUnusable(world, options, 'practice measure', {
        problems,
        more: 0,
        unreadable: false,
        inputs,
      });
    }
    if (read.kind === 'refused') return exitStatus.unusable;
    const act = session.measure(read.ask);
    await kept.keep(act);
    return deliverAct(world, options, 'practice measure', kept, act, inputs);
  });
}

/** The meter's display, or what was refused. */
export async function deliverAct(
  world: World,
  options: ExerciseOptions,
  command: string,
  { session, loaded, kept }: KeptSession,
  act: ActOf<'measure'> | ActOf<'refused'> | ActOf<'swap'>,
  inputs: readonly Input[],
): Promise<ExitStatus> {
  const { circuit } = loaded.exercise;
  const tally = { readings: session.job.readings.length, minutes: session.minutes, kept };
  const json = () => actAnswer(circuit, act, tally);
  if (act.kind === 'refused') {
    const { headline, help } = wordRefusal(act.why);
    refuse(world, headline, help);
    if (options.format === 'json') await deliver(world, options, command, inputs, { table: () => '', json });
    return exitStatus.unusable;
  }
  const table = (style: Parameters<typeof actTable>[3]) => actTable(circuit, act, tally, style);
  await deliver(world, options, command, inputs, { table, json });
  return exitStatus.agrees;
}
