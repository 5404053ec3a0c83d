import type { TextProblem } from '../../src/text/text.js';
import { placeOf } from '../../src/text/text.js';

/** A problem as "code line:column", which is what most tests are about. */
export function brief(problem: TextProblem): string {
  const { line, column } = placeOf(problem.at.source, problem.at.span.start);
  return `${problem.code} ${line}:${column}`;
}

/** The text a problem points at. */
export function pointedAt({ at }: TextProblem): string {
  return at.source.text.slice(at.span.start, at.span.end);
}

/** A yaml text as a circuit file's source. */
export function circuitSource(text: string): { name: string; text: string } {
  return { name: 'a.circuit.yaml', text };
}
