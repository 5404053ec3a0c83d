import { derivePins } from '../../diagnose/diagnose.js';
import { pinsJson, pinsTable } from '../../report/report.js';
import { deliver, type OutputOptions, refuseName } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { withCircuit } from '../with-circuit.js';
import type { World } from '../world.js';

export async function runPins(
  world: World,
  path: string,
  part: string | undefined,
  options: OutputOptions,
): Promise<ExitStatus> {
  return withCircuit(world, path, 'pins', options, async (circuit, inputs) => {
    if (part !== undefined && !circuit.parts.has(part)) {
      return refuseName(world, 'part', part, [...circuit.modules.keys(), ...circuit.parts.keys()]);
    }
    const answer = derivePins(circuit, part);
    await deliver(world, options, 'pins', inputs, {
      table: (style) => pinsTable(answer, style),
      json: () => pinsJson(answer),
    });
    return answer.pins.some((pin) => pin.agrees === false) ? exitStatus.found : exitStatus.agrees;
  });
}
