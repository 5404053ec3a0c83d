/** What an exercise file shows: the complaint, and of the fault nothing but what the circuit itself says. */
import { describe, expect, test } from 'vitest';
import { type Fault, faultName, listFaults, namedStates } from '../../src/circuit/circuit.js';
import { applianceOf } from '../../src/practice/bench.js';
import { seenLoads, symptomsOf } from '../../src/practice/complaint.js';
import { openExercise } from '../../src/practice/practice.js';
import { cautions, complaintLines, exerciseText } from '../../src/report/report.js';
import { readExerciseFile } from '../../src/text/text.js';
import { example, examples } from './open.js';

const sealed = { bench: 'c2VhbGVk', answer: 'c2VhbGVk', passphrase: 'no' } as const;

/** The file for each of a few faults of every part, without the seals. */
function files(name: (typeof examples)[number]): { readonly fault: Fault; readonly text: string }[] {
  const circuit = example(name);
  const sound = applianceOf(circuit, [], 1);
  const loads = seenLoads(circuit);
  const few = listFaults(circuit).filter((_, index) => index % 5 === 0);
  return few.flatMap((fault) => {
    const broken = applianceOf(circuit, [fault], 1);
    broken.use(namedStates(circuit));
    const { symptoms, wrong } = symptomsOf(circuit, sound, broken, loads);
    if (wrong.length === 0) return [];
    const complaint = complaintLines(symptoms, wrong);
    const open = openExercise(circuit, 'CIRCUIT', symptoms, { complaint, cautions });
    return { fault, text: exerciseText(open, sealed) };
  });
}

describe.each(examples)('%s', (name) => {
  const all = files(name);
  const circuit = example(name);

  test('no fault is named in its file, nor any part but the loads of the complaint', () => {
    expect(all.length).toBeGreaterThan(8);
    const seen = new Set(seenLoads(circuit).flatMap((load) => [load.part, load.name]));
    for (const { fault, text } of all) {
      // What all exercises have in common tells nothing of one of them.
      const own = text.slice(text.indexOf('complaint:'), text.indexOf('meter:'));
      const words = own.split(/[^A-Za-z0-9_.:/+-]+/);
      expect([faultName(fault), text.includes(faultName(fault))]).toEqual([faultName(fault), false]);
      if (!seen.has(fault.part))
        expect([fault.part, words.includes(fault.part)]).toEqual([fault.part, false]);
      for (const each of [fault.mode, fault.with, `${fault.part}.${fault.at}`])
        if (each !== undefined && !seen.has(each))
          expect([each, words.includes(each)]).toEqual([each, false]);
    }
  });

  test('what is open in it is the complaint alone: where that is the same, so is the file', () => {
    const byComplaint = new Map<string, string>();
    let shared = 0;
    for (const { text } of all) {
      const complaint = text.slice(text.indexOf('complaint:'), text.indexOf('symptoms:'));
      const known = byComplaint.get(complaint);
      if (known !== undefined) {
        shared += 1;
        expect(text).toBe(known);
      }
      byComplaint.set(complaint, text);
    }
    expect(shared).toBeGreaterThan(0);
  });
});

test('its text gives the circuit back, whatever that holds', () => {
  const circuit = example('wall-oven');
  for (const text of ['a: 1\n', '\n  # late\n\n  b: "x"\n\tc\n', "'quoted': [1]\r\nlast: 2"]) {
    const open = openExercise(circuit, text, [], { complaint: ['It is cold.'], cautions });
    const { file } = readExerciseFile({
      name: 'e',
      text: exerciseText({ ...open, symptoms: [{ in: {}, load: 'BAKE', works: 'no' }] }, sealed),
    });
    expect(file?.raw.circuit).toBe(open.circuit);
    expect(file?.raw.circuit.trimEnd()).toBe(text.replaceAll('\r\n', '\n').trimEnd());
  }
});
