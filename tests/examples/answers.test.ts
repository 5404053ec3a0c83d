import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Fault } from '../../src/circuit/circuit.js';
import { suspectsIn } from '../../src/diagnose/diagnose.js';
import { readingsFiles } from '../cli/example-files.js';
import { type Answer, jsonOf, run } from '../cli/run.js';
import { examples } from './key.js';
import { circuitOf, isAsMet, metIn, takenIn } from './taken.js';

/** A part with its mode, as the command line writes it. */
function nameOf({ part, at, mode, with: other }: Pick<Fault, 'part' | 'at' | 'mode' | 'with'>): string {
  if (mode === 'wrong-pin') return `${part}:${mode}=${at}`;
  return `${at === undefined ? part : `${part}.${at}`}:${mode}${other === undefined ? '' : `=${other}`}`;
}

test('every readings file has a key', () => {
  const keyed = examples.flatMap(({ name, files }) =>
    Object.keys(files).map((file) => `examples/${name}/${file}`),
  );
  expect(keyed.sort()).toEqual([...readingsFiles].sort());
});

describe.each(examples)('$name', (example) => {
  const circuit = circuitOf(example);
  const files = Object.entries(example.files);

  test.each(files)('%s has the answer of its key', async (file, entry) => {
    const path = `examples/${example.name}/${file}`;
    const { job } = await takenIn(circuit, path, readFileSync(path, 'utf8'), entry);
    const { verdict, suspects } = suspectsIn(circuit, job);
    const names = suspects.map(({ faults }) => faults.map(nameOf).join(' and '));
    expect([verdict, ...names]).toEqual([entry.answer.verdict, ...entry.answer.suspects]);
  });

  // One of each, from the file to the exit status: the last by name, as the first mostly is the one that takes longest.
  test('the program answers so', async () => {
    const [file, { answer }] = files
      .filter(([name]) => name.endsWith('.yaml'))
      .sort()
      .at(-1)!;
    const ran = await run(['check', `examples/${example.name}/${file}`, '--format', 'json']);
    const found = jsonOf(ran);
    const suspects = found.suspects.map((suspect: Answer) => suspect.faults.map(nameOf).join(' and '));
    expect([found.verdict, ...suspects]).toEqual([answer.verdict, ...answer.suspects]);
    expect(ran.status).toBe(found.verdict === 'agrees' ? 0 : found.verdict === 'undecided' ? 3 : 1);
  });

  test('readings are what a dense solver gives for the planted fault, within the meter', async () => {
    for (const [file, entry] of files) {
      const path = `examples/${example.name}/${file}`;
      const taken = await takenIn(circuit, path, readFileSync(path, 'utf8'), entry);
      const off = taken.job.readings.flatMap((reading) => {
        if (reading.shown.kind === 'blank' || entry.asWritten?.includes(reading.index)) return [];
        const met = metIn(taken, reading);
        return isAsMet(reading, met) ? [] : `${file} reading ${reading.index}: ${JSON.stringify(met)}`;
      });
      expect(off).toEqual([]);
    }
  });
});
