import type { Curve } from './curve.js';
import type { Farads, Metres, Ohms, Ratio, Volts } from './units.js';

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
  /** A capacitance in series: at 0 Hz it lets nothing through. */
  readonly farads?: Farads;
  readonly tolerance: Ratio;
  /** What an ohmmeter finds, where the running resistance is more than copper: a motor's stands for its work too. */
  readonly dead?: OhmRange;
}

export interface OhmRange {
  readonly ohms: Ohms;
  readonly least: Ohms;
  readonly most: Ohms;
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
  /** Closed while an actuator is on, or while it is off. */
  | { readonly kind: 'actuator'; readonly actuator: number; readonly closedWhen: boolean }
  /** Nothing but a fault closes it: where two places may be bridged. */
  | { readonly kind: 'fault' };

/**
 * What a branch stands for. Conductors (wire, pin, contact, protector) join nodes into nets; loads, coils, draws and
 * inputs are where the voltage is meant to be; passives and windings stand in between; a source is one leg of a supply.
 */
export type BranchRole =
  | 'wire'
  | 'pin'
  | 'contact'
  | 'protector'
  | 'load'
  | 'coil'
  | 'draw'
  | 'input'
  | 'passive'
  | 'winding'
  | 'source';

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
  /** Of a wire whose length is stated. */
  readonly metres?: Metres;
  /** Its impedance while an actuator is off: a motor that stands still. */
  readonly atRest?: { readonly actuator: number; readonly impedance: Impedance };
  /** A sensor's resistance goes with a condition. */
  readonly sensor?: { readonly condition: string; readonly curve: Curve };
  /** One winding of a transformer (index into `Circuit.transformers`); `turns` in volts of its rated no-load voltage. */
  readonly winding?: { readonly transformer: number; readonly turns: Volts };
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
