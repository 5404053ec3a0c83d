import { traceLoad } from '../../diagnose/diagnose.js';
import { traceJson, traceTable } from '../../report/report.js';
import { deliver, deliverUnusable, type OutputOptions, refuseName } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { stateFromOptions } from '../state-option.js';
import { withCircuit } from '../with-circuit.js';
import type { World } from '../world.js';

export interface TraceOptions extends OutputOptions {
  readonly state: readonly string[];
}

export async function runTrace(
  world: World,
  path: string,
  name: string,
  options: TraceOptions,
): Promise<ExitStatus> {
  return withCircuit(world, path, 'trace', options, async (circuit, inputs) => {
    const load = circuit.loads.get(name);
    if (load === undefined) return refuseName(world, 'load with a job', name, [...circuit.loads.keys()]);
    const given = options.state.length === 0 ? undefined : stateFromOptions(circuit, options.state);
    if (given !== undefined && given.problems.length > 0) {
      const unusable = { problems: given.problems, more: 0, unreadable: false, inputs };
      return deliverUnusable(world, options, 'trace', unusable);
    }
    const answer = traceLoad(circuit, load, given?.state);
    await deliver(world, options, 'trace', inputs, {
      table: (style) => traceTable(answer, style),
      json: () => traceJson(answer),
    });
    return answer.works ? exitStatus.agrees : exitStatus.found;
  });
}
