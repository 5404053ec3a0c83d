/** A leak and the wires lifted off a terminal: they part, and what is left on the terminal is read without them (common practice, no source). */
import { describe, expect, test } from 'vitest';
import { checkJob, proposeNext } from '../../src/diagnose/diagnose.js';
import { circuitOf } from '../circuit/open.js';
import { jobFrom } from '../meter/open.js';
import { suspectsOf } from './suspects-of.js';

const heater = circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE } }
switches:
  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [on] }
protectors:
  TF: { kind: thermal-fuse, between: [TF.1, TF.2] }
loads:
  HEAT: { kind: heating-element, between: [HEAT.1, HEAT.2], rated: { voltage: 120 V, power: 1200 W }, job: water gets hot }
wires:
  - { from: MAINS.L, to: TF.1, id: FEED }
  - { from: TF.2, to: SW.1, id: LINK }
  - { from: SW.2, to: HEAT.1, id: OUT }
  - { from: HEAT.2, to: MAINS.N, id: BACK }
  - { from: MAINS.PE, to: CHASSIS, id: EARTH }
nodes: { CHASSIS: { chassis: true } }
states: { on: { SW: on } }
`);

const tripped = `symptoms:
  - { in: on, load: HEAT, works: no }
readings:
  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 0 V, input: low-impedance }
  - { in: { power: off }, red: HEAT.1, black: CHASSIS, reads: 0.1 ohm }
`;

const named = async (body: string) => (await suspectsOf(heater, body)).named;

const lifted = (at: string, places: string, reads: string) =>
  `${tripped}  - { in: { power: off, disconnected: [${at}] }, red: ${places}, black: CHASSIS, reads: ${reads} }\n`;

describe('a short to the chassis at the element', () => {
  test('is in the wire or in the element', async () => {
    expect(await named(tripped)).toEqual(['HEAT leaks-to-earth', 'OUT leaks-to-earth']);
  });

  test('with its wire lifted off: what still leaks is the element, and the wire if it does not', async () => {
    expect(await named(lifted('HEAT.1', 'HEAT.1', '0.1 ohm'))).toEqual(['HEAT leaks-to-earth']);
    expect(await named(lifted('HEAT.1', 'HEAT.1', 'OL'))).toEqual(['OUT leaks-to-earth']);
  });

  test('the wire is read at its far end, and lifted there too it is nowhere', async () => {
    expect(await named(lifted('HEAT.1', 'SW.2', '0.1 ohm'))).toEqual(['OUT leaks-to-earth']);
    expect(await named(lifted('"HEAT.1", "SW.2"', 'SW.2', 'OL'))).toEqual([
      'HEAT leaks-to-earth',
      'OUT leaks-to-earth',
    ]);
  });

  test('through some resistance it is no other', async () => {
    const wet = (at: string, places: string, reads: string) =>
      named(
        `readings:\n  - { in: { power: off }, red: HEAT.1, black: CHASSIS, reads: 500 ohm }
  - { in: { power: off, disconnected: [${at}] }, red: ${places}, black: CHASSIS, reads: ${reads} }\n`,
      );
    expect(await wet('HEAT.1, HEAT.2', 'HEAT.1', '500 ohm')).toEqual(['HEAT leaks-to-earth']);
    expect(await wet('HEAT.1', 'SW.2', '500 ohm')).toEqual(['OUT leaks-to-earth']);
    const nowhere = await wet('HEAT.1, SW.2', 'SW.2', 'OL');
    expect(nowhere.sort()).toEqual(['BACK leaks-to-earth', 'HEAT leaks-to-earth', 'OUT leaks-to-earth']);
  });

  test('is told by lifting the wire', async () => {
    const { job } = await jobFrom(heater, tripped);
    const [best] = proposeNext(heater, job, checkJob(heater, job)).proposals;
    expect([best?.live, [...(best?.state.disconnected ?? [])], best?.probe.unit]).toEqual([
      false,
      [expect.stringMatching(/^(HEAT\.1|SW\.2)$/)],
      'ohm',
    ]);
    expect(best?.outcomes.map(({ left }) => left.map(({ parts }) => parts.join()))).toEqual([
      expect.any(Array),
      expect.any(Array),
    ]);
  });
});
