import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { mostUnknowns, newSmallSystem, solveSmall } from '../../../src/solve/kernel/small-system.js';
import { preciseSolve } from './dense-reference.js';

/** Solves A x = b with real A by rows. */
function solved(
  a: readonly (readonly number[])[],
  b: readonly number[],
): { x: number[]; leastPivot: number } {
  const system = newSmallSystem();
  system.size = b.length;
  a.forEach((row, i) => {
    row.forEach((each, j) => {
      system.aRe[i * mostUnknowns + j] = each;
    });
  });
  b.forEach((each, i) => {
    system.xRe[i] = each;
  });
  const leastPivot = solveSmall(system);
  return { x: [...system.xRe.slice(0, b.length)], leastPivot };
}

/** 1 + D K by rows. */
function changed(steps: readonly number[], k: readonly (readonly number[])[]): number[][] {
  return k.map((row, i) => row.map((each, j) => steps[i]! * each + (i === j ? 1 : 0)));
}

describe('systems of a few changes', () => {
  test('a leak of 1e12 ohm and a stiff wire opened together: every unknown to 12 digits', () => {
    const k = [
      [2.52109110308e11, 3.0294025e-5],
      [3.0294025e-5, 4.264519929e-5],
    ];
    const a = changed([-1.1481536215e-12, -23442.2881532], k);
    const b = [1.77e-13, 3800];
    const { x } = solved(a, b);
    const expected = preciseSolve(a, b);
    x.forEach((each, i) => {
      expect(expected[i]!.div(each).minus(1).abs().toNumber()).toBeLessThan(1e-10);
    });
  });

  test('a changed source, which feels nothing, beside a short that feels it strongly', () => {
    const a = [
      [1, 0],
      [1.6e6, 3.9e9],
    ];
    const { x } = solved(a, [1.7e-8, 1.5e11]);
    expect(x[0]! / 1.7e-8).toBeCloseTo(1, 12);
    // By hand, b - 1.6e6 * 1.7e-8 over 3.9e9.
    expect(x[1]!).toBeCloseTo((1.5e11 - 0.0272) / 3.9e9, 12);
  });

  test('the same the other way round', () => {
    const a = [
      [1, 1.6e12],
      [0, 2],
    ];
    const { x } = solved(a, [5, 3e-9]);
    expect(x[0]!).toBeCloseTo(5 - 1.6e12 * 1.5e-9, 9);
    expect(x[1]! / 1.5e-9).toBeCloseTo(1, 12);
  });

  test('an unknown far below the others keeps its digits beside an entry that is all rounding', () => {
    const a = [
      [1, 0],
      [1.3e-17, 0.4],
    ];
    const { x } = solved(a, [3e-20, 7]);
    expect(x[0]! / 3e-20).toBeCloseTo(1, 12);
    expect(x[1]).toBeCloseTo(17.5, 12);
  });

  test('rows are exchanged where the entry at hand is next to nothing', () => {
    const { x, leastPivot } = solved(
      [
        [1e-14, 0.7],
        [0.7, 1e-14],
      ],
      [1, 2],
    );
    expect(x[0]).toBeCloseTo(2 / 0.7, 12);
    expect(x[1]).toBeCloseTo(1 / 0.7, 12);
    expect(leastPivot).toBeCloseTo(0.7, 12);
  });

  test('the least pivot sees two opens that cut an island off, whatever a short beside them does', () => {
    // Two branches in parallel that carry all there is, 0.6 and 0.4 of it, both opened; and a dead short elsewhere.
    const share = Math.sqrt(0.6 * 0.4);
    const { leastPivot } = solved(
      [
        [1 - 0.6, -share, 0],
        [-share, 1 - 0.4, 0],
        [0, 0, 1 + 1e9],
      ],
      [1, 1, 1],
    );
    expect(leastPivot).toBeLessThan(1e-15);
  });

  test('a singular system has a pivot of 0', () => {
    expect(solved([[0]], [1]).leastPivot).toBe(0);
  });

  test('agrees with 64 digits where impedances lie many decades apart', () => {
    const entry = fc.integer({ min: -100, max: 100 });
    const cases = fc.integer({ min: 1, max: mostUnknowns }).chain((size) =>
      fc.record({
        shape: fc.array(fc.array(entry, { minLength: size, maxLength: size }), {
          minLength: size,
          maxLength: size,
        }),
        decades: fc.array(fc.integer({ min: -6, max: 6 }), { minLength: size, maxLength: size }),
        kinds: fc.array(fc.integer({ min: 0, max: 3 }), { minLength: size, maxLength: size }),
        drive: fc.array(entry, { minLength: size, maxLength: size }),
      }),
    );
    fc.assert(
      fc.property(cases, ({ shape, decades, kinds, drive }) => {
        // K = S (M M^T + 1) S, S the square roots of impedances of 1e-12 to 1e12 ohm; opened in part, shorted, kept.
        const scale = decades.map((each) => 10 ** each);
        const k = shape.map((row, i) =>
          shape.map((other, j) => {
            const dot = row.reduce((sum, each, m) => sum + (each * other[m]!) / 1e4, i === j ? 1 : 0);
            return dot * scale[i]! * scale[j]!;
          }),
        );
        const step = [-0.9, 1e6, 3, 0];
        const steps = kinds.map((kind, i) => step[kind]! / k[i]![i]!);
        const a = changed(steps, k);
        const b = drive.map((each, i) => each / scale[i]!);
        const { x, leastPivot } = solved(a, b);
        if (leastPivot < 1e-6) return;
        const expected = preciseSolve(a, b);
        // Each unknown against the largest, in volts on its own impedance.
        const largest = Math.max(1e-300, ...expected.map((each, i) => each.abs().toNumber() * scale[i]!));
        x.forEach((each, i) => {
          expect((expected[i]!.minus(each).abs().toNumber() * scale[i]!) / largest).toBeLessThan(1e-8);
        });
      }),
      { numRuns: 400 },
    );
  });
});
