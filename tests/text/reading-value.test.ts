import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readReadingValue } from '../../src/text/text.js';

describe('readReadingValue', () => {
  test.each([null, '', '   ', '-', 'n/a', 'N/A', 'not measured', 'Not Measured'])(
    '%j is not measured, never 0',
    (written) => {
      expect(readReadingValue(written)).toEqual({ kind: 'blank' });
    },
  );

  test.each([
    ['121.4 V', 121.4, undefined],
    ['0 V', 0, undefined],
    ['-119.8 V', -119.8, undefined],
    ['350 mV', 0.35, undefined],
    ['121.4 V ac', 121.4, 'ac'],
    ['121.4 V AC', 121.4, 'ac'],
    ['121.4 VAC', 121.4, 'ac'],
    ['24.1 Vdc', 24.1, 'dc'],
    ['24.1V dc', 24.1, 'dc'],
    ['24.1\u00A0V\u00A0dc', 24.1, 'dc'],
  ])('%j is %d V, %s', (written, volts, current) => {
    expect(readReadingValue(written)).toEqual({ kind: 'voltage', volts, current });
  });

  test.each([
    ['10.2 A', 10.2, undefined],
    ['15 mA ac', 0.015, 'ac'],
    ['1.5 A dc', 1.5, 'dc'],
  ])('%j is %d A, %s', (written, amps, current) => {
    expect(readReadingValue(written)).toEqual({ kind: 'current', amps, current });
  });

  test.each([
    ['23.4 ohm', 23.4],
    ['0.2 \u2126', 0.2],
    ['4.7 k\u03A9', 4700],
    ['1.2 Mohm', 1_200_000],
  ])('%j is %d ohm', (written, ohms) => {
    expect(readReadingValue(written)).toEqual({ kind: 'resistance', ohms });
  });

  test.each([
    ['OL', 'resistance'],
    ['ol', 'resistance'],
    ['O.L', 'resistance'],
    ['O.L.', 'resistance'],
    ['0L', 'resistance'],
    ['0.L', 'resistance'],
    [' OL ', 'resistance'],
    ['OL ohm', 'resistance'],
    ['OL M\u03A9', 'resistance'],
    ['OL V', 'voltage'],
    ['OL V ac', 'voltage'],
    ['OL A', 'current'],
  ])('%j is beyond range of %s, and no number', (written, of) => {
    expect(readReadingValue(written)).toEqual({ kind: 'over-range', of });
  });

  test.each([
    [0, 'quantity-unit'],
    [121.4, 'quantity-unit'],
    ['121.4', 'quantity-unit'],
    ['121.4 W', 'quantity-unit'],
    ['60 Hz', 'quantity-unit'],
    ['121.4 v', 'quantity-unit'],
    ['121.4 V rms', 'quantity-unit'],
    ['23 ohm dc', 'quantity-unit'],
    ['OL W', 'quantity-unit'],
    ['OLV', 'quantity-number'],
    ['119,8 V', 'quantity-comma'],
    ['12O V', 'quantity-number'],
    ['-5 ohm', 'quantity-range'],
    ['NaN V', 'quantity-number'],
    ['Infinity ohm', 'quantity-number'],
    ['1e999 V', 'quantity-number'],
    [Number.NaN, 'quantity-number'],
    [Number.POSITIVE_INFINITY, 'quantity-number'],
    ['--', 'quantity-number'],
    ['yes', 'quantity-number'],
  ])('%j can not be read: %s', (written, code) => {
    expect(readReadingValue(written)).toMatchObject({ kind: 'unreadable', trouble: { code } });
  });

  test('the units a reading may have are named, and the nearest', () => {
    expect(readReadingValue('121.4 v AC')).toMatchObject({
      trouble: { data: { dimension: 'reading', unit: 'v AC', nearest: 'V ac' } },
    });
    expect(readReadingValue('12 Kohm')).toMatchObject({ trouble: { data: { nearest: 'kohm' } } });
  });

  test('no text gives a number that is not finite', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          fc.double(),
          fc.double().map((n) => `${n} V`),
        ),
        (written) => {
          const read = readReadingValue(written);
          if (read.kind === 'voltage') return Number.isFinite(read.volts) && !Object.is(read.volts, -0);
          if (read.kind === 'current') return Number.isFinite(read.amps);
          return read.kind === 'resistance' ? Number.isFinite(read.ohms) && read.ohms >= 0 : true;
        },
      ),
      { numRuns: 1000 },
    );
  });
});
