import { expect } from 'vitest';
import type { Circuit } from '../../src/circuit/circuit.js';
import { type CheckAnswer, checkJob } from '../../src/diagnose/diagnose.js';
import { jobFrom } from '../meter/open.js';

/** What a readings file (its body) leads to, and each suspect as `PART mode`, once: one that leaks at either end is one. */
export async function suspectsOf(
  circuit: Circuit,
  body: string,
): Promise<CheckAnswer & { readonly named: string[] }> {
  const { job, told } = await jobFrom(circuit, body);
  expect(told).toEqual([]);
  const answer = checkJob(circuit, job);
  const all = answer.suspects.map(({ faults }) =>
    faults.map(({ part, mode }) => `${part} ${mode}`).join(', '),
  );
  return { ...answer, named: [...new Set(all)] };
}
