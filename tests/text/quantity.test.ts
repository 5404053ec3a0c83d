import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Dimension, quantityProblem, readQuantity } from '../../src/text/text.js';

const value = (written: string | number, dimension: Dimension) => {
  const result = readQuantity(written, dimension);
  return result.ok ? result.value : result.code;
};
const trouble = (written: string | number, dimension: Dimension) => {
  const result = readQuantity(written, dimension);
  if (result.ok) throw new Error(`${written} was read as ${result.value}`);
  return result;
};

describe('units', () => {
  test.each<[string, Dimension, number]>([
    ['120 V', 'voltage', 120],
    ['120V', 'voltage', 120],
    [' 120  V ', 'voltage', 120],
    ['120\u00A0V', 'voltage', 120],
    ['120\u202FV', 'voltage', 120],
    ['-119.8 V', 'voltage', -119.8],
    ['+5 V', 'voltage', 5],
    ['.5 V', 'voltage', 0.5],
    ['5. V', 'voltage', 5],
    ['1.2e3 mV', 'voltage', 1.2],
    ['1.2E+3 mV', 'voltage', 1.2],
    ['010 V', 'voltage', 10],
    ['2.2 kV', 'voltage', 2200],
    ['15 mA', 'current', 0.015],
    ['40 ohm', 'resistance', 40],
    ['40 ohms', 'resistance', 40],
    ['40 \u03A9', 'resistance', 40],
    ['40 \u2126', 'resistance', 40],
    ['4.7 kohm', 'resistance', 4700],
    ['4.7 k\u2126', 'resistance', 4700],
    ['20 mohm', 'resistance', 0.02],
    ['10 Mohm', 'resistance', 10e6],
    ['1 Gohm', 'resistance', 1e9],
    ['1.5 kW', 'power', 1500],
    ['40 VA', 'apparent-power', 40],
    ['1 kVA', 'apparent-power', 1000],
    ['60 Hz', 'frequency', 60],
    ['22 uF', 'capacitance', 22e-6],
    ['22 \u00B5F', 'capacitance', 22e-6],
    ['22 \u03BCF', 'capacitance', 22e-6],
    ['100 pF', 'capacitance', 100e-12],
    ['4.7 nF', 'capacitance', 4.7e-9],
    ['15 mH', 'inductance', 0.015],
    ['20 degC', 'temperature', 20],
    ['-18 \u00B0C', 'temperature', -18],
    ['20 \u2103', 'temperature', 20],
    ['32 degF', 'temperature', 0],
    ['212 \u00B0F', 'temperature', 100],
    ['-40 degF', 'temperature', -40],
    ['10 %', 'ratio', 0.1],
    ['0.9 m', 'length', 0.9],
    ['90 cm', 'length', 0.9],
    ['900 mm', 'length', 0.9],
    ['3 ft', 'length', 0.9144],
    ['10 in', 'length', 0.254],
    ['0.75 mm2', 'gauge', 0.75],
    ['0.75 mm\u00B2', 'gauge', 0.75],
    ['4 min', 'time', 4],
    ['90 s', 'time', 1.5],
    ['2 h', 'time', 120],
  ])('%s (%s) is %d', (written, dimension, expected) => {
    expect(value(written, dimension)).toBeCloseTo(expected, 15);
  });

  test('milli and mega are never mistaken for each other', () => {
    expect(value('10 mohm', 'resistance')).toBe(0.01);
    expect(value('10 Mohm', 'resistance')).toBe(10_000_000);
  });

  test('a number with a prefix is the number nearest to what is written, not one rounded twice', () => {
    expect(value('22 uF', 'capacitance')).toBe(22e-6);
    expect(value('0.1 mV', 'voltage')).toBe(1e-4);
    expect(value('57 %', 'ratio')).toBe(0.57);
  });
});

describe('bare numbers are in the base unit', () => {
  test.each<[string | number, Dimension, number | string]>([
    [120, 'voltage', 120],
    ['120', 'voltage', 120],
    [10, 'ratio', 0.1],
    ['10', 'ratio', 0.1],
    [57, 'ratio', 0.57],
    [250, 'temperature', 250],
    [2, 'time', 2],
    [0.9, 'length', 0.9],
    [-0, 'voltage', 0],
    ['-0', 'voltage', 0],
    // 18 could be AWG or mm2, which are 22 times apart.
    [18, 'gauge', 'quantity-unit'],
    ['18', 'gauge', 'quantity-unit'],
  ])('%j (%s) is %j', (written, dimension, expected) => {
    const found = value(written, dimension);
    expect(found).toBe(expected);
    expect(Object.is(found, -0)).toBe(false);
  });
});

describe('wire gauges', () => {
  /** One circular mil is the area of a circle one thousandth of an inch across. */
  const circularMil = (Math.PI / 4) * 0.0254 ** 2;

  // Lessons in Electric Circuits, DC/src/conduct.sml, and the wire tables of cirris.com: areas in circular mils.
  test.each([
    ['12 AWG', 6530],
    ['14 AWG', 4107],
    ['16 AWG', 2583],
    ['18 AWG', 1624],
    ['20 AWG', 1022],
    ['22 AWG', 642.4],
    ['24 AWG', 404],
  ])('%s is %d circular mils', (written, circularMils) => {
    expect(Number(value(written, 'gauge')) / circularMil / circularMils).toBeCloseTo(1, 3);
  });

  // ASTM B258 as restated at liquisearch.com: 36 AWG is 0.005 in across, 4/0 AWG is 0.46 in.
  test.each([
    ['36 AWG', 0.005],
    ['4/0 AWG', 0.46],
  ])('%s is %d in across', (written, inches) => {
    expect(Number(value(written, 'gauge'))).toBeCloseTo((Math.PI / 4) * (inches * 25.4) ** 2, 9);
  });

  test('0 AWG is 1/0 AWG, and a step up is 92^(1/39) in diameter', () => {
    expect(value('0 AWG', 'gauge')).toBe(value('1/0 AWG', 'gauge'));
    const ratio = Number(value('17 AWG', 'gauge')) / Number(value('18AWG', 'gauge'));
    // ASTM B258 as restated at liquisearch.com: 1.1229322.
    expect(Math.sqrt(ratio)).toBeCloseTo(1.1229322, 7);
  });

  test.each(['18.5 AWG', '-1 AWG', '5/0 AWG', '0/0 AWG', '41 AWG', '999 AWG', '1e1 AWG'])(
    '%s is no gauge',
    (written) => {
      expect(trouble(written, 'gauge')).toMatchObject({
        code: 'quantity-number',
        data: { example: '18 AWG' },
      });
    },
  );
});

describe('what is not a quantity', () => {
  test.each<[string, Dimension, string]>([
    ['4k7', 'resistance', '4.7 kohm'],
    ['4K7', 'resistance', '4.7 kohm'],
    ['4M7', 'resistance', '4.7 Mohm'],
    ['4R7', 'resistance', '4.7 ohm'],
    ['4k7 ohm', 'resistance', '4.7 kohm'],
    ['4n7', 'capacitance', '4.7 nF'],
    ['4\u00B57', 'capacitance', '4.7 uF'],
    ['3V3', 'voltage', '3.3 V'],
    ['12O V', 'voltage', '120 V'],
    ['12O', 'voltage', '120'],
    ['1O5 V', 'voltage', '105 V'],
    ['1O5', 'voltage', '105'],
    ['1 000 V', 'voltage', '1000 V'],
    ['1\u00A0000 V', 'voltage', '1000 V'],
    ['1\u202F000', 'voltage', '1000'],
    ["1'000 V", 'voltage', '1000 V'],
    ['1_000 V', 'voltage', '1000 V'],
    ['', 'voltage', '120 V'],
    ['V', 'voltage', '120 V'],
    ['NaN', 'resistance', '23.4 ohm'],
    ['.nan', 'resistance', '23.4 ohm'],
    ['Infinity', 'voltage', '120 V'],
    ['-Infinity V', 'voltage', '120 V'],
    ['.inf', 'voltage', '120 V'],
    ['1e999', 'voltage', '120 V'],
    ['1e999 V', 'voltage', '120 V'],
    ['1e308 kV', 'voltage', '120 V'],
    ['1e-999 V', 'voltage', '120 V'],
    ['1.2.3 V', 'voltage', '120 V'],
    ['--5 V', 'voltage', '120 V'],
    ['5 5 V', 'voltage', '120 V'],
    ['\u0661\u0662\u0660 V', 'voltage', '120 V'],
    ['\uFF11\uFF12\uFF10 V', 'voltage', '120 V'],
    ['\u221212 V', 'voltage', '120 V'],
    ['10\u00B2 V', 'voltage', '120 V'],
    ['I20 V', 'voltage', '120 V'],
  ])('%j (%s) has no number; %j is shown', (written, dimension, example) => {
    const found = trouble(written, dimension);
    expect(found.code).toBe('quantity-number');
    expect(found.data).toEqual({ found: written, dimension, example });
  });

  test.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])(
    'the number %d is none',
    (number) => {
      expect(trouble(number, 'voltage').code).toBe('quantity-number');
    },
  );

  test.each([
    ['119,8', '119.8'],
    ['119,8 V', '119.8 V'],
    ['0,5 V', '0.5 V'],
    ['-0,5 V', '-0.5 V'],
    ['1.234,5 V', '1234.5 V'],
    ['1,234.5 V', '1234.5 V'],
    ['1,234,567 V', '1234567 V'],
    ['1,198 V', '1.198 V or 1198 V'],
    ['1,198', '1.198 or 1198'],
    ['120, V', '120 V'],
  ])('a comma in %j is shown as %j, and never cut off', (written, fix) => {
    expect(trouble(written, 'voltage')).toMatchObject({
      code: 'quantity-comma',
      data: { found: written, fix },
    });
  });

  test.each<[string, Dimension, string, string | undefined]>([
    ['120 v', 'voltage', 'v', 'V'],
    ['120 W', 'voltage', 'W', undefined],
    ['120 MV', 'voltage', 'MV', undefined],
    ['0x10', 'voltage', 'x10', undefined],
    ['120 Volt', 'voltage', 'Volt', undefined],
    ['4.7 Kohm', 'resistance', 'Kohm', 'kohm'],
    ['4.7 KOHM', 'resistance', 'KOHM', 'kohm'],
    ['40 R', 'resistance', 'R', undefined],
    ['40 omh', 'resistance', 'omh', 'ohm'],
    ['35 MFD', 'capacitance', 'MFD', 'uF'],
    ['35 MF', 'capacitance', 'MF', 'uF'],
    ['35 mF', 'capacitance', 'mF', undefined],
    ['10 MOHM', 'resistance', 'MOHM', 'Mohm'],
    ['10 mOHM', 'resistance', 'mOHM', 'mohm'],
    ['20 C', 'temperature', 'C', undefined],
    ['300 K', 'temperature', 'K', undefined],
    ['60 hz', 'frequency', 'hz', 'Hz'],
    ['18 awg', 'gauge', 'awg', 'AWG'],
    ['12abc', 'voltage', 'abc', undefined],
    ['5 V ac', 'voltage', 'V ac', undefined],
  ])('%j (%s): the unit %j is not known; nearest %j', (written, dimension, unit, nearest) => {
    const found = trouble(written, dimension);
    expect(found).toMatchObject({ code: 'quantity-unit', data: { found: written, unit, dimension } });
    expect(found.data).toMatchObject({ nearest });
    expect('units' in found.data && found.data.units.length).toBeGreaterThan(0);
  });

  test('what is shown of a long text is short', () => {
    const found = trouble(`${'9'.repeat(100_000)}`, 'voltage');
    expect(JSON.stringify(found).length).toBeLessThan(300);
  });
});

describe('ranges', () => {
  test.each<[string, Dimension, string]>([
    ['-40 ohm', 'resistance', '0 ohm'],
    ['-1 uF', 'capacitance', '0 F'],
    ['-10 %', 'ratio', '0 %'],
    ['-0.9 m', 'length', '0 m'],
    ['-1 Hz', 'frequency', '0 Hz'],
    ['-300 degC', 'temperature', '-273.15 degC'],
    ['-0.5 mm2', 'gauge', '0 mm2'],
  ])('%j (%s) lies below what has a meaning, %s', (written, dimension, least) => {
    expect(trouble(written, dimension)).toMatchObject({
      code: 'quantity-range',
      data: { least, most: undefined },
    });
  });

  test('the caller may ask for less, in the base unit', () => {
    expect(readQuantity('0 V', 'voltage', { least: 0 }).ok).toBe(true);
    expect(readQuantity('120 %', 'ratio', { least: 0, most: 1 })).toMatchObject({
      code: 'quantity-range',
      data: { found: '120 %', least: '0 %', most: '100 %' },
    });
    expect(readQuantity('0 V', 'voltage', { least: 0, exclusiveLeast: true })).toMatchObject({
      code: 'quantity-range',
      data: { least: '0 V', exclusiveLeast: true },
    });
    expect(readQuantity('0 ohm', 'resistance', { exclusiveLeast: true }).ok).toBe(false);
    expect(readQuantity('1 mV', 'voltage', { least: 0, exclusiveLeast: true }).ok).toBe(true);
  });
});

test('a trouble becomes a problem once it has its place', () => {
  const at = { source: { name: 'a', text: '119,8' }, span: { start: 0, end: 5 } };
  const found = trouble('119,8', 'voltage');
  expect(quantityProblem(found, at)).toEqual({
    code: 'quantity-comma',
    data: { found: '119,8', fix: '119.8' },
    at,
  });
});

describe('for any text and number', () => {
  const dimensions: readonly Dimension[] = [
    'voltage',
    'current',
    'resistance',
    'power',
    'apparent-power',
    'frequency',
    'capacitance',
    'inductance',
    'temperature',
    'ratio',
    'length',
    'gauge',
    'time',
  ];
  /** What one of each spelling is in the base unit, written out by hand. */
  const spellings: readonly (readonly [Dimension, string, number])[] = [
    ['voltage', 'uV', 1e-6],
    ['voltage', 'mV', 1e-3],
    ['voltage', 'V', 1],
    ['voltage', 'kV', 1e3],
    ['current', 'nA', 1e-9],
    ['current', '\u00B5A', 1e-6],
    ['current', 'mA', 1e-3],
    ['current', 'A', 1],
    ['resistance', 'mohm', 1e-3],
    ['resistance', 'ohm', 1],
    ['resistance', 'k\u03A9', 1e3],
    ['resistance', 'Mohms', 1e6],
    ['power', 'mW', 1e-3],
    ['power', 'W', 1],
    ['power', 'kW', 1e3],
    ['apparent-power', 'kVA', 1e3],
    ['frequency', 'kHz', 1e3],
    ['frequency', 'MHz', 1e6],
    ['capacitance', 'pF', 1e-12],
    ['capacitance', 'nF', 1e-9],
    ['capacitance', 'uF', 1e-6],
    ['inductance', 'uH', 1e-6],
    ['inductance', 'mH', 1e-3],
    ['ratio', '%', 1e-2],
    ['length', 'ft', 0.3048],
    ['time', 'h', 60],
  ];
  const finite = fc
    .double({ min: 0, max: 1e9, noNaN: true })
    .filter((number) => number === 0 || number > 1e-9);

  test('a number printed with any spelling reads back as that many base units', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...spellings),
        finite,
        fc.constantFrom('', ' ', '\u00A0'),
        (spelling, number, gap) => {
          const [dimension, unit, factor] = spelling;
          const read = readQuantity(`${number}${gap}${unit}`, dimension);
          if (!read.ok) throw new Error(`${number}${gap}${unit}: ${read.code}`);
          expect(read.value).toBeCloseTo(number * factor, 3);
          expect(Math.abs(read.value - number * factor)).toBeLessThanOrEqual(number * factor * 1e-15);
        },
      ),
    );
  });

  test('any text gives a finite number or a problem with a short text, and never throws', () => {
    const near = fc
      .array(fc.constantFrom(..."0123456789.,-+eEkKmMuOoΩ% 'VAFnanIfity/".split('')), { maxLength: 12 })
      .map((letters) => letters.join(''));
    fc.assert(
      fc.property(
        fc.oneof(near, fc.string({ unit: 'grapheme' }), fc.string()),
        fc.constantFrom(...dimensions),
        (written, dimension) => {
          const read = readQuantity(written, dimension);
          if (!read.ok) return read.data.found.length <= 60;
          // What is read must be all that is written: digits and a unit that is known, nothing dropped.
          return Number.isFinite(read.value) && !Object.is(read.value, -0) && /^\s*[-+]?[0-9.]/.test(written);
        },
      ),
      { numRuns: 2000 },
    );
  });

  test('a decimal comma is never read as a number', () => {
    fc.assert(
      fc.property(fc.nat(99_999), fc.nat(99_999), (whole, fraction) => {
        const read = readQuantity(`${whole},${fraction} V`, 'voltage');
        return !read.ok && read.code === 'quantity-comma' && read.data.fix.includes(`${whole}.${fraction} V`);
      }),
    );
  });
});
