import { type Circuit, designateFault, type Fault } from '../circuit/circuit.js';
import { clean } from '../report/report.js';
import { refuse, refuseName } from './deliver.js';
import type { World } from './world.js';

/** The faults named; undefined, and told, when one is no fault of this circuit. */
export function readFaults(
  world: World,
  circuit: Circuit,
  texts: readonly string[],
): readonly Fault[] | undefined {
  const faults: Fault[] = [];
  for (const text of texts) {
    const read = designateFault(circuit, text);
    if (!read.ok && read.value !== undefined) {
      refuse(
        world,
        `${clean(read.found)}: ${read.value}.`,
        `For instance: --fault '${clean(read.nearest ?? '')}'.`,
      );
      return undefined;
    }
    if (!read.ok) {
      refuseName(world, 'fault (PART:MODE or PART.CONTACT:MODE)', read.found, read.allowed, read.nearest);
      return undefined;
    }
    faults.push(read.fault);
  }
  return faults;
}
