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

/** A part with a mode. `at` says where in the part: a contact, an output, a supply leg, two terminals. */
export interface Fault {
  readonly part: string;
  readonly mode: Mode;
  readonly at?: string;
  /** The other wire of a crossed pair. */
  readonly with?: string;
  /** Of a fault whose value somebody named. */
  readonly value?: { readonly amount: number; readonly unit: 'ohm' | 'V' };
  readonly changes: readonly Change[];
}

/** A fault that is definite only with a value: how to make it so. */
export interface VariableFault {
  readonly part: string;
  readonly mode: Mode;
  readonly at?: string;
  readonly unit: 'ohm' | 'V';
  /** What the sound part has: a value on the wrong side of it is no such fault. */
  readonly sound: number;
  readonly changes: (amount: number) => readonly Change[];
}

/** How the command line writes it: `PART[.CONTACT]:MODE[=VALUE]`. */
export function faultName(fault: Omit<Fault, 'changes'>): string {
  const where = fault.at === undefined ? fault.part : `${fault.part}.${fault.at}`;
  const named = fault.with ?? (fault.value && `${fault.value.amount} ${fault.value.unit}`);
  return named === undefined ? `${where}:${fault.mode}` : `${where}:${fault.mode}=${named}`;
}
