import { describe, expect, test } from 'vitest';
import { restState } from '../../src/circuit/circuit.js';
import type { Symptom } from '../../src/meter/meter.js';
import { csvText } from '../../src/report/csv.js';
import { complaintLines } from '../../src/report/word-complaint.js';
import { circuitAt, warmerPath } from '../practice/open.js';

const circuit = circuitAt(warmerPath);

function symptom(job: string, works: boolean, name?: string): Symptom {
  const load = { name: 'L', part: 'L', job, does: { kind: 'actuator', actuator: 0 } } as const;
  const rest = restState(circuit);
  return { index: 1, load, works, state: name === undefined ? rest : { ...rest, name } };
}

describe("a complaint in a customer's words", () => {
  test.each([
    ['fan turns', 'The fan does not turn in speed-1.'],
    ['hot water runs in', 'The hot water does not run in in speed-1.'],
    ['air gets warm', 'The air does not get warm in speed-1.'],
    ['water is pumped out', 'The water is not pumped out in speed-1.'],
    ['display shows the oven temperature', 'The display does not show the oven temperature in speed-1.'],
    ['the bell rings', 'The bell does not ring in speed-1.'],
    ['drum brakes hold', 'Not as it should: "drum brakes hold", in speed-1.'],
  ])('%s', (job, line) => {
    const each = symptom(job, false, 'speed-1');
    expect(complaintLines([each], [each])).toEqual([line]);
  });

  test('what is wrong comes first, what works last, states together', () => {
    const idle = [symptom('fan turns', false, 'speed-1'), symptom('fan turns', false, 'speed-2')];
    const unasked = symptom('lamp lights', true);
    const fine = symptom('pump runs', true, 'speed-2');
    expect(complaintLines([fine, unasked, ...idle], [unasked, ...idle])).toEqual([
      'The fan does not turn in speed-1 and speed-2.',
      'The lamp lights with nothing touched, where it should not.',
      'The pump runs in speed-2, as it should.',
    ]);
  });
});

/** RFC 4180, section 2, rules 6 and 7; what a spreadsheet would run is kept text (CWE-1236). */
test('CSV quotes what would end a cell, and keeps formulas text and numbers numbers', () => {
  const rows = [['a,b', 'say "x"', '=1+1', '@SUM', -119.8, undefined]];
  expect(csvText(['h'], rows)).toBe(`h\n"a,b","say ""x""",'=1+1,'@SUM,-119.8,\n`);
});
