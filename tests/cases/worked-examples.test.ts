/** Worked examples of our own, computed exactly by hand: fractions where there are any. */
import { describe, expect, it } from 'vitest';
import { designateFault } from '../../src/circuit/circuit.js';
import { node, openCircuit, steadyView } from '../published/front-doors.js';
import { Bench } from './metered-circuit.js';

/** 120 V; L-10-a, a-100-N, a-20-b, b-R4-N, b-30-c, c-200-N. */
function ladder(ohms: Rungs = {}): Bench {
  return new Bench(ladderText(ohms));
}

type Rungs = Partial<Record<'R1' | 'R2' | 'R3' | 'R4' | 'R5' | 'R6', number>>;

function ladderText(ohms: Rungs): string {
  const { R1 = 10, R2 = 100, R3 = 20, R4 = 50, R5 = 30, R6 = 200 } = ohms;
  const load = (from: string, to: string, value: number) =>
    `{ kind: other, between: [${from}, ${to}], resistance: ${value} ohm, tolerance: 0 % }`;
  return `
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
`;
}

/** Volts at a, b and c with no meter there. The two legs' own resistance stands in series with R1, which has that less. */
function solved({ R1 = 10, ...others }: Rungs = {}, faults: readonly string[] = []): Volts {
  const circuit = openCircuit(ladderText({ R1: R1 - 2e-6, ...others }));
  const planted = faults.map((name) => designateFault(circuit, name));
  const view = steadyView(
    circuit,
    undefined,
    planted.flatMap((each) => (each.ok ? each.fault : [])),
  );
  const at = (place: string) => view.volts(0, node(circuit, place), node(circuit, 'S.N')).re;
  return { a: at('a'), b: at('b'), c: at('c') };
}

interface Volts {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

function expectVolts(found: Volts, a: number, b: number, c: number): void {
  expect(Math.abs(found.a - a)).toBeLessThan(1e-6);
  expect(Math.abs(found.b - b)).toBeLessThan(1e-6);
  expect(Math.abs(found.c - c)).toBeLessThan(1e-6);
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

describe('the ladder as solved, without a meter (computed: exact fractions)', () => {
  it('has 205200/2161, 138000/2161 and 120000/2161 V; with R4 open 2000/19, 1840/19 and 1600/19 V', () => {
    expectVolts(solved(), 205200 / 2161, 138000 / 2161, 120000 / 2161);
    expectVolts(solved({}, ['R4:open']), 2000 / 19, 1840 / 19, 1600 / 19);
  });

  it.each([0.001, 25, 50, 100, 400, 1e6])('has the volts of the closed form with R4 of %d ohm', (ohms) => {
    // Thevenin at b without R4: 1840/19 V behind 1472/57 ohm. a is tied to the line over 10/11, to b over the rest.
    const b = ((1840 / 19) * ohms) / (ohms + 1472 / 57);
    const a = (120 / 10 + b / 20) / (1 / 10 + 1 / 100 + 1 / 20);
    expectVolts(solved({ R4: ohms }), a, b, (b * 200) / 230);
  });

  it('has 75, 0 and 0 V with R4 shorted, but for the milliohm a shorted part keeps', () => {
    const { a, b, c } = solved({}, ['R4:shorted']);
    expect([a, b, c].map((volts) => Math.round(volts * 100) / 100)).toEqual([75, 0, 0]);
  });
});

/**
 * A resistor that drifts moves the volts in a direction of its own, however far it goes (bilinear in one resistance:
 * Augusto and Almeida 2008, https://www.hindawi.com/journals/vlsi/2008/630951/). Directions: computed.
 */
const directions = [
  ['R1', 10, 1.48696, 0.86957],
  ['R2', 100, 1.48696, 0.86957],
  ['R3', 20, -0.22134, 0.86957],
  ['R4', 50, 0.3125, 0.86957],
  ['R5', 30, 0.3125, -10.875],
  ['R6', 200, 0.3125, 2.63125],
] as const;

describe('signature directions of the ladder', () => {
  const sound = solved();

  /** How far a and c move for a volt at b. */
  function direction(part: keyof Rungs, ohms: number): readonly [a: number, c: number] {
    const { a, b, c } = solved({ [part]: ohms });
    return [(a - sound.a) / (b - sound.b), (c - sound.c) / (b - sound.b)];
  }

  it.each(directions)(
    'of %s (%d ohm) are a by %d and c by %d, for changes small and large',
    (part, ohms, a, c) => {
      for (const times of [0.1, 0.9, 1.001, 1.1, 2, 100]) {
        const [da, dc] = direction(part, times * ohms);
        expect(da).toBeCloseTo(a, 4);
        expect(dc).toBeCloseTo(c, 4);
      }
    },
  );

  it('are one for R1 and R2, whatever is read; for R4, R5 and R6 where only a and b are', () => {
    const alike = (places: 1 | 2) =>
      directions.map(([part, ohms]) => {
        const own = direction(part, 2 * ohms).slice(0, places);
        return directions
          .filter(([other, otherOhms]) =>
            direction(other, 2 * otherOhms)
              .slice(0, places)
              .every((each, index) => Math.abs(each - own[index]!) < 1e-6),
          )
          .map(([other]) => other)
          .join(' ');
      });
    expect([...new Set(alike(1))]).toEqual(['R1 R2', 'R3', 'R4 R5 R6']);
    expect([...new Set(alike(2))]).toEqual(['R1 R2', 'R3', 'R4', 'R5', 'R6']);
  });
});

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
