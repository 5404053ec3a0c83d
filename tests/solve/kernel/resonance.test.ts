import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { eliminateGuarded } from '../../../src/solve/kernel/eliminate-guarded.js';
import { Factor } from '../../../src/solve/kernel/factor.js';
import { residual } from '../../../src/solve/kernel/residual.js';
import { ground } from '../../../src/solve/kernel/structure.js';
import { denseVolts } from './dense-reference.js';
import {
  ampsOf,
  arraysOf,
  branch,
  type Network,
  networks,
  referencedVolts,
  type Solution,
  solveNetwork,
  type TestBranch,
  worstDifference,
} from './networks.js';

function residualOf(solution: Solution): number {
  const { structure, yRe, yIm, eRe, eIm, vRe, vIm } = solution;
  return residual(structure, yRe, yIm, eRe, eIm, vRe, vIm);
}

/** 120 V and 10 ohm to node 0, then 50 ohm of inductance to node 1, then as much of capacitance, or nearly, to ground. */
function series(mismatch: number): Network {
  return {
    nodeCount: 2,
    branches: [
      branch(ground, 0, 10, 0, 120),
      { from: 0, to: 1, yRe: 0, yIm: -1 / 50, eRe: 0, eIm: 0 },
      { from: 1, to: ground, yRe: 0, yIm: (1 + mismatch) / 50, eRe: 0, eIm: 0 },
    ],
  };
}

/** A coil and a capacitor side by side between node 0 and ground, the coil with an EMF in it, and nothing else. */
function tank(mismatch: number): Network {
  return {
    nodeCount: 1,
    branches: [
      { from: ground, to: 0, yRe: 0, yIm: -1 / 50, eRe: 120, eIm: 0 },
      { from: 0, to: ground, yRe: 0, yIm: (1 + mismatch) / 50, eRe: 0, eIm: 0 },
    ],
  };
}

describe('series resonance', () => {
  test.each([0, 1e-15, 1e-12, 1e-9, 1e-7])('is solved with a mismatch of %f', (mismatch) => {
    // By hand: at resonance the pair is a short, 12 A flow, and -j600 V stand on the capacitor.
    const solution = solveNetwork(series(mismatch));
    const { settled, vRe, vIm, factor } = solution;
    expect(settled).toBe(true);
    expect(factor.lifted).toBe(mismatch < 1e-8 ? 1 : 0);
    expect(residualOf(solution)).toBeLessThan(1e-12);
    // A mismatch leaves 50 ohm times it in the way.
    const near = 1e-6 + 1e4 * mismatch;
    expect(Math.hypot(vRe[0]!, vIm[0]!)).toBeLessThan(near);
    expect(Math.hypot(vRe[1]!, vIm[1]! + 600)).toBeLessThan(near);
  });

  test('has its current through all of it', () => {
    const { vRe, vIm } = solveNetwork(series(0));
    for (const each of series(0).branches) {
      const { re, im } = ampsOf(each, { re: vRe, im: vIm });
      expect(Math.hypot(re - 12, im)).toBeLessThan(1e-10);
    }
  });
});

describe('parallel resonance', () => {
  test('fed through a resistance, it is an open circuit', () => {
    const { nodeCount, branches } = tank(0);
    const solution = solveNetwork({
      nodeCount,
      branches: [branch(ground, 0, 10, 0, 120), ...branches.map((each) => ({ ...each, eRe: 0 }))],
    });
    expect(solution.settled).toBe(true);
    expect(solution.vRe[0]).toBeCloseTo(120, 10);
    expect(solution.vIm[0]).toBeCloseTo(0, 10);
  });

  test.each([0, 1e-15, 1e-12])('on its own it has no answer, and that is said: mismatch %f', (mismatch) => {
    expect(solveNetwork(tank(mismatch)).settled).toBe(false);
  });

  test.each([1e-6, 1e-4])('far enough from resonance it has one: mismatch %f', (mismatch) => {
    // By hand: v = 120 y_L / (y_L + y_C) = -120 / mismatch.
    const solution = solveNetwork(tank(mismatch));
    expect(solution.settled).toBe(true);
    expect(solution.factor.cancellation).toBeGreaterThan(1 / mismatch);
    expect((solution.vRe[0]! * mismatch) / -120).toBeCloseTo(1, 8);
  });
});

/** A branch of `siemens` in resistance or, imaginary, in capacitance (above 0) or inductance (below). */
function admittance(from: number, to: number, re: number, im: number, volts = 0): TestBranch {
  return { from, to, yRe: re, yIm: im, eRe: volts, eIm: 0 };
}

describe('answers that hang on nothing but the cancelling', () => {
  test('a node that coil and capacitor side by side cut off has none', () => {
    const { settled } = solveNetwork({
      nodeCount: 2,
      branches: [branch(ground, 0, 10, 0, 120), admittance(0, 1, 0, -0.02), admittance(0, 1, 0, 0.02)],
    });
    expect(settled).toBe(false);
  });

  test('nor has an island that only such a pair ties to ground', () => {
    const { settled } = solveNetwork({
      nodeCount: 2,
      branches: [branch(0, 1, 10, 0, 120), admittance(ground, 0, 0, -0.02), admittance(0, ground, 0, 0.02)],
    });
    expect(settled).toBe(false);
  });

  test('but a series resonance in an island without ground has one, against its own node', () => {
    const network = {
      nodeCount: 3,
      branches: [branch(0, 1, 10, 0, 120), admittance(1, 2, 0, -0.02), admittance(2, 0, 0, 0.02)],
    };
    const { settled, vRe, vIm } = solveNetwork(network);
    expect(settled).toBe(true);
    // By hand: 12 A through the pair, which is a short, and 50 ohm of coil.
    const [, one, two] = referencedVolts(network, vRe, vIm);
    expect(Math.hypot(one!.re, one!.im)).toBeLessThan(1e-6);
    expect(Math.hypot(two!.re, two!.im + 600)).toBeLessThan(1e-6);
  });

  test('a series resonance across a source of 1 micro-ohm is too sharp to be trusted', () => {
    const { settled, factor } = solveNetwork({
      nodeCount: 2,
      branches: [branch(ground, 0, 1e-6, 0, 120), admittance(0, 1, 0, -0.1), admittance(1, ground, 0, 0.1)],
    });
    expect(factor.lifted).toBe(1);
    expect(settled).toBe(false);
  });

  test('one resonance does not make the next pivots look cancelled', () => {
    // Node 0 resonates; past it stand admittances of 1e8 times the network's, and the last pivots of some 0.1 S.
    const network: Network = {
      nodeCount: 7,
      branches: [
        admittance(ground, 0, 0, -0.1, -0.7),
        admittance(0, 1, 0, 0.05),
        admittance(1, 2, 0, -0.05, -26.5),
        admittance(0, 3, 0, 0.05),
        admittance(1, 4, 0.1, 0, -109.1),
        admittance(2, 5, 0.1, 0),
        admittance(3, 6, 0.1, 0),
        admittance(2, 3, 0, -0.1),
      ],
    };
    const { settled, factor, vRe, vIm } = solveNetwork(network);
    expect(settled).toBe(true);
    expect(factor.lifted).toBe(1);
    expect(worstDifference(referencedVolts(network, vRe, vIm), denseVolts(network))).toBeLessThan(1e-9);
  });
});

test('the count of what cancelled stays finite however much did', () => {
  const { structure, yRe, yIm } = arraysOf({
    nodeCount: 4,
    branches: [branch(0, 1, 1), branch(0, 2, 1, 5), branch(1, 2, 1, -5), branch(2, 3, 1), branch(3, 0, 1)],
  });
  const factor = new Factor(structure);
  factor.load(yRe, yIm);
  const met = new Float64Array(structure.rows.length).fill(1e160);
  const { cancellation } = eliminateGuarded(factor, met, new Float64Array(4).fill(1));
  expect(cancellation).toBeLessThan(Number.POSITIVE_INFINITY);
  expect(met.every(Number.isFinite)).toBe(true);
});

/** Networks of equal coils and capacitors and a few resistances, in which much cancels exactly. */
function resonant(): fc.Arbitrary<Network> {
  const kinds = [
    branch(0, 0, 10),
    branch(0, 0, 0.5),
    ...[10, -10, 10, -10, 20, -20].map((x) => branch(0, 0, 0, x)),
  ];
  return networks(8, { decades: [0, 1], reactances: 'none' }).chain((network) =>
    fc.tuple(...network.branches.map(() => fc.nat(kinds.length - 1))).map((picks) => ({
      ...network,
      branches: network.branches.map((each, b) => made(each, kinds[picks[b]!]!)),
    })),
  );
}

function made(each: TestBranch, kind: TestBranch): TestBranch {
  return each.yRe === 0 ? each : { ...each, yRe: kind.yRe, yIm: kind.yIm };
}

test('where coils and capacitors cancel, the answer is right or it is refused', () => {
  let refused = 0;
  let lifted = 0;
  const numRuns = 700;
  fc.assert(
    fc.property(resonant(), (network) => {
      const solution = solveNetwork(network);
      if (solution.factor.lifted > 0) lifted += 1;
      for (const value of [...solution.vRe, ...solution.vIm]) expect(value).not.toBeNaN();
      const expected = referenceOrNone(network);
      if (!solution.settled) {
        refused += 1;
        expect(expected).toBeUndefined();
        return;
      }
      expect(residualOf(solution)).toBeLessThan(1e-9);
      if (expected === undefined) return;
      const found = referencedVolts(network, solution.vRe, solution.vIm);
      expect(worstDifference(found, expected)).toBeLessThan(1e-6);
    }),
    { numRuns },
  );
  expect(lifted).toBeGreaterThan(numRuns / 100);
  expect(refused).toBeLessThan(numRuns / 5);
});

/**
 * Undefined where the network is singular or nearly so: a few volts in every branch then drive far more somewhere, or
 * the dense solver fails.
 */
function referenceOrNone(network: Network): ReturnType<typeof denseVolts> | undefined {
  const stirred = network.branches.map((each, b) => ({
    ...each,
    eRe: Math.cos(b * b + 1),
    eIm: Math.sin(b + 2),
  }));
  try {
    const isSound = denseVolts({ ...network, branches: stirred }).every(
      ({ re, im }) => Math.hypot(re, im) < 1e4,
    );
    return isSound ? denseVolts(network) : undefined;
  } catch {
    return undefined;
  }
}
