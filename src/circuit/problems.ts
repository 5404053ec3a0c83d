import type { ProblemOf, Severity } from '../text/text.js';

/** Kinds of thing a name in a file may refer to. */
export type Referent =
  | 'node'
  | 'part'
  | 'switch'
  | 'condition'
  | 'condition or load'
  | 'switch or condition'
  | 'position'
  | 'value'
  | 'state'
  | 'load'
  | 'input'
  | 'supply'
  | 'connector'
  | 'wire'
  | 'protector'
  | 'fault mode'
  | 'node or condition'
  | 'fault';

/** Codes of this floor, general to specific, each with what it carries. */
export interface CircuitProblemData {
  'name-duplicate': { readonly name: string };
  'name-reserved': { readonly name: string };
  /** A name that leads nowhere; `of` says whose, for a position or an input. */
  'reference-unknown': {
    readonly what: Referent;
    readonly found: string;
    readonly of: string | undefined;
    readonly nearest: string | undefined;
    readonly allowed: readonly string[];
  };
  /** Both ends of a part at one node. */
  'node-same': { readonly part: string; readonly node: string };
  /** A number on a connector's face that is no pin of it, or stands there twice. */
  'face-pin': { readonly pin: number; readonly pins: number; readonly twice: boolean };
  'face-incomplete': { readonly missing: readonly number[] };
  /** A place that only one thing touches. */
  'node-dangling': { readonly node: string; readonly nearest: string | undefined };
  'key-needed': { readonly part: string; readonly keys: readonly string[] };
  'key-conflict': { readonly part: string; readonly keys: readonly string[] };
  /** A list that must have one entry for each of another. */
  'count-differs': {
    readonly part: string;
    readonly key: string;
    readonly found: number;
    readonly expected: number;
  };
  /** Temperatures of a sensor's table must rise. */
  'curve-order': { readonly part: string; readonly found: string };
  /** A temperature outside what a sensor's curve is good for. */
  'curve-range': {
    readonly sensor: string;
    readonly condition: string;
    readonly found: string;
    readonly from: string;
    readonly to: string;
  };
  'terminal-needed': { readonly supply: string; readonly system: string; readonly terminal: string };
  'terminal-foreign': {
    readonly supply: string;
    readonly system: string;
    readonly terminal: string;
    readonly allowed: readonly string[];
  };
  'threshold-order': { readonly part: string; readonly upper: string; readonly lower: string };
  /** Between its thresholds a contact holds what it was: the state must say. */
  'state-undecided': {
    readonly switch: string;
    readonly condition: string;
    readonly value: string;
    readonly contact: string;
  };
  'state-contradiction': {
    readonly switch: string;
    readonly said: string;
    readonly condition: string;
    readonly value: string;
  };
  'state-value': { readonly key: string; readonly found: string; readonly expected: string };
  'state-loop': { readonly state: string };
  /** Named states that name others, or what went before, add up to more than anybody wrote. */
  'state-long': { readonly limit: number };
  /** What a fault of a value takes, in words, and one that does. */
  'fault-value': { readonly found: string; readonly expected: string; readonly example: string };
  'condition-range': {
    readonly condition: string;
    readonly found: string;
    readonly from: string;
    readonly to: string;
  };
  'wire-none': { readonly node: string };
  'earth-colour': { readonly wire: string; readonly colour: string };
  /** A path that no include may have; `why` in words, behind "it". */
  'include-path': { readonly file: string; readonly why: string };
  'include-missing': { readonly file: string; readonly why: string };
  /** Nothing else is told of such a file: it may not be meant for whoever reads this. */
  'include-kind': { readonly file: string };
  /** Files from the one that is included again to the one that does so. */
  'include-loop': { readonly files: readonly string[] };
}

export type CircuitProblem = ProblemOf<CircuitProblemData>;

export const circuitSeverities: Readonly<Record<keyof CircuitProblemData, Severity>> = {
  'name-duplicate': 'error',
  'name-reserved': 'error',
  'reference-unknown': 'error',
  'node-same': 'error',
  'face-pin': 'error',
  'face-incomplete': 'error',
  'node-dangling': 'warning',
  'key-needed': 'error',
  'key-conflict': 'error',
  'count-differs': 'error',
  'curve-order': 'error',
  'curve-range': 'error',
  'terminal-needed': 'error',
  'terminal-foreign': 'error',
  'threshold-order': 'error',
  'state-undecided': 'error',
  'state-contradiction': 'error',
  'state-value': 'error',
  'state-loop': 'error',
  'state-long': 'error',
  'fault-value': 'error',
  'condition-range': 'error',
  'wire-none': 'error',
  'earth-colour': 'warning',
  'include-path': 'error',
  'include-missing': 'error',
  'include-kind': 'error',
  'include-loop': 'error',
};

/** What a remark in the file may allow: nothing that makes a circuit unusable or is about safety. */
export const allowableCircuitCodes: ReadonlySet<keyof CircuitProblemData> = new Set(['node-dangling']);
