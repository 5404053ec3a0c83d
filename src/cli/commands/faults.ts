import { holdThresholds, testFaults } from '../../diagnose/diagnose.js';
import { faultsJson, faultsTable, heatMapSvg } from '../../report/report.js';
import { deliver, deliverUnusable, type OutputOptions } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { progressOf } from '../progress.js';
import { stateFromOptions } from '../state-option.js';
import { type ThresholdOptions, thresholdsOf } from '../threshold-options.js';
import { withCircuit } from '../with-circuit.js';
import type { World } from '../world.js';

export interface FaultsOptions extends OutputOptions, ThresholdOptions {
  readonly state: readonly string[];
  /** Of the picture. */
  readonly theme: 'light' | 'dark';
}

export async function runFaults(world: World, path: string, options: FaultsOptions): Promise<ExitStatus> {
  return withCircuit(world, path, 'faults', options, async (circuit, inputs) => {
    const given = options.state.length === 0 ? undefined : stateFromOptions(circuit, options.state);
    if (given !== undefined && given.problems.length > 0) {
      const unusable = { problems: given.problems, more: 0, unreadable: false, inputs };
      return deliverUnusable(world, options, 'faults', unusable);
    }
    const progress = progressOf(world, options, 'faults');
    const answer = testFaults(circuit, given?.state, progress.tell);
    progress.end();
    const thresholds = holdThresholds(answer.tally, thresholdsOf(options));
    await deliver(world, options, 'faults', inputs, {
      table: (style) => faultsTable(answer, thresholds, style),
      json: () => faultsJson(answer, thresholds),
      svg: () => heatMapSvg(answer, options),
    });
    if (answer.looked.states.length === 0) return exitStatus.undecided;
    return thresholds.every(({ holds }) => holds) ? exitStatus.agrees : exitStatus.found;
  });
}
