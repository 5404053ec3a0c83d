import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { couldReadAlike, type Expected } from '../../src/meter/meter.js';

const ac = (low: number, high: number): Expected => ({
  kind: 'driven',
  low,
  nominal: (low + high) / 2,
  high,
  unit: 'V',
});
const dc = (low: number, high: number): Expected => ({ ...ac(low, high), signed: true }) as Expected;
const floating = (high: number): Expected => ({ kind: 'floating', likely: 0, high, unit: 'V', cause: [] });

describe('two cases could read alike', () => {
  test.each([
    ['bands that overlap', ac(58, 62), ac(61, 65), true],
    ['bands that touch', ac(58, 62), ac(62, 66), true],
    ['one band inside the other', ac(0, 100), ac(40, 41), true],
    ['bands apart', ac(58, 62), ac(62.1, 66), false],
    ['a floating place and no volts', floating(102), ac(0, 0.3), true],
    ['a floating place and volts it could show', floating(102), ac(100, 110), true],
    ['a floating place and more than it could show', floating(102), ac(117, 123), false],
    ['two floating places', floating(102), floating(0.8), true],
    ['dc the one way and the other', dc(11, 13), dc(-13, -11), false],
    ['dc the same way', dc(-13, -11), dc(-12, -10), true],
    ['ac has no sign to tell it from dc by', ac(11, 13), dc(-13, -11), true],
    ['dc about nothing, and ac', dc(-0.3, 0.3), ac(0, 0.3), true],
    ['dc the wrong way, and a floating place', dc(-13, -11), floating(17), true],
  ])('%s: %#', (_, a, b, alike) => {
    expect(couldReadAlike(a, b)).toBe(alike);
    expect(couldReadAlike(b, a)).toBe(alike);
  });

  test('exactly where some value lies in both bands', () => {
    const ends = fc.tuple(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 40 }));
    fc.assert(
      fc.property(ends, ends, ([a, b], [c, d]) => {
        const [first, second] = [ac(Math.min(a, b), Math.max(a, b)), ac(Math.min(c, d), Math.max(c, d))];
        const common = Array.from({ length: 41 }, (_, value) => value).some(
          (value) =>
            value >= Math.min(a, b) &&
            value <= Math.max(a, b) &&
            value >= Math.min(c, d) &&
            value <= Math.max(c, d),
        );
        expect(couldReadAlike(first, second)).toBe(common);
      }),
    );
  });

  test('does not carry over from one to the next', () => {
    const [a, b, c] = [ac(58, 62), ac(61, 65), ac(64, 68)];
    expect([couldReadAlike(a, b), couldReadAlike(b, c), couldReadAlike(a, c)]).toEqual([true, true, false]);
  });
});
