import { expect, test } from 'vitest';
import { residual } from '../../../src/solve/kernel/residual.js';
import { ground } from '../../../src/solve/kernel/structure.js';
import { branch, type Network, solveNetwork } from './networks.js';

/** 10 V through 2 ohm onto 2 ohm: 5 V. */
const divider: Network = {
  nodeCount: 1,
  branches: [{ ...branch(ground, 0, 2), eRe: 10 }, branch(0, ground, 2)],
};

test.each([
  ['right volts balance', 0, 0, 0],
  // 1 V too much: 1 A too many of the 10 V x 0.5 S that could flow.
  ['a real part that is off', 1, 0, 0.2],
  ['an imaginary part that is off', 0, 1, 0.2],
])('%s', (_, re, im, off) => {
  const { structure, yRe, yIm, eRe, eIm, vRe, vIm } = solveNetwork(divider);
  expect(vRe[0]).toBeCloseTo(5, 12);
  vRe[0]! += re;
  vIm[0]! += im;
  expect(residual(structure, yRe, yIm, eRe, eIm, vRe, vIm)).toBeCloseTo(off, 12);
});

test('volts that are far too large are measured against themselves', () => {
  const { structure, yRe, yIm, eRe, eIm, vRe, vIm } = solveNetwork(divider);
  // (20 - 5) V x 1 S over 20 V x 0.5 S.
  vRe[0] = 20;
  expect(residual(structure, yRe, yIm, eRe, eIm, vRe, vIm)).toBeCloseTo(1.5, 12);
});
