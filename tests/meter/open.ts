import type { Circuit } from '../../src/circuit/circuit.js';
import { type Job, readJob } from '../../src/meter/meter.js';
import { placeOf, readReadingsFile } from '../../src/text/text.js';

/** Readings as a file's body, without its first line. */
export async function jobFrom(circuit: Circuit, body: string): Promise<{ job: Job; told: string[] }> {
  const source = { name: 'test.readings.yaml', text: `loadside: readings/1\n${body}` };
  const { file, problems } = readReadingsFile(source);
  if (file === undefined) throw new Error(JSON.stringify(problems));
  const read = readJob(circuit, file.document, file.raw);
  const told = read.problems.map(({ code, at }) => {
    const { line, column } = placeOf(at.source, at.span.start);
    return `${line}:${column} ${code}`;
  });
  return { job: read.job, told };
}
