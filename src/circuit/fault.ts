import type { Ohms, Ratio } from './units.js';

/** The ways a part can fail, in the words of answers and of the command line. */
export type Mode =
  | 'open'
  | 'shorted'
  | 'high-resistance'
  | 'low-resistance'
  | 'stuck-closed'
  | 'stuck-open'
  | 'leaks-to-earth'
  | 'crossed'
  | 'wrong-pin'
  | 'dead'
  | 'always-on'
  | 'missing'
  | 'low-voltage';

/** What a fault does to the circuit's ideal branches and rules: a value laid over it, the circuit itself is untouched. */
export type Change =
  | { readonly kind: 'absent'; readonly branch: number }
  | { readonly kind: 'conducts'; readonly branch: number; readonly ohms: Ohms }
  /** Conducts with these ohms whenever it conducts at all: a burnt contact still opens. */
  | { readonly kind: 'worn'; readonly branch: number; readonly ohms: Ohms }
  /** The branch's ends moved: a wire landed on another terminal. */
  | { readonly kind: 'moved'; readonly branch: number; readonly from: number; readonly to: number }
  /** An actuator held on or off. */
  | { readonly kind: 'held'; readonly actuator: number; readonly on: boolean }
  /** A supply that gives this share of its nominal voltage. */
  | { readonly kind: 'scaled'; readonly supply: string; readonly share: Ratio }
  /** Electrically sound but does not do its job. */
  | { readonly kind: 'idle'; readonly load: string };

/**
 * A part with a mode. `at` says where in the part: a contact, an output, a supply leg, two terminals; of a wire on the
 * wrong pin, the terminal it landed on.
 */
export interface Fault {
  readonly part: string;
  readonly mode: Mode;
  readonly at?: string;
  /** The other wire of a crossed pair. */
  readonly with?: string;
  /** Of a fault with a value: the range it lies in, both ends the same where somebody named it. */
  readonly value?: FaultValue;
  readonly changes: readonly Change[];
}

/** A range of values, `high` infinite where nothing bounds it. */
export interface FaultValue {
  readonly low: number;
  readonly high: number;
  readonly unit: 'ohm' | 'V';
}

/** A fault that is definite only with a value: how to make it so. */
export interface VariableFault {
  readonly part: string;
  readonly mode: Mode;
  readonly at?: string;
  readonly unit: 'ohm' | 'V';
  /** What the sound part has: a value on the wrong side of it is no such fault. */
  readonly sound: number;
  /** Values that are this fault, when somebody looks for it: nearer the sound one it does no harm, beyond it is another fault. */
  readonly range: { readonly least: number; readonly most: number };
  readonly changes: (amount: number) => readonly Change[];
}

/** How the command line writes it: `PART[.CONTACT]:MODE[=VALUE]`. */
export function faultName(fault: Omit<Fault, 'changes'>): string {
  if (fault.mode === 'wrong-pin') return `${fault.part}:${fault.mode}=${fault.at}`;
  const where = fault.at === undefined ? fault.part : `${fault.part}.${fault.at}`;
  const named = fault.with ?? (fault.value && `${fault.value.low} ${fault.value.unit}`);
  return named === undefined ? `${where}:${fault.mode}` : `${where}:${fault.mode}=${named}`;
}
