import { readFileSync } from 'node:fs';
import { buildCircuit, type Circuit, designateFault, type Fault } from '../../src/circuit/circuit.js';
import { displayError, type Job, probeOf, type Reading, readJob } from '../../src/meter/meter.js';
import { readCircuitFile, readReadingsFile } from '../../src/text/text.js';
import type { Example, KeyEntry } from './key.js';
import { type Met, metBy } from './second-way.js';

/** A readings file of an example, with what was planted. */
export interface Taken {
  readonly job: Job;
  readonly circuit: Circuit;
  readonly faults: readonly Fault[];
}

export function circuitOf({ name, circuitPath }: Pick<Example, 'name' | 'circuitPath'>): Circuit {
  const { file } = readCircuitFile({ name, text: readFileSync(circuitPath, 'utf8') });
  const circuit = file && buildCircuit(file.document, file.raw).circuit;
  if (circuit === undefined) throw new Error(`${circuitPath} does not build: loadside validate tells why`);
  return circuit;
}

/** Throws with the name of a fault that the circuit has not. */
export async function takenIn(
  circuit: Circuit,
  name: string,
  text: string,
  { planted }: KeyEntry,
): Promise<Taken> {
  const { file } = readReadingsFile({ name, text });
  const read = file && readJob(circuit, file.document, file.raw);
  if (read === undefined || read.problems.length > 0)
    throw new Error(`${name} can't be read: loadside check tells why`);
  const faults = planted.map((each) => {
    const found = designateFault(circuit, each);
    if (!found.ok) throw new Error(`${name}: no fault ${each}; nearest is ${found.nearest}`);
    return found.fault;
  });
  return { job: read.job, circuit, faults };
}

/** What the meter meets, found the second way. */
export function metIn({ job, circuit, faults }: Taken, reading: Reading): Met {
  const scale = new Map(
    [...job.supply].map(([name, volts]) => [name, volts / (circuit.supplies.get(name)?.stated ?? volts)]),
  );
  const probe = probeOf(reading);
  return metBy({ circuit, faults, scale }, reading.state, probe);
}

/** Whether what is written down is what the meter meets, give or take what it may be off; a stray voltage may be anything. */
export function isAsMet(reading: Reading, met: Met): boolean {
  const { shown, meter } = reading;
  if (met.kind === 'never rests') return false;
  if (met.kind === 'floats')
    return shown.kind === 'over-range' || (shown.kind === 'value' && shown.unit === 'V');
  if (shown.kind !== 'value') return false;
  const value = shown.unit === 'V' && met.value < 0 ? shown.value : Math.abs(shown.value);
  return (
    Math.abs(value - met.value) <= displayError(meter.accuracy, met.value) + roundedBy(met.value, shown.unit)
  );
}

/** Ohms are written to four digits. */
function roundedBy(value: number, unit: string): number {
  return unit === 'ohm' ? 1e-3 * value : 0.05;
}
