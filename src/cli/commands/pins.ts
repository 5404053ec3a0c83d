import { derivePins } from '../../diagnose/diagnose.js';
import { clean, pinsJson, pinsTable, showJson } from '../../report/report.js';
import { nearestName } from '../../text/text.js';
import { deliver, deliverUnusable, envelopeOf, type OutputOptions, refuse, warn } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { loadCircuit } from '../load.js';
import { styleFor } from '../terminal.js';
import type { World } from '../world.js';

export async function runPins(
  world: World,
  path: string,
  part: string | undefined,
  options: OutputOptions,
): Promise<ExitStatus> {
  const loaded = await loadCircuit(world, path);
  if (loaded.value === undefined) return deliverUnusable(world, options, 'pins', loaded);
  warn(world, options, loaded);
  const { circuit } = loaded.value;
  if (part !== undefined && !circuit.parts.has(part)) {
    const names = [...circuit.modules.keys(), ...circuit.parts.keys()];
    const nearest = nearestName(part, names);
    const meant = nearest === undefined ? '' : ` Did you mean ${clean(nearest)}?`;
    return refuse(world, `${clean(part)} is no part of this circuit.${meant}`);
  }
  const answer = derivePins(circuit, part);
  const text =
    options.format === 'json'
      ? showJson('pins', envelopeOf(loaded.inputs), pinsJson(answer))
      : pinsTable(answer, styleFor(world, 'out', options));
  await deliver(world, options, text);
  return answer.pins.some((pin) => pin.agrees === false) ? exitStatus.found : exitStatus.agrees;
}
