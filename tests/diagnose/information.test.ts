import { expect, test } from 'vitest';
import { entropy, expectedGain } from '../../src/diagnose/next/information.js';

/** Parts in series, one of them open: a probe behind the first `behind` of them says on which side of it. */
function seriesGain(priors: readonly number[], behind: number): number {
  const before = priors.map((weight, index) => (index < behind ? weight : 0));
  const after = priors.map((weight, index) => (index < behind ? 0 : weight));
  return expectedGain([before, after]);
}

const places = [1, 2, 3, 4, 5, 6, 7];

// Half-split, a rule of the trade; the numbers are Shannon's entropy, computed by hand.
test('eight equal parts: the middle halves them, and three readings are enough', () => {
  const equal = Array.from({ length: 8 }, () => 1 / 8);
  expect(entropy(equal)).toBeCloseTo(3, 12);
  const left = places.map((behind) => 3 - seriesGain(equal, behind));
  for (const [index, bits] of [2.4564, 2.1887, 2.0456, 2, 2.0456, 2.1887, 2.4564].entries())
    expect(left[index]).toBeCloseTo(bits, 4);
});

test('the half is one of probability, not of count', () => {
  const priors = [0.4, 0.1, 0.1, 0.1, 0.1, 0.1, 0.05, 0.05];
  expect(entropy(priors)).toBeCloseTo(2.6219, 4);
  const gains = places.map((behind) => seriesGain(priors, behind));
  expect(gains[1]).toBeCloseTo(1, 12);
  expect(gains[3]).toBeCloseTo(0.8813, 4);
  expect(Math.max(...gains)).toBe(gains[1]);
});

test('weights need not sum to one, and what is certain has nothing missing', () => {
  expect(entropy([3, 3])).toBeCloseTo(1, 12);
  expect([entropy([]), entropy([0, 0]), entropy([0.7, 0])]).toEqual([0, 0, 0]);
  expect(expectedGain([])).toBe(0);
  expect(
    expectedGain([
      [0.2, 0.2],
      [0.3, 0.3],
    ]),
  ).toBeCloseTo(0, 12);
});
