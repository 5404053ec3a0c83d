import { describe, expect, test } from 'vitest';
import { residual } from '../../../src/solve/kernel/residual.js';
import { ground } from '../../../src/solve/kernel/structure.js';
import {
  across,
  arraysOf,
  branch,
  columnOf,
  type Network,
  solveNetwork,
  type TestBranch,
} from './networks.js';

/** Rows of the factor off its diagonal: one for each pair of nodes that elimination joins. */
function fillOf(network: Network): number {
  const { structure } = arraysOf(network);
  return structure.rows.length - structure.nodeCount;
}

/** Every node joined to every other by one kind of branch, a source at node 0 and a way back at node 1. */
function complete(nodeCount: number, ohms: number, reactanceOhms: number): Network {
  const branches: TestBranch[] = [branch(ground, 0, 1, 0, 120), branch(1, ground, 1, 5)];
  for (let i = 0; i < nodeCount; i += 1) {
    for (let j = 0; j < i; j += 1) branches.push(branch(i, j, ohms, reactanceOhms));
  }
  return { nodeCount, branches };
}

describe('elimination order', () => {
  test('a tree is eliminated from its leaves and fills nothing', () => {
    const nodeCount = 2000;
    const branches = Array.from({ length: nodeCount - 1 }, (_, i) => branch(i + 1, (i * 7919) % (i + 1), 1));
    expect(fillOf({ nodeCount, branches })).toBe(nodeCount - 1);
  });

  test('a ring costs one row more a node at most', () => {
    const nodeCount = 1000;
    const branches = Array.from({ length: nodeCount }, (_, i) => branch(i, (i + 1) % nodeCount, 1));
    expect(fillOf({ nodeCount, branches })).toBeLessThan(2 * nodeCount);
  });

  test('a square grid fills far less than its band would', () => {
    const side = 30;
    const branches: TestBranch[] = [];
    for (let i = 0; i < side * side; i += 1) {
      if (i % side !== 0) branches.push(branch(i - 1, i, 1));
      if (i >= side) branches.push(branch(i - side, i, 1));
    }
    // Exact minimum degree gives 9,451 here, elimination row by row 26,130.
    expect(fillOf({ nodeCount: side * side, branches })).toBeLessThan(10_500);
  });

  test('a common neutral of thousands of loads comes last, even after a dense part', () => {
    const loads = 5000;
    const neutral = 0;
    const branches: TestBranch[] = [branch(ground, 1, 0.05, 0, 120), branch(neutral, ground, 0.05)];
    for (let i = 1; i <= loads; i += 1) branches.push(branch(i, neutral, 100));
    const dense = complete(30, 1, 0).branches.map((each) => ({
      ...each,
      from: each.from === ground ? ground : each.from + loads + 1,
      to: each.to === ground ? ground : each.to + loads + 1,
    }));
    const network = { nodeCount: loads + 31, branches: [...branches, ...dense] };
    expect(arraysOf(network).structure.order.at(-1)).toBe(neutral);
    expect(fillOf(network)).toBe(loads + (30 * 29) / 2);
  });
});

describe('large networks', () => {
  test('100,000 resistors in a row divide the voltage evenly', () => {
    const nodeCount = 100_000;
    const branches = Array.from({ length: nodeCount }, (_, i) => branch(i - 1, i, 1, 0, i === 0 ? 240 : 0));
    const { vRe } = solveNetwork({ nodeCount, branches: [...branches, branch(nodeCount - 1, ground, 1)] });
    for (const i of [0, 1, 777, 50_000, 99_999]) {
      // By hand: current 240 / (nodeCount + 1) through equal resistors.
      expect(Math.abs(vRe[i]! - 240 * (1 - (i + 1) / (nodeCount + 1)))).toBeLessThan(1e-8);
    }
  });

  // 300 nodes joined each to each need 4.5 million products, more than are kept; 40 nodes need few.
  test.each([
    [300, 'resistive', 3, 0],
    [300, 'with capacitors', 3, -2],
    [40, 'resistive', 3, 0],
    [40, 'with capacitors', 3, -2],
  ])('%i nodes all joined, %s', (nodeCount, _, ohms, reactanceOhms) => {
    const network = complete(nodeCount, ohms, reactanceOhms);
    const solution = solveNetwork(network);
    const { structure, factor, yRe, yIm, eRe, eIm, vRe, vIm } = solution;
    expect(structure.targets === undefined).toBe(nodeCount === 300);
    expect(residual(structure, yRe, yIm, eRe, eIm, vRe, vIm)).toBeLessThan(1e-11);
    // By symmetry the resistance between two of n nodes is 2 z / n, and the others stand half way between them.
    const zRe = 1 + 1 + (2 * ohms) / nodeCount;
    const zIm = 5 + (2 * reactanceOhms) / nodeCount;
    const square = zRe * zRe + zIm * zIm;
    const current = { re: (120 * zRe) / square, im: (-120 * zIm) / square };
    expect(vRe[0]).toBeCloseTo(120 - current.re, 9);
    expect(vIm[0]).toBeCloseTo(-current.im, 9);
    expect(vRe[1]).toBeCloseTo(current.re - 5 * current.im, 9);
    expect(vRe[7]).toBeCloseTo((vRe[0]! + vRe[1]!) / 2, 9);
    expect(vIm[7]).toBeCloseTo((vIm[0]! + vIm[1]!) / 2, 9);

    const own = across(columnOf(factor, 9, 8), 9, 8);
    expect(own.re).toBeCloseTo((2 * ohms) / nodeCount, 12);
    expect(own.im).toBeCloseTo((2 * reactanceOhms) / nodeCount, 12);
  });
});
