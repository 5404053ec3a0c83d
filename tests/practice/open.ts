import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { buildCircuit, type Circuit, designateFault, type Fault } from '../../src/circuit/circuit.js';
import { readCircuitFile } from '../../src/text/text.js';
import { root } from '../cli/run.js';

export const warmerPath = 'tests/cli/dish-warmer.circuit.yaml';

/** A circuit of the package, by its path from the root. */
export function circuitAt(path: string): Circuit {
  const { file } = readCircuitFile({ name: path, text: readFileSync(join(root, path), 'utf8') });
  const circuit = file && buildCircuit(file.document, file.raw).circuit;
  if (circuit === undefined) throw new Error(`${path} does not build`);
  return circuit;
}

export const examples = [
  'dryer',
  'range-control',
  'range-hood',
  'refrigerator',
  'wall-oven',
  'washer',
] as const;

export function example(name: (typeof examples)[number]): Circuit {
  return circuitAt(`examples/${name}/${name}.circuit.yaml`);
}

export function faultOf(circuit: Circuit, name: string): Fault {
  const read = designateFault(circuit, name);
  if (!read.ok) throw new Error(`no fault ${name}`);
  return read.fault;
}
