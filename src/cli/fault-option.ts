import { type Circuit, designateFault, type Fault } from '../circuit/circuit.js';
import { refuseFault } from './deliver.js';
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
    if (!read.ok) {
      refuseFault(world, read);
      return undefined;
    }
    faults.push(read.fault);
  }
  return faults;
}
