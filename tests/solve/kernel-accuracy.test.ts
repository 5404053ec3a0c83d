import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { pairImpedance } from '../../src/solve/column.js';
import { branchCurrents } from '../../src/solve/sources.js';
import { ground } from '../../src/solve/structure.js';
import { preciseSolution } from './dense-reference.js';
import {
  branch,
  type Mix,
  type Network,
  networks,
  referencedVolts,
  type Solution,
  solveNetwork,
} from './kernel-networks.js';

/** Every resistance a circuit may hold, 1e-6 to 1e12 ohm, in one network. */
const wide: Mix = { decades: [-6, 12], reactances: 'none' };

function currents(solution: Solution): Float64Array {
  const { factor, yRe, yIm, eRe, eIm, vRe, vIm } = solution;
  const re = new Float64Array(yRe.length);
  branchCurrents(factor, yRe, yIm, eRe, eIm, vRe, vIm, re, new Float64Array(yRe.length));
  return re;
}

describe('against 64 digits, resistances from 1e-6 to 1e12 ohm', () => {
  test('volts are good to 1e-11 V, earthed or not', () => {
    fc.assert(
      fc.property(networks(7, wide), (network) => {
        const { vRe, vIm } = solveNetwork(network);
        const { volts } = preciseSolution(network);
        const found = referencedVolts(network, vRe, vIm);
        found.forEach(({ re }, node) => {
          expect(volts[node]!.minus(re).abs().toNumber()).toBeLessThan(1e-11);
        });
      }),
      { numRuns: 700 },
    );
  });

  test('currents are good to 1e-9 of the largest beside them, or to 0.1 pA', () => {
    fc.assert(
      fc.property(networks(7, wide), (network) => {
        const found = currents(solveNetwork(network));
        const { amps } = preciseSolution(network);
        network.branches.forEach((each, b) => {
          const beside = network.branches.map((other, i) =>
            touch(each, other) ? amps[i]!.abs().toNumber() : 0,
          );
          expect(amps[b]!.minus(found[b]!).abs().toNumber()).toBeLessThan(1e-9 * Math.max(...beside) + 1e-13);
        });
      }),
      { numRuns: 500 },
    );
  });

  test('Thevenin impedances are good to 12 digits', () => {
    fc.assert(
      fc.property(networks(6, wide), fc.nat(5), fc.nat(5), (network, i, j) => {
        const a = i % network.nodeCount;
        const b = (j % (network.nodeCount + 1)) - 1;
        if (a === b) return;
        const found = pairImpedance(solveNetwork(network).factor, a, b);
        const silent = network.branches.map((each) => ({ ...each, eRe: 0 }));
        const probe = { ...branch(b, a, 1), eRe: 1 };
        const probed = { ...network, branches: [...silent, probe] };
        const current = preciseSolution(probed).amps.at(-1)!;
        if (found === undefined) {
          expect(current.abs().toNumber()).toBeLessThan(1e-40);
          return;
        }
        // 1 V over 1 ohm and the impedance sought: Z = 1 / i - 1.
        const expected = current.pow(-1).minus(1);
        expect(expected.minus(found.re).abs().toNumber()).toBeLessThanOrEqual(
          1e-12 * expected.abs().toNumber(),
        );
        expect(found.im).toBe(0);
      }),
      { numRuns: 500 },
    );
  });

  test('a stiff source that nothing but an insulation leak ties to ground keeps its load voltage', () => {
    // Unearthed 120 V supply, three pieces of 1e-6 ohm, 10 ohm load; 1e12 ohm from one side to ground. The leak
    // carries nothing, so the load stands 120 V * 10 / (10 + 3e-6) above the leaking side, by hand.
    const network: Network = {
      nodeCount: 4,
      branches: [
        branch(0, 1, 1e-6, 0, 120),
        branch(1, 2, 1e-6),
        branch(2, 3, 10),
        branch(3, 0, 1e-6),
        branch(3, ground, 1e12),
      ],
    };
    const { vRe } = solveNetwork(network);
    expect(vRe[3]).toBeCloseTo(0, 12);
    expect(vRe[2]! - vRe[3]!).toBeCloseTo((120 * 10) / (10 + 3e-6), 11);
  });

  test('a wire of 1 nano-ohm carries the current of its load, and its dead end none', () => {
    // 120 V, 1e-9 ohm wire, 24 ohm load, 1e12 ohm insulation, and a stub: by hand I = 120 / (24 || 1e12 + 1e-9).
    const network: Network = {
      nodeCount: 4,
      branches: [
        branch(ground, 0, 1e-9, 0, 120),
        branch(0, 1, 1e-9),
        branch(1, ground, 24),
        branch(1, ground, 1e12),
        branch(1, 2, 1e-9),
      ],
    };
    const amps = currents(solveNetwork(network));
    const expected = 120 / (1 / (1 / 24 + 1e-12) + 2e-9);
    expect(Math.abs(amps[1]! - expected)).toBeLessThan(1e-11);
    expect(Math.abs(amps[4]!)).toBeLessThan(1e-15);
  });
});

function touch(a: Network['branches'][number], b: Network['branches'][number]): boolean {
  const ends = [b.from, b.to];
  return a === b || [a.from, a.to].some((node) => node !== ground && ends.includes(node));
}
