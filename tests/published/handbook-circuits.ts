import { stringify } from 'yaml';
import type { Circuit } from '../../src/circuit/circuit.js';
import { checkJob, type ReadingEvidence } from '../../src/diagnose/diagnose.js';
import { nominalSupplies, TestStand, usualInstrument } from '../../src/meter/meter.js';
import { type Raw, readQuantity } from '../../src/text/text.js';
import { node, openCircuit, openJob, openState } from './front-doors.js';

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

/** What an ohmmeter finds across a sensor at a temperature. */
export function sensorOhms(sensor: Pick<Raw.Passive, 'kind' | 'curve'>, celsius: number): number {
  const text = stringify({
    loadside: 'circuit/1',
    supplies: { S: { system: 'dc', voltage: '5 V', terminals: { positive: 'A', negative: 'B' } } },
    conditions: { heat: { unit: 'degC', rest: 25 } },
    passives: { RT: { ...sensor, between: ['A', 'B'], follows: 'heat', tolerance: '0 %' } },
  });
  const circuit = openCircuit(text);
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const state = openState(circuit, { power: 'off', heat: celsius });
  const [red, black] = ['A', 'B'].map((name) => node(circuit, name)) as [number, number];
  const where = { kind: 'between', red, black } as const;
  const expected = stand.expect(state, { where, unit: 'ohm', meter: usualInstrument }, []);
  if (expected.kind !== 'driven') throw new Error(expected.kind);
  return expected.nominal;
}

interface Supplied {
  readonly system: 'dc' | 'single-phase' | 'three-phase';
  readonly volts: number;
  readonly hertz?: number;
  /** Left to its default where absent. */
  readonly tolerance?: string;
  /** In series with the node OUT, where given. */
  readonly seriesOhms?: number;
  /** Of the wire that FLOATS ends on, where it has one. */
  readonly floatingMetres?: number;
}

/** A supply, a resistance from its live leg to OUT, and a switch that stands open between that leg and FLOATS. */
export function suppliedCircuit(supplied: Supplied): Circuit {
  const { system, volts, hertz, tolerance, seriesOhms = 1, floatingMetres } = supplied;
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
      ...(floatingMetres === undefined
        ? {}
        : { wires: [{ from: 'FLOATS', to: 'END', length: `${floatingMetres} m` }] }),
      nodes: { OUT: {}, FLOATS: {}, END: {} },
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
