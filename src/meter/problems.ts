import type { ProblemOf, Severity } from '../text/text.js';

/** Codes of this floor: trouble in readings, symptoms and expectations. */
export interface MeterProblemData {
  /** A reading needs two leads, or a conductor the clamp is on. */
  'reading-lead-missing': { readonly missing: string };
  /** Says two things at once: leads and a clamp, or a reading and a load. */
  'reading-keys-conflict': { readonly keys: readonly string[] };
  'reading-same-node': { readonly node: string };
  /** Ohms in a circuit that has power. */
  'reading-ohms-live': Record<string, never>;
  /** Leads with amps, or a clamp with volts or ohms. */
  'reading-unit-misplaced': { readonly found: string; readonly expected: string };
  /** A place marked hazardous is never probed. */
  'reading-hazard': { readonly node: string; readonly hazard: string };
  /** A clamp goes around a wire or another single conductor. */
  'reading-clamp': { readonly part: string };
  'supply-range': {
    readonly supply: string;
    readonly found: string;
    readonly least: string;
    readonly most: string;
    /** Of a split-phase supply, or a star: it is told from one leg to neutral. */
    readonly toNeutral: boolean;
  };
  /** An expectation that expects nothing. */
  'expectation-empty': Record<string, never>;
  'symptom-empty': Record<string, never>;
}

export type MeterProblem = ProblemOf<MeterProblemData>;

export const meterSeverities: Readonly<Record<keyof MeterProblemData, Severity>> = {
  'reading-lead-missing': 'error',
  'reading-keys-conflict': 'error',
  'reading-same-node': 'error',
  'reading-ohms-live': 'error',
  'reading-unit-misplaced': 'error',
  'reading-hazard': 'error',
  'reading-clamp': 'error',
  'supply-range': 'error',
  'expectation-empty': 'error',
  'symptom-empty': 'error',
};
