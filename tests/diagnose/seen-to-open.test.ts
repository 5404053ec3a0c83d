/** A fuse that was seen to blow is open when it is measured, and what blew it is what is looked for (common practice, no source). */
import { describe, expect, test } from 'vitest';
import { circuitOf } from '../circuit/open.js';
import { suspectsOf } from './suspects-of.js';

const heater = circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 230 V, frequency: 50 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
switches:
  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [on] }
protectors:
  F1: { kind: fuse, between: [F1.1, F1.2], rating: 10 A }
loads:
  HEAT: { kind: heating-element, between: [HEAT.1, HEAT.2], rated: { voltage: 230 V, power: 1200 W }, job: water gets hot }
wires:
  - { from: MAINS.L, to: F1.1, id: FEED }
  - { from: F1.2, to: SW.1, id: LINK }
  - { from: SW.2, to: HEAT.1, id: OUT }
  - { from: HEAT.2, to: MAINS.N, id: BACK }
states: { on: { SW: on } }
`);

async function leftBy(readings: string) {
  const body = `symptoms:\n  - { in: on, opens: F1 }\nreadings:\n${readings}`;
  const { verdict, suspects } = await suspectsOf(heater, body);
  return [
    verdict,
    ...suspects.map(
      ({ faults: [fault], opened }) => `${fault!.part} ${fault!.mode}, ${opened?.part ?? 'nothing'} open`,
    ),
  ];
}

const leaks = (state: string) =>
  ['HEAT', 'LINK', 'OUT'].map((part) => `${part} leaks-to-earth, ${state} open`);

describe('a fuse that was seen to blow', () => {
  test('is open with the power off, as what blew it explains', async () => {
    expect(await leftBy('  - { in: { power: off }, red: F1.1, black: F1.2, reads: OL }\n')).toEqual([
      'ambiguous',
      'HEAT shorted, F1 open',
      ...leaks('F1'),
    ]);
  });

  test('has been seen to where it is whole', async () => {
    expect(await leftBy('  - { in: { power: off }, red: F1.1, black: F1.2, reads: 0.1 ohm }\n')).toEqual([
      'ambiguous',
      'HEAT shorted, nothing open',
      ...leaks('nothing'),
    ]);
  });

  test('did not blow for what a reading rules out', async () => {
    const blown = '  - { in: { power: off }, red: F1.1, black: F1.2, reads: OL }\n';
    const whole =
      '  - { in: { power: off, disconnected: [HEAT.1] }, red: HEAT.1, black: HEAT.2, reads: 44.1 ohm }\n';
    expect(await leftBy(`${blown}${whole}`)).toEqual(['ambiguous', ...leaks('F1').slice(1)]);
  });
});
