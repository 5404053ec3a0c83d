/** What one job has solved serves the next: no answer may hang on what was looked at before it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { Circuit } from '../../src/circuit/circuit.js';
import { checkJob, proposeNext } from '../../src/diagnose/diagnose.js';
import { readJob } from '../../src/meter/meter.js';
import { checkJson, nextJson } from '../../src/report/report.js';
import { readReadingsFile } from '../../src/text/text.js';
import { root } from '../cli/run.js';
import { openCircuit } from '../published/front-doors.js';

// Of the quick ones: relays, a capacitor, an overload that closes again, two legs.
const examples = ['range-hood', 'refrigerator', 'wall-oven', 'water-heater', 'room-air-conditioner'];

function answersOf(circuit: Circuit, texts: readonly string[]): string[] {
  const answers: string[] = [];
  for (const text of texts) {
    const { file } = readReadingsFile({ name: 'job', text });
    const { job } = readJob(circuit, file!.document, file!.raw);
    const check = checkJob(circuit, job);
    const next = proposeNext(circuit, job, check);
    answers.push(JSON.stringify([checkJson(check, { triage: undefined, next }), nextJson(next)]));
  }
  return answers;
}

test.each(examples)('%s: each job of one after the other, either way round, and by itself', (name) => {
  const folder = join(root, 'examples', name);
  const text = readFileSync(join(folder, `${name}.circuit.yaml`), 'utf8');
  const texts = readdirSync(folder)
    .filter((file) => file.endsWith('.readings.yaml'))
    .sort()
    .map((file) => readFileSync(join(folder, file), 'utf8'));
  const forward = answersOf(openCircuit(text), texts);
  const backward = answersOf(openCircuit(text), texts.toReversed());
  expect(backward.reverse()).toEqual(forward);
  const last = texts.slice(-1);
  expect(answersOf(openCircuit(text), last)).toEqual(forward.slice(-1));
});
