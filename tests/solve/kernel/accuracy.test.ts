import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ground } from '../../../src/solve/kernel/structure.js';
import { preciseSolution } from './dense-reference.js';
import {
  across,
  branch,
  columnOf,
  islandsByHand,
  type Mix,
  type Network,
  networks,
  referencedVolts,
  solveNetwork,
} from './networks.js';

/** Every resistance a circuit may hold, 1e-6 to 1e12 ohm, in one network. */
const wide: Mix = { decades: [-6, 12], reactances: 'none' };

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
      { numRuns: 300 },
    );
  });

  test('Thevenin impedances are good to 12 digits', () => {
    fc.assert(
      fc.property(networks(6, wide), fc.nat(5), fc.nat(5), (network, i, j) => {
        const a = i % network.nodeCount;
        const b = (j % (network.nodeCount + 1)) - 1;
        if (a === b) return;
        const silent = network.branches.map((each) => ({ ...each, eRe: 0 }));
        const probe = { ...branch(b, a, 1), eRe: 1 };
        const probed = { ...network, branches: [...silent, probe] };
        const current = preciseSolution(probed).amps.at(-1)!;
        const labels = islandsByHand(network);
        if (labels[a] !== (b === ground ? 0 : labels[b])) {
          expect(current.abs().toNumber()).toBeLessThan(1e-40);
          return;
        }
        const found = across(columnOf(solveNetwork(network).factor, a, b), a, b);
        // 1 V over 1 ohm and the impedance sought: Z = 1 / i - 1.
        const expected = current.pow(-1).minus(1);
        expect(expected.minus(found.re).abs().toNumber()).toBeLessThanOrEqual(
          1e-12 * expected.abs().toNumber(),
        );
        expect(found.im).toBe(0);
      }),
      { numRuns: 200 },
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
});
