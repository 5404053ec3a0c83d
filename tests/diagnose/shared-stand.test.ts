/** What one job has solved serves the next: no answer may hang on what was looked at before it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { Circuit } from '../../src/circuit/circuit.js';
import { checkJob, proposeNext } from '../../src/diagnose/diagnose.js';
import { type Job, readJob } from '../../src/meter/meter.js';
import { checkJson, nextJson } from '../../src/report/report.js';
import { readReadingsFile } from '../../src/text/text.js';
import { root } from '../cli/run.js';
import { openCircuit } from '../published/front-doors.js';

// Of the quick ones: relays, a capacitor, an overload that closes again, two legs.
const examples = ['range-hood', 'refrigerator', 'wall-oven', 'water-heater', 'room-air-conditioner'];

function jobOf(circuit: Circuit, text: string): Job {
  const { file } = readReadingsFile({ name: 'job', text });
  return readJob(circuit, file!.document, file!.raw).job;
}

function answersOf(circuit: Circuit, texts: readonly string[]): string[] {
  return texts.map((text) => {
    const job = jobOf(circuit, text);
    const check = checkJob(circuit, job);
    const next = proposeNext(circuit, job, check);
    return JSON.stringify([checkJson(check, { triage: undefined, next }), nextJson(next)]);
  });
}

function checked(circuit: Circuit, text: string): string {
  const {
    circuit: _circuit,
    job: _job,
    supplies: _supplies,
    ...found
  } = checkJob(circuit, jobOf(circuit, text));
  return JSON.stringify(found);
}

function readingsOf(name: string): string[] {
  const folder = join(root, 'examples', name);
  return readdirSync(folder)
    .filter((file) => file.endsWith('.readings.yaml'))
    .sort()
    .map((file) => readFileSync(join(folder, file), 'utf8'));
}

function circuitOf(name: string): string {
  return readFileSync(join(root, 'examples', name, `${name}.circuit.yaml`), 'utf8');
}

test.each(examples)('%s: each job of one after the other, either way round, and by itself', (name) => {
  const text = circuitOf(name);
  const texts = readingsOf(name);
  const forward = answersOf(openCircuit(text), texts);
  const backward = answersOf(openCircuit(text), texts.toReversed());
  expect(backward.reverse()).toEqual(forward);
  const last = texts.slice(-1);
  expect(answersOf(openCircuit(text), last)).toEqual(forward.slice(-1));
});

function alike(text: string, texts: readonly string[]): void {
  const shared = openCircuit(text);
  const alone = texts.map((each) => checked(openCircuit(text), each));
  // What is asked for a second time may be kept, and is looked up the third.
  for (const time of [1, 2, 3])
    expect(
      texts.map((each) => checked(shared, each)),
      `time ${time}`,
    ).toEqual(alone);
}

test("the README's towel rail: the same places with all that may be read there", () => {
  const shown = [
    ...readFileSync(join(root, 'README.md'), 'utf8').matchAll(/^```yaml\n# \S+\n([\s\S]*?)^```$/gm),
  ];
  const [circuit = '', readings = ''] = shown.map(([, text = '']) => text);
  const texts = ['yes', 'no'].flatMap((works) =>
    ['0.1 V', '115 V', '196 V', '230.5 V'].flatMap((volts) =>
      ['OL', '0.1 ohm', '60 ohm'].map((ohms) =>
        readings
          .replace('works: no', `works: ${works}`)
          .replace('reads: 0.1 V', `reads: ${volts}`)
          .replace('reads: OL', `reads: ${ohms}`),
      ),
    ),
  );
  expect(new Set(texts).size).toBe(24);
  alike(circuit, texts);
});
