import { expect, test } from 'vitest';
import { type Circuit, designateFault } from '../../src/circuit/circuit.js';
import { wordMode } from '../../src/report/word-fault.js';
import { examples } from '../examples/key.js';
import { circuitOf } from '../examples/taken.js';

function worded(circuit: Circuit, name: string): string {
  const found = designateFault(circuit, name);
  return found.ok ? wordMode(circuit, found.fault) : (found.value ?? found.found);
}

test('a sensor drifts from what it has at rest, a resistor has too much of its own, a wire is badly joined', () => {
  const circuit = circuitOf(examples.find(({ name }) => name === 'range-control')!);
  // 1078 ohm at 20 degC: IEC 60751.
  expect(worded(circuit, 'RT:high-resistance=1500 ohm')).toBe(
    'has drifted: 1.50 kohm instead of 1.08 kohm at 20 degC',
  );
  expect(worded(circuit, 'RT:low-resistance=700 ohm')).toBe(
    'has drifted: 700.0 ohm instead of 1.08 kohm at 20 degC',
  );
  expect(worded(circuit, 'RT:low-resistance=1500 ohm')).toBe('it takes a value in ohm below 1080 ohm');
  expect(worded(circuit, 'R1:high-resistance=3 kohm')).toBe('has too much resistance, 3.00 kohm');
  expect(worded(circuit, 'T1.3-CTL.F:high-resistance=3 kohm')).toBe(
    'has a bad connection (high resistance, 3.00 kohm)',
  );
});
