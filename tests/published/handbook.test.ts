/**
 * Handbook values that touch what is computed: gauges and copper, meters and their inputs, supplies, sensors, stray volts.
 * Sources stand in handbook.yaml, one beside each value, and in the titles below.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type PublishedSource, published } from './front-doors.js';
import { strayVolts } from '../../src/meter/meter.js';
import { gaugeArea, heldReading, sensorOhms, suppliedCircuit, wireOhms } from './handbook-circuits.js';

interface HandbookValue {
  readonly id: string;
  readonly group: string;
  readonly quantity: string;
  readonly value: number | string | readonly [number, number];
  readonly unit: string;
  readonly computed_check?: number;
  readonly status: 'read' | 'computed' | 'memory';
  readonly source?: PublishedSource;
}

const values = published<HandbookValue>(
  readFileSync(new URL('handbook.yaml', import.meta.url), 'utf8'),
  'values',
);
const byId = new Map(values.map((each) => [each.id, each]));

/** H003 to H028 and the like, both ends included. */
function ids(first: number, last: number): string[] {
  return Array.from({ length: last - first + 1 }, (_, index) => `H${String(first + index).padStart(3, '0')}`);
}

const loadedInputs = ['H144', 'H145'];
const lineToLine = ['H100', 'H101'];
const lowInputStrays = ['H159', 'H162', 'H165', 'H168', 'H171', 'H174', 'H176'];
const coupledCurrents = ['H157', 'H160', 'H163', 'H166', 'H169', 'H172'];
const coupledVolts = ids(157, 174).filter((id) => !coupledCurrents.includes(id));
const highInputStrays = ['H153', 'H155', 'H156', 'H158', 'H175'];

const checkedIds = [
  ...ids(2, 44),
  'H054',
  'H055',
  ...ids(70, 83),
  'H096',
  ...lineToLine,
  ...ids(136, 143),
  ...loadedInputs,
  'H154',
  ...highInputStrays,
  ...lowInputStrays,
  'H152',
  ...coupledCurrents,
  ...coupledVolts.filter((id) => !lowInputStrays.includes(id) && !highInputStrays.includes(id)),
  ...ids(102, 118),
  ...ids(122, 134),
].sort();

/** Values that nothing computed yet hangs on, and why. */
const leftOut: readonly (readonly [readonly string[], string])[] = [
  [['H001'], 'awg: the rule in words; H002 to H028 are its figures'],
  [ids(45, 53), 'conductor_resistance: 75 degC and stranded; a wire is solid and at 20 degC'],
  [ids(56, 58), 'copper: temperature is not computed'],
  [ids(59, 69), 'materials: only copper is computed, by its IACS value'],
  [[...ids(84, 95), ...ids(97, 99)], 'supply_us, supply_eu: limits of other supplies than the default 10 %'],
  [ids(119, 121), 'pt100: classes of tolerance, which a file states in percent; the older curve is not used'],
  [['H135'], 'meter: the form of the statement in words; H136 to H143 are its figures'],
  [['H146', 'H147'], 'meter: one low-impedance input only; leads have no resistance'],
  [ids(148, 151), 'ghost: other cables than the one of the rule of thumb, H152'],
  [ids(177, 185), 'safety: no such test is computed'],
];

it('checks every handbook value but those listed', () => {
  expect(values).toHaveLength(185);
  const all = [...checkedIds, ...leftOut.flatMap(([listed]) => listed)].sort();
  expect(all).toEqual(values.map(({ id }) => id));
});

/** The listed values with titles that name their sources. */
function rows(listed: readonly string[]): (readonly [string, HandbookValue])[] {
  return listed.map((id) => {
    const each = byId.get(id)!;
    const memory = each.status === 'memory' ? ', from memory' : '';
    const value = `${String(each.value)} ${each.unit}`;
    return [
      `${id} ${each.quantity}: ${value} [${each.source?.title ?? 'computed from the rule'}${memory}]`,
      each,
    ];
  });
}

/** Three or four figures are printed; where the rule was computed independently too, five (1.7241 stands for 1/58). */
function expectFigures(found: number, { value, computed_check }: HandbookValue): void {
  expect(Math.abs(found / Number(value) - 1)).toBeLessThan(1e-3);
  if (computed_check !== undefined) expect(Math.abs(found / computed_check - 1)).toBeLessThan(3e-5);
}

function gaugeIn(quantity: string): string {
  return /(\S+ AWG)/.exec(quantity)![1]!;
}

const inch = 25.4;

describe('American wire gauge', () => {
  it.each(rows(['H002']))('%s', (_, each) => {
    for (let n = 0; n < 40; n += 1) {
      expectFigures(Math.sqrt(gaugeArea(`${n} AWG`) / gaugeArea(`${n + 1} AWG`)), each);
    }
  });

  it.each(rows(ids(3, 28)))('%s', (_, each) => {
    const area = gaugeArea(gaugeIn(each.quantity));
    const diameter = 2 * Math.sqrt(area / Math.PI);
    const found = { in: diameter / inch, mm: diameter, mm2: area, cmil: (1000 * diameter) / inch };
    if (each.unit === 'cmil') expectFigures(found.cmil ** 2, each);
    else expectFigures(found[each.unit as 'in' | 'mm' | 'mm2'], each);
  });
});

describe('copper', () => {
  it.each(rows(ids(29, 44)))('%s', (_, each) => {
    const length = each.unit === 'ohm/km' ? '1000 m' : '1000 ft';
    expectFigures(wireOhms(gaugeIn(each.quantity), length), each);
  });

  it.each(rows(['H054']))('%s', (_, each) => {
    // 1 mm2 and 1 m: ohm mm2/m are microohm m.
    expectFigures(wireOhms('1 mm2', '1 m') * 100, each);
  });

  it.each(rows(['H055']))('%s', (_, each) => {
    expectFigures(1 / wireOhms('1 mm2', '1 m'), each);
  });

  it.each(rows(ids(70, 83)))('%s is not exceeded by its nominal section', (_, each) => {
    const gauge = /(\S+ mm2)/.exec(each.quantity)![1]!;
    const ohms = wireOhms(gauge, '1000 m');
    expect(ohms).toBeLessThan(Number(each.value));
    expect(ohms).toBeGreaterThan(0.85 * Number(each.value));
  });
});

describe('the band of a meter', () => {
  const form =
    /^\((?<percent>\S+) % \+ (?<counts>\d+)\) at (?<volts>\S+) V(?:, (?<digit>\S+) (?<milli>m?)V digit)?$/;

  it.each(rows(ids(136, 143)))('%s', async (_, each) => {
    const { percent, counts, volts, digit, milli } = form.exec(each.quantity)!.groups!;
    // Where no digit is named, the last one printed.
    const printed = 10 ** -(volts!.split('.')[1]?.length ?? 0);
    const resolution = digit === undefined ? printed : Number(digit) * (milli === 'm' ? 1e-3 : 1);
    const circuit = suppliedCircuit({ system: 'dc', volts: Number(volts), tolerance: '0 %' });
    const accuracy = { percent: Number(percent), counts: Number(counts), resolution };
    const told = { red: 'S.L', black: 'S.N', reads: `${volts} V`, accuracy };
    const { expected } = await heldReading(circuit, told);
    const [low, high] = each.value as readonly [number, number];
    if (expected.kind !== 'driven') throw new Error(expected.kind);
    // H141 is printed rounded to a millivolt.
    expect(Math.abs(expected.low - low)).toBeLessThan(3e-4);
    expect(Math.abs(expected.high - high)).toBeLessThan(3e-4);
  });
});

describe('the input of a meter', () => {
  it.each(rows(loadedInputs))('%s halves what comes through as much', async (_, each) => {
    const circuit = suppliedCircuit({
      system: 'dc',
      volts: 10,
      tolerance: '0 %',
      seriesOhms: Number(each.value),
    });
    const input = each.id === 'H144' ? 'high-impedance' : 'low-impedance';
    const { expected } = await heldReading(circuit, { red: 'OUT', black: 'S.N', reads: '5 V', input });
    expect(expected).toMatchObject({ kind: 'driven', nominal: expect.closeTo(5, 6) });
  });
});

describe('supplies', () => {
  it.each(rows(lineToLine))('%s', async (_, each) => {
    const [volts] = /\d+/.exec(each.quantity)!;
    const circuit = suppliedCircuit({
      system: 'three-phase',
      volts: Number(volts),
      hertz: 50,
      tolerance: '0 %',
    });
    const { expected } = await heldReading(circuit, { red: 'S.L', black: 'S.L2', reads: '1 V' });
    if (expected.kind !== 'driven') throw new Error(expected.kind);
    expectFigures(expected.nominal, each);
  });

  it.each(rows(['H096']))('%s by default', async (_, each) => {
    const circuit = suppliedCircuit({ system: 'single-phase', volts: 230, hertz: 50 });
    const { expected } = await heldReading(circuit, { red: 'OUT', black: 'S.N', reads: '230 V' });
    const [low, high] = each.value as readonly [number, number];
    // The meter's 10 Mohm through 1 ohm.
    expect(expected).toMatchObject({ low: expect.closeTo(low, 3), high: expect.closeTo(high, 3) });
  });
});

describe('sensors', () => {
  const platinum = (celsius: number) => sensorOhms({ kind: 'rtd', curve: { resistance: '100 ohm', at: '0 degC' } }, celsius);

  it.each(rows(['H102', 'H103', 'H104']))('%s is the one that the curve is made of', (_, each) => {
    // R/R0 at 100 and 200 degC, and at -100 degC, give the three.
    const a = (4 * (platinum(100) - 100) - (platinum(200) - 100)) / 200 / 100;
    const b = ((platinum(200) - 100) / 200 - (platinum(100) - 100) / 100) / 100 / 100;
    const c = (platinum(-100) / 100 - 1 + 100 * a - 1e4 * b) / (-200 * -1e6);
    const found = { H102: a, H103: b, H104: c }[each.id]!;
    expect(Math.abs(found / Number(each.value) - 1)).toBeLessThan(1e-6);
  });

  it.each(rows(ids(105, 118)))('%s', (_, each) => {
    const found = platinum(Number(/at (-?\d+) C/.exec(each.quantity)![1]));
    expect(Math.abs(found - Number(each.value))).toBeLessThan(0.006);
    expect(Math.abs(found - each.computed_check!)).toBeLessThan(6e-4);
  });

  it.each(rows(['H122']))('%s is e at the temperature that the rule gives it', () => {
    const beta = { kind: 'thermistor', curve: { resistance: '10 kohm', at: '25 degC', beta: 3950 } } as const;
    const celsius = 1 / (1 / 3950 + 1 / 298.15) - 273.15;
    expect(sensorOhms(beta, celsius)).toBeCloseTo(10_000 * Math.E, 3);
  });

  it.each(rows(ids(123, 134)))('%s', (_, each) => {
    const [, beta, celsius] = /B = (\d+), at (\d+) C/.exec(each.quantity)!;
    const curve = { resistance: '10 kohm', at: '25 degC', beta: Number(beta) };
    expectFigures(sensorOhms({ kind: 'thermistor', curve }, Number(celsius)), each);
  });
});

describe('coupling to a live wire', () => {
  const told = /^(\d+) V (\d+) Hz through (\S+) nF/;
  const through = (quantity: string, ohms: number) => {
    const [, volts, hertz, nano] = told.exec(quantity)!.map(Number);
    return strayVolts(volts!, hertz!, nano! * 1e-9, ohms);
  };

  it.each(rows(coupledCurrents))('%s', (_, each) => {
    expectFigures(through(each.quantity, 1) * 1e6, each);
  });

  it.each(rows(coupledVolts))('%s', (_, each) => {
    expectFigures(through(each.quantity, each.quantity.includes('3 kohm') ? 3e3 : 10e6), each);
  });

  it.each(rows(['H152']))('%s, of the wire that floats', async (_, each) => {
    const circuit = suppliedCircuit({ system: 'single-phase', volts: 120, hertz: 60, floatingMetres: 1 });
    const { expected } = await heldReading(circuit, { red: 'FLOATS', black: 'S.N', reads: '1 V' });
    const likely = strayVolts(120, 60, Number(each.value) * 1e-12, 10e6);
    expect(expected).toMatchObject({ kind: 'floating', likely: expect.closeTo(likely, 4) });
    // More wire than the 85 % of H154 allows for.
    const long = suppliedCircuit({ system: 'single-phase', volts: 120, hertz: 60, floatingMetres: 20 });
    const held = await heldReading(long, { red: 'FLOATS', black: 'S.N', reads: '1 V' });
    expect(held.expected).toMatchObject({ likely: expect.closeTo(0.85 * 120, 3) });
  });
});

describe('stray volts on a place that floats', () => {
  const liveIn = (quantity: string) => Number(/^(\d+) V/.exec(quantity)?.[1] ?? 230);

  it.each(rows(['H154']))('%s is the most that is put down to strays', async (_, each) => {
    const [, most] = each.value as readonly [number, number];
    const circuit = suppliedCircuit({ system: 'single-phase', volts: 120, hertz: 60, tolerance: '0 %' });
    const { expected } = await heldReading(circuit, { red: 'FLOATS', black: 'S.N', reads: '1 V' });
    expect(expected).toMatchObject({ kind: 'floating', high: expect.closeTo((120 * most) / 100, 3) });
  });

  it.each(rows(highInputStrays))('%s proves nothing at a high-impedance input', async (_, each) => {
    const circuit = suppliedCircuit({
      system: 'single-phase',
      volts: liveIn(each.quantity),
      hertz: 50,
    });
    for (const volts of [each.value].flat()) {
      const told = { red: 'FLOATS', black: 'S.N', reads: `${volts} V` };
      expect((await heldReading(circuit, told)).verdict).toBe('inconclusive');
    }
  });

  it.each(rows(lowInputStrays))('%s is about zero at a low-impedance input', async (_, each) => {
    const circuit = suppliedCircuit({
      system: 'single-phase',
      volts: liveIn(each.quantity),
      hertz: 50,
    });
    const told = { red: 'FLOATS', black: 'S.N', input: 'low-impedance' } as const;
    expect((await heldReading(circuit, { ...told, reads: `${each.value} V` })).verdict).toBe('agrees');
    expect((await heldReading(circuit, { ...told, reads: '5 V' })).verdict).toBe('differs');
  });
});
