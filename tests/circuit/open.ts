import { type BuildResult, buildCircuit, type Circuit } from '../../src/circuit/circuit.js';
import { placeOf, readCircuitFile } from '../../src/text/text.js';

/** A line of 120 V to which a test adds what it is about. */
export const mains = `loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
`;

export function build(text: string): BuildResult {
  const { file, problems } = readCircuitFile({ name: 'test.circuit.yaml', text });
  if (file === undefined) throw new Error(JSON.stringify(problems));
  return buildCircuit(file.document, file.raw);
}

export function circuitOf(text: string): Circuit {
  const { circuit, problems } = build(text);
  if (circuit === undefined)
    throw new Error(JSON.stringify(problems.map(({ code, data }) => ({ code, data }))));
  return circuit;
}

/** `line:column code nearest`, for each problem. */
export function told(text: string): string[] {
  return build(text).problems.map(({ code, at, data }) => {
    const { line, column } = placeOf(at.source, at.span.start);
    const nearest = 'nearest' in data && data.nearest !== undefined ? ` ${data.nearest}` : '';
    return `${line}:${column} ${code}${nearest}`;
  });
}
