import type { StateChanges } from '../circuit/circuit.js';
import type { Expected, Unsettled } from '../meter/meter.js';
import type { ProblemOf, Severity } from '../text/text.js';

/** Codes of this floor: what is wrong with a circuit electrically, found by solving it. */
export interface AuditProblemData {
  /** A supply leg tied to another through conductors alone. */
  'supply-shorted': { readonly supply: string; readonly in: StateChanges; readonly path: readonly string[] };
  'load-never-works': { readonly load: string; readonly states: number };
  'contact-never-moves': {
    readonly contact: string;
    readonly always: 'open' | 'closed';
    readonly states: number;
  };
  'contacts-chatter': { readonly in: StateChanges; readonly actuators: readonly string[] };
  /** A state in which a protector carries more than it stands. */
  'protector-opens': {
    readonly protector: string;
    readonly in: StateChanges;
    readonly amps: number;
    readonly ratedAmps: number;
  };
  /** What the wiring says of a pin is not what its pin map says. */
  'pin-map-contradicted': {
    readonly node: string;
    readonly switch: string;
    readonly position: string;
    /** What the pin needs by the wiring: control to values; undefined when no state reaches it. */
    readonly wiring: Readonly<Record<string, readonly string[]>> | undefined;
    /** The pin of the same part that does get this position. */
    readonly instead: string | undefined;
  };
  'expectation-differs': {
    readonly index: number;
    readonly expected: Expected | Unsettled;
    readonly wanted: string;
  };
  'expectation-works': {
    readonly index: number;
    readonly load: string;
    readonly wanted: boolean;
    readonly volts: number | undefined;
  };
  /** Fewer faults show, or are told apart, than somebody asked for. */
  'testability-low': {
    readonly of: 'detectable' | 'isolable';
    readonly percent: number;
    readonly found: number;
    readonly needed: number;
    readonly faults: number;
  };
}

export type AuditProblem = ProblemOf<AuditProblemData>;

export const auditSeverities: Readonly<Record<keyof AuditProblemData, Severity>> = {
  'supply-shorted': 'error',
  'load-never-works': 'error',
  'contact-never-moves': 'warning',
  'contacts-chatter': 'warning',
  'protector-opens': 'error',
  'pin-map-contradicted': 'error',
  'expectation-differs': 'error',
  'expectation-works': 'error',
  'testability-low': 'error',
};

/** What a remark in the file may allow. A short circuit and an opening protector are matters of safety. */
export const allowableAuditCodes: ReadonlySet<keyof AuditProblemData> = new Set([
  'load-never-works',
  'contact-never-moves',
  'contacts-chatter',
  'pin-map-contradicted',
  'expectation-differs',
  'expectation-works',
  'testability-low',
]);
