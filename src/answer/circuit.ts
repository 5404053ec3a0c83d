import type { Json } from '../answers.js';
import { problemFields } from '../report/report.js';
import type { Given } from './given.js';
import { readyOf } from './model-of.js';
import { openCircuit } from './open-files.js';
import { readCircuitGiven } from './read-files.js';
import type { ReadyCircuit } from './ready-circuit.js';

/** What came of reading a circuit: the circuit, with warnings at most, or what is wrong. */
export type CircuitResult =
  | { readonly circuit: ReadyCircuit; readonly problems: readonly Json.Problem[]; readonly more: number }
  | { readonly circuit?: undefined; readonly problems: readonly Json.Problem[]; readonly more: number };

export interface ReadOptions {
  /** What problems call it; of readings, one that ends in .csv says that they are CSV. */
  readonly name?: string;
}

/**
 * Reads a circuit file: its text or bytes (YAML), or what it holds as an object. Everything wrong with it is told, each
 * with its line and column (of an object, in what `JSON.stringify(object, null, 2)` writes).
 *
 * Throws a `TypeError` for what is none of these, and an `Error` for a defect in loadside; never for what a file says.
 */
export function readCircuit(given: Given, { name = 'circuit' }: ReadOptions = {}): CircuitResult {
  const read = readCircuitGiven(given, name);
  const { value, problems: rated, more } = openCircuit(read);
  const problems = rated.map(({ problem, severity }) => problemFields(problem, severity));
  return value === undefined ? { problems, more } : { circuit: readyOf(value.circuit), problems, more };
}
