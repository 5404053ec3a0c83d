import { type Circuit, designateFault, type Fault } from '../circuit/circuit.js';
import type { Problem } from '../report/report.js';
import { type Document, nearestName, type Path, problemAt } from '../text/text.js';

export function unknownNode(circuit: Circuit, document: Document, found: string, path: Path): Problem {
  const allowed = [...circuit.nodeByName.keys()];
  const data = { what: 'node', found, of: undefined, nearest: nearestName(found, allowed), allowed } as const;
  return problemAt(document, 'reference-unknown', data, path);
}

/** The fault a text names, or what is wrong with it. */
export function namedFault(
  circuit: Circuit,
  document: Document,
  text: string,
  path: Path,
): { readonly fault: Fault } | { readonly problem: Problem } {
  const read = designateFault(circuit, text);
  if (read.ok) return { fault: read.fault };
  const { found, nearest, allowed, value } = read;
  if (value === undefined) {
    const data = { what: 'fault', found, of: undefined, nearest, allowed } as const;
    return { problem: problemAt(document, 'reference-unknown', data, path) };
  }
  const data = { found, expected: value, example: nearest ?? '' };
  return { problem: problemAt(document, 'fault-value', data, path) };
}
