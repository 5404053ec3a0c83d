/** A cut-out is an overload without a rating that follows a temperature: heat opens it and it closes again (common practice, no source). */
import { expect, test } from 'vitest';
import { checkJob } from '../../src/diagnose/diagnose.js';
import { jobFrom } from '../meter/open.js';
import { circuitOf } from './open.js';

const heater = (protector: string) =>
  circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 230 V, frequency: 50 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
conditions:
  heat: { unit: degC, rest: 20, from: 0, to: 200 }
protectors:
  CUT: { kind: overload, between: [CUT.1, CUT.2], ${protector} }
loads:
  HEAT: { kind: heating-element, between: [CUT.2, MAINS.N], rated: { voltage: 230 V, power: 1200 W }, job: water gets hot }
wires:
  - { from: MAINS.L, to: CUT.1 }
states: { hot: { heat: 150 }, cooled: { after: [hot] } }
`);

const onHeat = heater('follows: heat, opens-above: 120 degC, closes-below: 90 degC');

test.each([
  ['follows: heat, opens-above: 120 degC, closes-below: 90 degC', false],
  ['follows: heat, opens-above: 120 degC, closes-below: 90 degC, rating: 10 A', true],
  ['rating: 10 A', true],
])('with %s too much current opens it: %s', (protector, opensOnCurrent) => {
  const { protectors } = heater(protector);
  expect(protectors.get('CUT')).toMatchObject({ opensOnCurrent, closesAgain: true });
});

test('once it has cooled it is closed again', async () => {
  const { job } = await jobFrom(onHeat, 'symptoms:\n  - { in: cooled, load: HEAT, works: yes }\n');
  expect(checkJob(onHeat, job).verdict).toBe('agrees');
});
