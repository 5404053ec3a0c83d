import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { faultName, listFaults } from '../../src/circuit/circuit.js';
import { openCircuit } from '../published/front-doors.js';
import { exampleCircuits, textOf } from './example-files.js';
import { type Answer, jsonOf, run } from './run.js';

interface Visit {
  readonly fault: string;
  readonly states: readonly string[];
  readonly input: 'high' | 'low';
  /** Which of the test points are read: every nth, from this one on. */
  readonly step: number;
  readonly from: number;
  readonly symptoms: boolean;
}

const head = 'loadside: readings/1\n';

/** A readings file as somebody with an errorless meter would write it, the fault being there: volts to a tenth. */
async function readingsOf(circuit: string, visit: Visit): Promise<string> {
  const readings: string[] = [];
  const symptoms: string[] = [];
  for (const state of visit.states) {
    const args = ['expect', circuit, '--fault', visit.fault, '--input', visit.input, '--format', 'json'];
    const answer = jsonOf(await run([...args, ...(state === '' ? [] : ['--state', state])]));
    const at = state === '' ? '{}' : state;
    for (const [index, { node, against, expected }] of answer.points.entries()) {
      if (index % visit.step !== visit.from % visit.step || expected.kind !== 'driven') continue;
      const lead = `red: ${node}, black: ${against}, input: ${visit.input}-impedance`;
      readings.push(`  - { in: ${at}, ${lead}, reads: ${expected.nominal.toFixed(1)} V }`);
    }
    for (const { load, works } of answer.loads) {
      if (works !== null) symptoms.push(`  - { in: ${at}, load: ${load}, works: ${works ? 'yes' : 'no'} }`);
    }
  }
  const told = visit.symptoms && symptoms.length > 0 ? `symptoms:\n${symptoms.join('\n')}\n` : '';
  const supply = `supply: { MAINS: ${openCircuit(textOf(circuit)).supplies.get('MAINS')?.stated} V }\n`;
  return `${head}${supply}${told}readings:${readings.length > 0 ? `\n${readings.join('\n')}` : ' []'}\n`;
}

const nameOf = ({ part, at, mode, with: other }: Answer) =>
  mode === 'wrong-pin'
    ? `${part}:${mode}=${at}`
    : `${at === undefined ? part : `${part}.${at}`}:${mode}${other === undefined ? '' : `=${other}`}`;

describe('a fault whose own readings are written down is among the suspects', () => {
  test.each(exampleCircuits)('%s', { timeout: 60_000 }, async (_, path, text) => {
    const circuit = openCircuit(text);
    const states = ['', ...circuit.states.keys()];
    const visits = fc.record({
      fault: fc.constantFrom(...listFaults(circuit).map(faultName)),
      states: fc.uniqueArray(fc.constantFrom(...states), { minLength: 1, maxLength: 4 }),
      input: fc.constantFrom('high' as const, 'low' as const),
      step: fc.integer({ min: 1, max: 9 }),
      from: fc.nat(8),
      symptoms: fc.boolean(),
    });
    await fc.assert(
      fc.asyncProperty(visits, async (visit) => {
        const readings = await readingsOf(path, visit);
        const ran = await run(['check', 'r.yaml', '--circuit', path, '--format', 'json'], {
          files: { 'r.yaml': readings },
        });
        const { verdict, suspects, firstDiscrepancy } = jsonOf(ran);
        const named = suspects.map((suspect: Answer) => suspect.faults.map(nameOf).join(' and '));
        if (verdict === 'agrees' || verdict === 'undecided') {
          expect([firstDiscrepancy, named, ran.status]).toEqual([null, [], verdict === 'agrees' ? 0 : 3]);
        } else {
          expect(named).toContain(visit.fault);
          // Exchanged wires are one fault in two parts, so two may be bounded.
          if (firstDiscrepancy.bounds.length === 1) expect(verdict).toBe('bounded');
          expect(['bounded', 'ambiguous']).toContain(verdict);
          expect(ran.status).toBe(1);
        }
      }),
      { numRuns: 2, seed: 20_240_131 },
    );
  });
});

// A place that only loads tie to a leg is at the leg's voltage until a meter of 3 kohm is put on it.
test.each([
  ['range-hood', 'MAINS.neutral:missing', ''],
  ['dryer', 'MAINS.L1-TBs.1:crossed=MAINS.N-TBs.2', ''],
  ['refrigerator', 'MAINS.N-SPN:open', 'defrosted'],
])('a meter that loads what it measures sees %s with %s', async (name, fault, state) => {
  const [, path] = exampleCircuits.find(([each]) => each === name)!;
  const visit = { fault, states: [state], input: 'low', step: 1, from: 0, symptoms: false } as const;
  const files = { 'r.yaml': await readingsOf(path, visit) };
  const ran = await run(['check', 'r.yaml', '--circuit', path, '--format', 'json'], { files });
  const { suspects } = jsonOf(ran);
  expect(suspects.map((suspect: Answer) => suspect.faults.map(nameOf).join(' and '))).toContain(fault);
});
