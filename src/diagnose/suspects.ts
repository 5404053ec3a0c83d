import { type Fault, listFaults } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
import type { Group } from './evidence.js';
import { explainer } from './explained.js';
import { priorOf, unknownWeight } from './priors.js';

/** Faults that together explain every reading and symptom. */
export interface Suspect {
  readonly faults: readonly Fault[];
  /** Share of belief, always below 1: room is kept for a fault nobody modelled. */
  readonly weight: number;
}

/** Every single fault of the circuit that fits the observations, best first; equal weights keep the file's order. */
export function listSuspects(
  stand: TestStand,
  groups: readonly Group[],
): { readonly suspects: readonly Suspect[]; readonly tried: number } {
  const faults = listFaults(stand.circuit);
  const explain = explainer(stand, groups);
  const fitting: { fault: Fault; score: number }[] = [];
  for (const fault of faults) {
    const share = explain([fault]);
    if (share !== undefined) fitting.push({ fault, score: share * priorOf(stand.circuit, fault) });
  }
  const total = fitting.reduce((sum, each) => sum + each.score, unknownWeight);
  const suspects = fitting
    .sort((a, b) => b.score - a.score)
    .map(({ fault, score }) => ({ faults: [fault], weight: score / total }));
  return { suspects, tried: faults.length };
}

/** The parts a suspect is about; a crossed pair is about both wires. */
export function partsOf(suspect: Suspect): string[] {
  return [
    ...new Set(
      suspect.faults.flatMap((fault) => (fault.with === undefined ? [fault.part] : [fault.part, fault.with])),
    ),
  ];
}

/** Whether all suspects lie in one part (or one crossed pair). */
export function areBounded(suspects: readonly Suspect[]): boolean {
  const keys = new Set(suspects.map((suspect) => partsOf(suspect).sort().join(' + ')));
  return keys.size === 1;
}
