import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Factor } from '../../../src/solve/kernel/factor.js';
import { residual } from '../../../src/solve/kernel/residual.js';
import { solveSources } from '../../../src/solve/kernel/sources.js';
import { ground, planStructure } from '../../../src/solve/kernel/structure.js';
import { denseVolts } from './dense-reference.js';
import {
  absent,
  across,
  arraysOf,
  branch,
  columnOf,
  islandsByHand,
  largestEmf,
  type Mix,
  type Network,
  networks,
  referencedVolts,
  solveArrays,
  solveNetwork,
  type TestBranch,
  type Volts,
  worstDifference,
} from './networks.js';

const resistive: Mix = { decades: [-1, 3], reactances: 'none' };
const inductive: Mix = { decades: [-1, 3], reactances: 'inductive' };
const mixed: Mix = { decades: [-1, 3], reactances: 'both' };

describe('volts agree with dense modified nodal analysis to 1e-9', () => {
  for (const [name, mix, runs] of [
    ['resistive', resistive, 500],
    ['resistive and inductive', inductive, 500],
    ['with capacitors', mixed, 500],
  ] as const) {
    test(name, () => {
      fc.assert(
        fc.property(networks(9, mix), (network) => {
          const solution = solveNetwork(network);
          expect(solution.settled).toBe(true);
          const found = referencedVolts(network, solution.vRe, solution.vIm);
          expect(worstDifference(found, denseVolts(network))).toBeLessThan(1e-9 * largestEmf(network));
          const { structure, yRe, yIm, eRe, eIm, vRe, vIm } = solution;
          expect(residual(structure, yRe, yIm, eRe, eIm, vRe, vIm)).toBeLessThan(1e-12);
        }),
        { numRuns: runs },
      );
    });
  }
});

describe('worked examples', () => {
  /** 120 V; L-10-a, a-100-N, a-20-b, b-R4-N, b-30-c, c-200-N (ohms). Exact rationals by nodal analysis. */
  const ladder = (r4: TestBranch): Network => ({
    nodeCount: 4,
    branches: [
      { ...branch(ground, 0, 1e-6), eRe: 120 },
      branch(0, 1, 10),
      branch(1, ground, 100),
      branch(1, 2, 20),
      r4,
      branch(2, 3, 30),
      branch(3, ground, 200),
    ],
  });
  /** The source is ideal there and has 1e-6 ohm here, for at most 120 V / 10 ohm. */
  const sourceDrop = 1.3e-5;

  test.each([
    ['50 ohm', branch(2, ground, 50), 205200 / 2161, 138000 / 2161, 120000 / 2161],
    ['25 ohm', branch(2, ground, 25), undefined, 47.635485, undefined],
    ['100 ohm', branch(2, ground, 100), undefined, 76.965979, undefined],
    ['400 ohm', branch(2, ground, 400), undefined, 90.969018, undefined],
    ['shorted', branch(2, ground, 1e-9), 75, 0, 0],
    ['open', absent(2, ground), 105.263158, 96.842105, 84.210526],
  ])('resistive ladder with R4 %s', (_, r4, a, b, c) => {
    const { vRe } = solveNetwork(ladder(r4));
    for (const [node, expected] of [a, b, c].entries()) {
      if (expected !== undefined) expect(Math.abs(vRe[node + 1]! - expected)).toBeLessThan(sourceDrop);
    }
  });

  test('split phase with an open neutral: 20 and 60 ohm share 240 V as 60 and 180 V', () => {
    // By hand: one current through 80 ohm.
    const { vRe } = solveNetwork({
      nodeCount: 3,
      branches: [
        branch(ground, 0, 1e-6, 0, 120),
        branch(ground, 1, 1e-6, 0, -120),
        absent(2, ground),
        branch(0, 2, 20),
        branch(1, 2, 60),
      ],
    });
    expect(vRe[0]! - vRe[2]!).toBeCloseTo(60, 4);
    expect(vRe[2]! - vRe[1]!).toBeCloseTo(180, 4);
  });

  test('a motor of 30 + j60 ohm behind 10 ohm on 120 V', () => {
    // By hand: I = 120 / (40 + j60), v = I (30 + j60) = 120 (1200 + 3600 + j(2400 - 1800)) / 5200.
    const { vRe, vIm } = solveNetwork({
      nodeCount: 2,
      branches: [branch(ground, 0, 1e-9, 0, 120), branch(0, 1, 10), branch(1, ground, 30, 60)],
    });
    expect(vRe[1]).toBeCloseTo((120 * 4800) / 5200, 7);
    expect(vIm[1]).toBeCloseTo((120 * 600) / 5200, 7);
  });

  test('in-circuit resistance: 470 ohm with a 1 kohm path reads 319.7 ohm', () => {
    // 470 * 1000 / 1470, by hand; the pair is in no island of ground.
    const { factor } = solveNetwork({
      nodeCount: 3,
      branches: [branch(0, 1, 470), branch(0, 2, 600), branch(2, 1, 400)],
    });
    expect(across(columnOf(factor, 0, 1), 0, 1).re).toBeCloseTo(470000 / 1470, 10);
    expect(across(columnOf(factor, 2, 2), 0, 1)).toEqual({ re: 0, im: 0 });
  });

  test('behind an open neutral every node is at line voltage to ten digits', () => {
    const { vRe } = solveNetwork({
      nodeCount: 4,
      branches: [
        branch(ground, 0, 0.05, 0, 120),
        branch(0, 1, 0.02),
        branch(1, 2, 24),
        branch(2, 3, 0.02),
        absent(3, ground),
      ],
    });
    for (const volts of vRe) expect(Math.abs(volts - 120)).toBeLessThan(1e-8);
  });
});

describe('what is refused or left alone', () => {
  test('an admittance that is not finite', () => {
    const { structure } = arraysOf({ nodeCount: 1, branches: [branch(ground, 0, 1)] });
    const factor = new Factor(structure);
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => factor.load(Float64Array.of(bad), Float64Array.of(0))).toThrow(/finite/);
      expect(() => factor.load(Float64Array.of(1), Float64Array.of(bad))).toThrow(/finite/);
    }
  });

  test('a branch that ends outside the network', () => {
    expect(() => planStructure(2, Int32Array.of(0), Int32Array.of(2))).toThrow(/ends on 2/);
    expect(() => planStructure(2, Int32Array.of(-2), Int32Array.of(1))).toThrow(/ends on -2/);
    expect(() => planStructure(2, Int32Array.of(0, 1), Int32Array.of(1))).toThrow(/begin/);
  });

  test('a network without nodes, and one without branches', () => {
    expect(solveNetwork({ nodeCount: 0, branches: [] }).vRe).toHaveLength(0);
    expect([...solveNetwork({ nodeCount: 2, branches: [] }).vRe]).toEqual([0, 0]);
  });

  test('a factor loaded again has nothing left of the state before', () => {
    fc.assert(
      fc.property(
        networks(8, mixed),
        fc.array(fc.boolean(), { minLength: 40, maxLength: 40 }),
        (network, closed) => {
          const arrays = arraysOf(network);
          const factor = new Factor(arrays.structure);
          const { vRe, vIm } = solveArrays(arrays);
          const some = {
            ...arrays,
            yRe: arrays.yRe.map((y, b) => (closed[b] ? y : 0)),
            yIm: arrays.yIm.map((y, b) => (closed[b] ? y : 0)),
          };
          const other = { re: vRe.slice(), im: vIm.slice() };
          for (const state of [some, arrays]) {
            factor.load(state.yRe, state.yIm);
            solveSources(factor, state.yRe, state.yIm, state.eRe, state.eIm, other.re, other.im);
          }
          expect(other).toEqual({ re: vRe, im: vIm });
        },
      ),
      { numRuns: 200 },
    );
  });
});

test('a column is what a source of 1 A does: a huge EMF behind as many ohms', () => {
  fc.assert(
    fc.property(networks(8, mixed), fc.nat(30), (network, pick) => {
      const { factor } = solveNetwork(network);
      const labels = islandsByHand(network);
      const island = (node: number): number => (node === ground ? 0 : labels[node]!);
      const each = network.branches[pick % network.branches.length];
      if (each === undefined || island(each.from) !== island(each.to)) return;
      const { from, to } = each;
      const column = columnOf(factor, from, to);
      const silent = network.branches.map((other) => ({ ...other, eRe: 0, eIm: 0 }));
      const driven = { ...network, branches: [...silent, branch(to, from, 1e12, 0, 1e12)] };
      const { vRe, vIm } = solveNetwork(driven);
      const [found, expected] = [column, { re: vRe, im: vIm }].map(({ re, im }) =>
        referencedVolts(network, re, im),
      ) as [Volts[], Volts[]];
      const largest = Math.max(1, ...expected.map(({ re, im }) => Math.hypot(re, im)));
      expect(worstDifference(found, expected)).toBeLessThan(1e-7 * largest);
    }),
    { numRuns: 300 },
  );
});
