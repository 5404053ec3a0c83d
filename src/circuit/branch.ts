import type { Ohms, Ratio, Volts } from './units.js';

/** Index of the common reference, 0 V: the star point of every earthed supply. */
export const groundNode = -1;

/** The limits at which a contact that follows a number opens and closes, in the condition's unit. */
export interface Thresholds {
  readonly opensAbove?: number;
  readonly closesBelow?: number;
  readonly closesAbove?: number;
  readonly opensBelow?: number;
}

/** At the circuit's own frequency; the tolerance is a share of the value. */
export interface Impedance {
  readonly ohms: Ohms;
  readonly reactanceOhms: Ohms;
  readonly tolerance: Ratio;
}

/** What lets a branch conduct. A branch without a gate always conducts. */
export type Gate =
  | { readonly kind: 'position'; readonly switch: string; readonly closedIn: ReadonlySet<string> }
  | {
      readonly kind: 'value';
      readonly switch: string;
      readonly condition: string;
      readonly closedIn: ReadonlySet<string>;
    }
  | {
      readonly kind: 'threshold';
      readonly switch: string;
      readonly condition: string;
      readonly limits: Thresholds;
    }
  | { readonly kind: 'output'; readonly output: number };

/**
 * What a branch stands for. Conductors (wire, pin, contact, protector) join nodes into nets; loads, draws and
 * inputs are where the voltage is meant to be; a source is one leg of a supply.
 */
export type BranchRole = 'wire' | 'pin' | 'contact' | 'protector' | 'load' | 'draw' | 'input' | 'source';

/** One ideal element. Current is positive from its first node to its second. */
export interface Branch {
  readonly index: number;
  /** `B1`, `SEL.bake-line`, `J3:2`, `MAINS.line`. */
  readonly name: string;
  readonly part: string;
  readonly role: BranchRole;
  readonly from: number;
  readonly to: number;
  readonly impedance: Impedance;
  readonly gate?: Gate;
  /** Sources only: the voltage from the first node to the second with no current flowing. */
  readonly emf?: {
    readonly volts: Volts;
    readonly degrees: number;
    readonly hertz: number;
    readonly supply: string;
  };
}

export function isConductor(role: BranchRole): boolean {
  return role === 'wire' || role === 'pin' || role === 'contact' || role === 'protector';
}
