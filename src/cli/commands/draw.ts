import { checkJob, proposeNext } from '../../diagnose/diagnose.js';
import { drawCircuit, drawJob, type Picture } from '../../draw/draw.js';
import { ladderHtml, ladderJson, ladderSvg, ladderTerminal } from '../../report/report.js';
import { deliver, deliverUnusable, type OutputOptions, refuse } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { readFaults } from '../fault-option.js';
import type { Input } from '../load.js';
import { stateFromOptions } from '../state-option.js';
import { withCircuit } from '../with-circuit.js';
import { withJob } from '../with-job.js';
import type { World } from '../world.js';

export interface DrawOptions extends OutputOptions {
  readonly state: readonly string[];
  readonly fault: readonly string[];
  /** A readings file to draw on the circuit. */
  readonly readings?: string;
  readonly theme: 'light' | 'dark';
}

export async function runDraw(world: World, path: string, options: DrawOptions): Promise<ExitStatus> {
  const { readings } = options;
  if (readings === undefined) return drawWithout(world, path, options);
  if (options.fault.length > 0) {
    return refuse(
      world,
      'readings are held against the sound circuit; --fault plants a fault in it.',
      'Leave out --fault or --readings.',
    );
  }
  return withJob(world, readings, 'draw', { ...options, circuit: path }, async ({ circuit, job }, inputs) => {
    const given = options.state.length === 0 ? undefined : stateFromOptions(circuit, options.state);
    if (given !== undefined && given.problems.length > 0) {
      const unusable = { problems: given.problems, more: 0, unreadable: false, inputs };
      return deliverUnusable(world, options, 'draw', unusable);
    }
    const answer = checkJob(circuit, job);
    return deliverPicture(
      world,
      options,
      drawJob(answer, proposeNext(circuit, job, answer), given?.state),
      inputs,
    );
  });
}

function drawWithout(world: World, path: string, options: DrawOptions): Promise<ExitStatus> {
  return withCircuit(world, path, 'draw', options, async (circuit, inputs) => {
    const { state, problems } = stateFromOptions(circuit, options.state);
    if (problems.length > 0) {
      return deliverUnusable(world, options, 'draw', { problems, more: 0, unreadable: false, inputs });
    }
    const faults = readFaults(world, circuit, options.fault);
    if (faults === undefined) return exitStatus.unusable;
    // A planted fault shows in a state only: at rest, where none is named.
    const asked = options.state.length > 0 || faults.length > 0 ? state : undefined;
    return deliverPicture(world, options, drawCircuit(circuit, asked, faults), inputs);
  });
}

async function deliverPicture(
  world: World,
  options: DrawOptions,
  picture: Picture,
  inputs: readonly Input[],
): Promise<ExitStatus> {
  await deliver(world, options, 'draw', inputs, {
    table: (style) => ladderTerminal(picture, style),
    json: () => ladderJson(picture),
    svg: () => ladderSvg(picture, options),
    html: () => ladderHtml(picture, options),
  });
  return exitStatus.agrees;
}
