/** What it costs to work out of an example circuit: how testable it is, and how many readings its faults take. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { type Circuit, listFaults } from '../../src/circuit/circuit.js';
import { testFaults } from '../../src/diagnose/diagnose.js';
import { hunt } from '../../src/practice/hunt.js';
import { halfSplit, proposed } from '../../src/practice/technician.js';
import { callFor, mean, workshopOf } from '../bench/workshop.js';

export const figuresPath = 'tests/examples/figures.json';
export const readmePath = 'examples/README.md';

export interface Figures {
  /** Of the circuit's text, by which a change is noticed. */
  readonly digest: string;
  /** As `loadside faults` counts them. */
  readonly faults: number;
  readonly detectable: number;
  readonly isolable: number;
  /** Faults that were hunted down. */
  readonly hunted: number;
  /** Mean readings until nothing more can be told. */
  readonly byNext: number;
  readonly byHalfSplit: number;
}

/** Every so many definite faults one is planted, from the first on; with all of them it would take hours. */
const every = 15;

const seed = 1;

export function figuresOf(circuit: Circuit, circuitPath: string): Figures {
  const workshop = workshopOf(circuit, seed);
  const hunts = listFaults(circuit)
    .filter((_, index) => index % every === 0)
    .flatMap((fault) => {
      const call = callFor(workshop, fault);
      if (call.kind !== 'plain') return [];
      const { opening, broken } = call;
      return [[proposed, halfSplit].map((by) => hunt(workshop.desk, opening, broken(), by))];
    });
  const readings = (by: 0 | 1) =>
    Number(mean(hunts.map((each) => each[by]?.job.readings.length ?? 0)).toFixed(1));
  return {
    digest: digestOf(circuitPath),
    ...testability(circuit),
    hunted: hunts.length,
    byNext: readings(0),
    byHalfSplit: readings(1),
  };
}

export function testability(circuit: Circuit): Pick<Figures, 'faults' | 'detectable' | 'isolable'> {
  const { faults, detectable, isolable } = testFaults(circuit, undefined, () => {}).tally;
  return { faults, detectable, isolable };
}

export function digestOf(path: string): string {
  return createHash('sha256').update(readFileSync(path)).digest('hex').slice(0, 16);
}

/** By the name of the example, as they were written last. */
export function keptFigures(): Readonly<Record<string, Figures>> {
  return JSON.parse(readFileSync(figuresPath, 'utf8')) as Record<string, Figures>;
}
