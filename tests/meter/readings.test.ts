import { expect, test } from 'vitest';
import { restState } from '../../src/circuit/circuit.js';
import {
  compare,
  type Expected,
  instrument,
  measuredSupplies,
  probeOfBlank,
  type Reading,
} from '../../src/meter/meter.js';
import { circuitOf, mains } from '../circuit/open.js';
import { jobFrom } from './open.js';

const circuit = circuitOf(`${mains}switches:
  S: { positions: [off, on], between: [S.1, S.2], closed-in: [on] }
loads:
  R: { kind: lamp, between: [S.2, MAINS.N], resistance: 100 ohm }
wires:
  - { from: MAINS.L, to: S.1, id: W1 }
nodes:
  S.2: { hazard: high-voltage }
`);

test.each([
  ['{ in: {}, red: S.1, reads: 120 V }', 'reading-lead-missing'],
  ['{ in: {}, red: S.1, black: S.1, reads: 120 V }', 'reading-same-node'],
  ['{ in: {}, red: S.1, black: MAINS.N, on: W1, reads: 1 A }', 'reading-keys-conflict'],
  ['{ in: {}, red: S.1, black: MAINS.N, reads: 12 ohm }', 'reading-ohms-live'],
  ['{ in: { power: off }, red: S.1, black: MAINS.N, reads: 12 ohm }', undefined],
  ['{ in: {}, red: S.1, black: MAINS.N, reads: 1 A }', 'reading-unit-misplaced'],
  ['{ in: {}, on: W1, reads: 120 V }', 'reading-unit-misplaced'],
  ['{ in: {}, on: W9, reads: 1 A }', 'reference-unknown'],
  ['{ in: {}, red: S.2, black: MAINS.N, reads: 120 V }', 'reading-hazard'],
  ['{ in: {}, red: S.9, black: MAINS.N, reads: 120 V }', 'reference-unknown'],
  ['{ in: { S: onn }, red: S.1, black: MAINS.N, reads: 120 V }', 'reference-unknown'],
  ['{ in: {}, red: S.1, black: MAINS.N, reads: 120 }', 'quantity-unit'],
  ['{ in: {}, red: S.1, black: MAINS.N, reads: "119,8 V" }', 'quantity-comma'],
  ['{ in: {}, red: S.1, black: MAINS.N }', undefined],
])('%s: %s', async (row, want) => {
  const { told } = await jobFrom(circuit, `readings:\n  - ${row}\n`);
  expect(told.map((each) => each.replace(/:\d+ /, ' '))).toEqual(want === undefined ? [] : [`3 ${want}`]);
});

test('what cannot be read is never left out in silence: each problem of a file is told', async () => {
  const { told } = await jobFrom(
    circuit,
    `symptoms:
  - { in: {}, load: RR, works: yes }
supply: { MAIN: 120 V }
readings:
  - { in: { S: in }, red: S.1, black: MAINS.M, reads: 120 W }
`,
  );
  expect(told.map((each) => each.replace(/^\d+:\d+ /, ''))).toEqual([
    'reference-unknown',
    'reference-unknown',
    'reference-unknown',
    'reference-unknown',
    'quantity-unit',
  ]);
});

test('a supply is known from its entry, else from the first reading across its terminals, else to its tolerance', async () => {
  const of = async (body: string) => measuredSupplies(circuit, (await jobFrom(circuit, body)).job);
  const stated = await of('supply: { MAINS: 114 V }\nreadings: []\n');
  expect(stated.scale.get('MAINS')).toBeCloseTo(0.95, 12);
  const read = await of('readings:\n  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 126 V }\n');
  expect(read.scale.get('MAINS')).toBeCloseTo(1.05, 12);
  // 1 % + 3 counts of 0.1 V: common practice, no source (tests/published/handbook.yaml H137). 126 V are shown where up
  // to (126 + 0.3) / 0.99 are.
  expect(read.spread).toBeCloseTo(126.3 / 0.99 / 126 - 1, 12);
  const dead = await of('readings:\n  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 12 V }\n');
  expect([dead.scale.size, dead.spread]).toEqual([0, 0.1]);
});

test('a supply read under load may be above that by what the load takes off, and no load adds anything', async () => {
  // 100 ohm behind two legs of 1 ohm: 100/102 of what there is without them.
  const loaded = circuitOf(`${mains.replace('120 V', '120 V, impedance: 1 ohm')}loads:
  R: { kind: lamp, between: [MAINS.L, MAINS.N], resistance: 100 ohm }
`);
  const { job } = await jobFrom(
    loaded,
    'readings:\n  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 110 V }\n',
  );
  expect(measuredSupplies(loaded, job).spread).toBeCloseTo((110.3 / 0.99 / 110) * 1.02 - 1, 9);
});

test('a supply that the meter tells less of than its tolerance keeps that, unless it is plainly off', async () => {
  const tight = circuitOf(mains.replace('120 V', '120 V, tolerance: 1 %'));
  const of = async (volts: number) =>
    measuredSupplies(tight, (await jobFrom(tight, `supply: { MAINS: ${volts} V }\nreadings: []\n`)).job);
  const near = await of(118);
  expect([near.scale.size, near.spread, near.measured]).toEqual([0, 0.01, []]);
  const off = await of(114);
  expect([off.scale.get('MAINS'), off.measured]).toEqual([0.95, ['MAINS']]);
  expect(off.spread).toBeCloseTo(114.3 / 0.99 / 114 - 1, 12);
});

const driven: Expected = { kind: 'driven', low: 118, nominal: 120, high: 122, unit: 'V' };
const floating: Expected = { kind: 'floating', likely: 0, high: 104, unit: 'V', cause: [] };
const noPath: Expected = { kind: 'floating', likely: 0, high: 0, unit: 'ohm', cause: [] };

test.each([
  [driven, 118, 'V', 'high', 'agrees'],
  [driven, 122, 'V', 'high', 'agrees'],
  [{ ...driven, high: 121.99999999 }, 122, 'V', 'high', 'agrees'],
  [driven, 117.9, 'V', 'high', 'differs'],
  [driven, 122.1, 'V', 'high', 'differs'],
  [driven, Number.NaN, 'V', 'high', 'differs'],
  [floating, 62, 'V', 'high', 'inconclusive'],
  [floating, 0, 'V', 'high', 'inconclusive'],
  [floating, 120, 'V', 'high', 'differs'],
  [floating, Number.NaN, 'V', 'high', 'differs'],
  [{ ...floating, high: 0.8 }, 0.1, 'V', 'low', 'agrees'],
  [{ ...floating, high: 0.8 }, 62, 'V', 'low', 'differs'],
  [noPath, 12, 'ohm', 'high', 'differs'],
  [noPath, 'OL', 'ohm', 'high', 'agrees'],
  [driven, 'OL', 'V', 'high', 'differs'],
  [driven, undefined, 'V', 'high', 'inconclusive'],
] as const)('against %j, %s %s on a %s-impedance input %s', (expected, value, unit, input, verdict) => {
  const shown: Reading['shown'] =
    value === undefined
      ? { kind: 'blank' }
      : value === 'OL'
        ? { kind: 'over-range', unit }
        : { kind: 'value', value, unit };
  const reading: Reading = {
    index: 1,
    state: restState(circuit),
    where: { kind: 'between', red: 0, black: 1 },
    shown,
    meter: instrument(`${input}-impedance`),
  };
  expect(compare(reading, expected)).toBe(verdict);
});

test('what is left blank is no reading and no symptom, and keeps its number; its names are looked at all the same', async () => {
  const { job, told } = await jobFrom(
    circuit,
    `symptoms:
  - { in: {}, load: R, works: }
  - { in: {}, load: R, works: no }
readings:
  - { in: {}, red: S.1, black: MAINS.N, reads: }
  - { in: {}, red: S.1, black: MAINS.N, reads: 120 V }
  - { in: { power: off }, red: S.1, black: MAINS.N, reads: not measured }
  - { in: {}, red: S.1, black: MAINS.N }
`,
  );
  expect(told).toEqual([]);
  expect(job.readings.map(({ index }) => index)).toEqual([2]);
  expect(job.symptoms.map(({ index }) => index)).toEqual([2]);
  expect(job.blank?.symptoms).toEqual([1]);
  const probes = (job.blank?.readings ?? []).map((each) => [each.index, probeOfBlank(each).unit]);
  expect(probes).toEqual([
    [1, 'V'],
    [3, 'ohm'],
    [4, 'V'],
  ]);
  const wrong = await jobFrom(
    circuit,
    'symptoms:\n  - { in: {}, load: RR, works: }\nreadings:\n  - { in: {}, red: S.9, black: MAINS.N, reads: }\n',
  );
  expect(wrong.told.map((each) => each.replace(/:\d+ /, ' '))).toEqual([
    '3 reference-unknown',
    '5 reference-unknown',
  ]);
});

test('what else a job record tells comes through as it stands, and computes nothing', async () => {
  const bare = await jobFrom(circuit, 'readings: []\n');
  expect(bare.job.record).toBeUndefined();
  const { job } = await jobFrom(
    circuit,
    'title: Lamp\nmeter: { category: CAT II 300 V }\nrecord: { reference: 117, left: made safe }\nreadings: []\n',
  );
  expect(job.record).toEqual({
    title: 'Lamp',
    reference: 117,
    left: 'made safe',
    meter: { category: 'CAT II 300 V' },
  });
  expect(job.meter).toEqual(bare.job.meter);
});
