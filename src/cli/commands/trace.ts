import { traceLoad } from '../../diagnose/diagnose.js';
import { clean, showJson, traceJson, traceTable } from '../../report/report.js';
import { nearestName } from '../../text/text.js';
import { deliver, deliverUnusable, envelopeOf, type OutputOptions, refuse, warn } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { loadCircuit } from '../load.js';
import { stateFromOptions } from '../state-option.js';
import { styleFor } from '../terminal.js';
import type { World } from '../world.js';

export interface TraceOptions extends OutputOptions {
  readonly state: readonly string[];
}

export async function runTrace(
  world: World,
  path: string,
  loadName: string,
  options: TraceOptions,
): Promise<ExitStatus> {
  const loaded = await loadCircuit(world, path);
  if (loaded.value === undefined) return deliverUnusable(world, options, 'trace', loaded);
  warn(world, options, loaded);
  const { circuit } = loaded.value;
  const load = circuit.loads.get(loadName);
  if (load === undefined) {
    const names = [...circuit.loads.keys()];
    const nearest = nearestName(loadName, names);
    const meant = nearest === undefined ? '' : ` Did you mean ${clean(nearest)}?`;
    return refuse(
      world,
      `${clean(loadName)} is no load with a job in this circuit.${meant}`,
      `Loads here: ${names.map(clean).join(', ')}.`,
    );
  }
  const given = options.state.length === 0 ? undefined : stateFromOptions(circuit, options.state);
  if (given !== undefined && given.problems.length > 0) {
    return deliverUnusable(world, options, 'trace', { ...loaded, problems: given.problems });
  }
  const answer = traceLoad(circuit, load, given?.state);
  const text =
    options.format === 'json'
      ? showJson('trace', envelopeOf(loaded.inputs), traceJson(answer))
      : traceTable(answer, styleFor(world, 'out', options));
  await deliver(world, options, text);
  return answer.state === undefined ? exitStatus.found : exitStatus.agrees;
}
