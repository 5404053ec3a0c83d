import { expect } from 'vitest';
import { parse } from 'yaml';
import {
  buildCircuit,
  type Circuit,
  type Fault,
  readState,
  restState,
  type State,
} from '../../src/circuit/circuit.js';
import { type Job, nominalSupplies, readJob, TestStand } from '../../src/meter/meter.js';
import type { Complex, View } from '../../src/solve/solve.js';
import { readCircuitFile, readReadingsFile } from '../../src/text/text.js';

/** A circuit file's text through the front doors; its warnings (a terminal nothing else touches) are let pass. */
export function openCircuit(text: string): Circuit {
  const read = readCircuitFile({ name: 'case.circuit.yaml', text });
  expect(read.problems).toEqual([]);
  const { document, raw } = read.file!;
  const { circuit, problems } = buildCircuit(document, raw);
  expect(
    problems.filter(({ code }) => code !== 'node-dangling').map(({ code, data }) => ({ code, data })),
  ).toEqual([]);
  return circuit!;
}

/** A readings file's text, understood against its circuit. */
export async function openJob(circuit: Circuit, text: string): Promise<Job> {
  const read = readReadingsFile({ name: 'case.readings.yaml', text });
  expect(read.problems).toEqual([]);
  const { document, raw } = read.file!;
  const { job, problems } = readJob(circuit, document, raw);
  expect(problems).toEqual([]);
  return job;
}

/** A state as a file writes it. */
export function openState(circuit: Circuit, value: unknown): State {
  const { state, problems } = readState(circuit, value, circuit.document, []);
  expect(problems).toEqual([]);
  return state;
}

/** What there is to see in a state with faults, every supply at its nominal voltage. */
export function steadyView(
  circuit: Circuit,
  state: State = restState(circuit),
  faults: readonly Fault[] = [],
): View {
  const sight = new TestStand(circuit, nominalSupplies(circuit)).look(state, faults);
  if (sight.kind !== 'steady') throw new Error(`not steady: ${JSON.stringify(sight)}`);
  return sight.view;
}

/** Index of a node by name. */
export function node(circuit: Circuit, name: string): number {
  const index = circuit.nodeByName.get(name);
  if (index === undefined) throw new Error(`no node ${name}`);
  return index;
}

/** Volts of node a against node b as a phasor, at the circuit's first frequency; NaN where nothing fixes them. */
export function phasorVolts(view: View, a: number, b: number): Complex {
  return view.island(a) === view.island(b) ? view.volts(0, a, b) : { re: Number.NaN, im: Number.NaN };
}

export interface PublishedSource {
  readonly title: string;
  readonly section?: string;
  readonly where?: string;
}

/** The cases or values of a published file, each with its source beside it. */
export function published<Each>(text: string, list: 'cases' | 'values'): readonly Each[] {
  return (parse(text) as Readonly<Record<string, unknown>>)[list] as readonly Each[];
}

/** A test's title, with the source of what it checks. */
export function titleOf(each: {
  readonly id: string;
  readonly title: string;
  readonly source: PublishedSource;
}): string {
  const { title, section } = each.source;
  return `${each.id} ${each.title} [${section === undefined ? title : `${title}, ${section}`}]`;
}
