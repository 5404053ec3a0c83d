/** Worked examples of our own, computed exactly by hand: fractions where there are any. */
import { describe, expect, it } from 'vitest';
import { Bench } from './metered-circuit.js';

/** Item 7: 120 V; L-10-a, a-100-N, a-20-b, b-R4-N, b-30-c, c-200-N. */
function ladder(ohms: Partial<Record<'R1' | 'R2' | 'R3' | 'R4' | 'R5' | 'R6', number>> = {}): Bench {
  const { R1 = 10, R2 = 100, R3 = 20, R4 = 50, R5 = 30, R6 = 200 } = ohms;
  const load = (from: string, to: string, value: number) =>
    `{ kind: other, between: [${from}, ${to}], resistance: ${value} ohm, tolerance: 0 % }`;
  return new Bench(`
loadside: circuit/1
supplies:
  S:
    { system: single-phase, voltage: 120 V, frequency: 60 Hz, tolerance: 0 %, impedance: 1e-6 ohm, terminals: { line: S.L, neutral: S.N } }
loads:
  R1: ${load('S.L', 'a', R1)}
  R2: ${load('a', 'S.N', R2)}
  R3: ${load('a', 'b', R3)}
  R4: ${load('b', 'S.N', R4)}
  R5: ${load('b', 'c', R5)}
  R6: ${load('c', 'S.N', R6)}
`);
}

/** No more than this is taken off by a meter of 10 Mohm, or added by the milliohm that a shorted part keeps. */
const loadingVolts = 0.002;

function expectAt(bench: Bench, place: string, volts: number, faults: readonly string[] = []): void {
  const found = bench.volts(place, 'S.N', { faults });
  if (found.kind !== 'volts') throw new Error(found.kind);
  expect(Math.abs(found.value - volts)).toBeLessThan(loadingVolts);
}

describe('resistive ladder', () => {
  it('has 205200/2161, 138000/2161 and 120000/2161 V with 50 ohm', () => {
    expectAt(ladder(), 'a', 205200 / 2161);
    expectAt(ladder(), 'b', 138000 / 2161);
    expectAt(ladder(), 'c', 120000 / 2161);
  });

  it('has 75, 0 and 0 V with R4 shorted', () => {
    expectAt(ladder(), 'a', 75, ['R4:shorted']);
    // A shorted part keeps a milliohm.
    for (const place of ['b', 'c'])
      expect(ladder().volts(place, 'S.N', { faults: ['R4:shorted'] })).toMatchObject({
        kind: 'volts',
        value: expect.closeTo(0, 1),
      });
  });

  it('has 105.263158, 96.842105 and 84.210526 V with R4 open', () => {
    expectAt(ladder(), 'a', 105.263158, ['R4:open']);
    expectAt(ladder(), 'b', 96.842105, ['R4:open']);
    expectAt(ladder(), 'c', 84.210526, ['R4:open']);
  });

  it.each([
    [25, 47.635485],
    [100, 76.965979],
    [400, 90.969018],
  ])('has at b, with R4 of %d ohm, %d V, as the closed form says', (ohms, volts) => {
    expectAt(ladder({ R4: ohms }), 'b', volts);
    expectAt(ladder({ R4: ohms }), 'b', (96.842105 * ohms) / (ohms + 25.824561));
  });
});

describe('signature directions of the ladder', () => {
  const before = ladder();

  it.each([
    ['R1', 12, 1.48696, 0.86957],
    ['R2', 150, 1.48696, 0.86957],
    ['R3', 25, -0.22134, 0.86957],
    ['R4', 70, 0.3125, 0.86957],
    ['R5', 60, 0.3125, -10.875],
    ['R6', 400, 0.3125, 2.63125],
  ] as const)('moves a, b and c in one proportion with %s, however far it goes', (part, ohms, a, c) => {
    for (const changed of [ladder({ [part]: ohms }), ladder({ [part]: 10 * ohms })]) {
      const moved = (place: string) => valueAt(changed, place) - valueAt(before, place);
      expect(moved('a') / moved('b')).toBeCloseTo(a, 2);
      expect(moved('c') / moved('b')).toBeCloseTo(c, 2);
    }
  });
});

function valueAt(bench: Bench, place: string): number {
  const found = bench.volts(place, 'S.N');
  if (found.kind !== 'volts') throw new Error(found.kind);
  return found.value;
}

describe('split-phase open neutral', () => {
  const bench = new Bench(`
loadside: circuit/1
supplies:
  S:
    { system: split-phase, voltage: 120 V, frequency: 60 Hz, tolerance: 0 %, impedance: 1e-6 ohm, terminals: { line1: S.1, line2: S.2, neutral: S.N } }
loads:
  A: { kind: other, between: [S.1, N], resistance: 20 ohm, tolerance: 0 % }
  B: { kind: other, between: [N, S.2], resistance: 60 ohm, tolerance: 0 % }
wires:
  - { id: W, from: N, to: S.N, resistance: 1e-6 ohm }
`);

  it('has 120 V on either load while the neutral holds', () => {
    expect(bench.volts('S.1', 'N')).toMatchObject({ value: expect.closeTo(120, 3) });
    expect(bench.volts('N', 'S.2')).toMatchObject({ value: expect.closeTo(120, 3) });
  });

  it('has 60 and 180 V once it is open', () => {
    expect(bench.volts('S.1', 'N', { faults: ['W:open'] })).toMatchObject({ value: expect.closeTo(60, 3) });
    expect(bench.volts('N', 'S.2', { faults: ['W:open'] })).toMatchObject({ value: expect.closeTo(180, 3) });
    expect(bench.volts('N', 'S.N', { faults: ['W:open'] })).toMatchObject({ value: expect.closeTo(60, 3) });
  });
});
