import { stringify } from 'yaml';
import type { Circuit } from '../../src/circuit/circuit.js';
import { checkJob, type ReadingEvidence } from '../../src/diagnose/diagnose.js';
import { readQuantity } from '../../src/text/text.js';
import { openCircuit, openJob } from './front-doors.js';

/** Cross-section in mm2 of a gauge as a file writes it. */
export function gaugeArea(gauge: string): number {
  const read = readQuantity(gauge, 'gauge');
  if (!read.ok) throw new Error(`${gauge} is no gauge`);
  return read.value;
}

/** Ohms of a wire of this gauge and length, from a circuit file. */
export function wireOhms(gauge: string, length: string): number {
  const wires = [{ id: 'W', from: 'A', to: 'B', gauge, length }];
  const circuit = openCircuit(stringify({ loadside: 'circuit/1', wires, nodes: { A: {}, B: {} } }));
  return circuit.branches[0]!.impedance.ohms;
}

interface Supplied {
  readonly system: 'dc' | 'single-phase' | 'three-phase';
  readonly volts: number;
  readonly hertz?: number;
  /** Left to its default where absent. */
  readonly tolerance?: string;
  /** In series with the node OUT, where given. */
  readonly seriesOhms?: number;
}

/** A supply, a resistance from its live leg to OUT, and a switch that stands open between that leg and FLOATS. */
export function suppliedCircuit({ system, volts, hertz, tolerance, seriesOhms = 1 }: Supplied): Circuit {
  const terminals = {
    dc: { positive: 'S.L', negative: 'S.N' },
    'single-phase': { line: 'S.L', neutral: 'S.N' },
    'three-phase': { line1: 'S.L', line2: 'S.L2', line3: 'S.L3', neutral: 'S.N' },
  }[system];
  const supply = {
    system,
    voltage: `${volts} V`,
    ...(hertz === undefined ? {} : { frequency: `${hertz} Hz` }),
    ...(tolerance === undefined ? {} : { tolerance }),
    impedance: '1e-6 ohm',
    terminals,
  };
  return openCircuit(
    stringify({
      loadside: 'circuit/1',
      supplies: { S: supply },
      switches: {
        SW: { positions: ['open', 'closed'], between: ['S.L', 'FLOATS'], 'closed-in': ['closed'] },
      },
      loads: {
        R: { kind: 'other', between: ['S.L', 'OUT'], resistance: `${seriesOhms} ohm`, tolerance: '0 %' },
      },
      nodes: { OUT: {}, FLOATS: {} },
    }),
  );
}

export interface Told {
  readonly red: string;
  readonly black: string;
  readonly reads: string;
  readonly input?: 'high-impedance' | 'low-impedance';
  /** Percent of the reading, counts, and what one count is; no error at all where absent. */
  readonly accuracy?: { readonly percent: number; readonly counts: number; readonly resolution: number };
}

/** One reading with the circuit at rest, held against the sound circuit. */
export async function heldReading(circuit: Circuit, told: Told): Promise<ReadingEvidence> {
  const {
    red,
    black,
    reads,
    input = 'high-impedance',
    accuracy = { percent: 0, counts: 0, resolution: 1 },
  } = told;
  const text = stringify({
    loadside: 'readings/1',
    meter: { input, accuracy },
    readings: [{ in: {}, red, black, reads }],
  });
  return checkJob(circuit, await openJob(circuit, text)).readings[0]!;
}
