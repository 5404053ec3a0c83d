import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ground } from '../../../src/solve/kernel/structure.js';
import {
  across,
  ampsOf,
  branch,
  columnOf,
  islandsByHand,
  largestEmf,
  type Mix,
  type Network,
  networks,
  referencedVolts,
  solveNetwork,
  type TestBranch,
  type Volts,
  worstDifference,
} from './networks.js';

/** Laws that hold for any network, so that no second solver is needed. */

const mix: Mix = { decades: [-2, 4], reactances: 'inductive' };
const numRuns = 300;

function voltsOf(network: Network): Volts[] {
  const { vRe, vIm } = solveNetwork(network);
  return referencedVolts(network, vRe, vIm);
}

function withBranches(network: Network, change: (each: TestBranch, index: number) => TestBranch): Network {
  return { ...network, branches: network.branches.map(change) };
}

/** Asserts that both networks, the nodes of the first among those of the second, have the same volts. */
function expectSame(network: Network, other: Network): void {
  const found = voltsOf(other).slice(0, network.nodeCount);
  expect(worstDifference(voltsOf(network), found)).toBeLessThan(1e-9 * largestEmf(network));
}

/** A permutation of 0 to count - 1 from random numbers. */
function shuffle(count: number, keys: readonly number[]): number[] {
  return Array.from({ length: count }, (_, i) => i).sort((a, b) => (keys[a] ?? 0) - (keys[b] ?? 0) || b - a);
}

const keys = fc.array(fc.nat(1000), { minLength: 40, maxLength: 40 });

describe('what changes no volt', () => {
  test('other numbers for the nodes', () => {
    fc.assert(
      fc.property(networks(12, mix), keys, (network, random) => {
        const renumbered = shuffle(network.nodeCount, random);
        const rename = (node: number): number => (node === ground ? ground : renumbered[node]!);
        const other = withBranches(network, (each) => ({
          ...each,
          from: rename(each.from),
          to: rename(each.to),
        }));
        const { vRe, vIm } = solveNetwork(other);
        const back = (v: Float64Array): Float64Array => Float64Array.from(renumbered, (node) => v[node]!);
        const found = referencedVolts(network, back(vRe), back(vIm));
        expect(worstDifference(voltsOf(network), found)).toBeLessThan(1e-9 * largestEmf(network));
      }),
      { numRuns },
    );
  });

  test('another order of the branches', () => {
    fc.assert(
      fc.property(networks(12, mix), keys, (network, random) => {
        const order = shuffle(network.branches.length, random);
        expectSame(network, { ...network, branches: order.map((b) => network.branches[b]!) });
      }),
      { numRuns },
    );
  });

  test('branches turned round with their sources', () => {
    fc.assert(
      fc.property(networks(12, mix), (network) => {
        expectSame(
          network,
          withBranches(network, (each, b) =>
            b % 2 === 0 ? each : { ...each, from: each.to, to: each.from, eRe: -each.eRe, eIm: -each.eIm },
          ),
        );
      }),
      { numRuns },
    );
  });

  test('a part that is not connected', () => {
    fc.assert(
      fc.property(networks(12, mix), (network) => {
        const n = network.nodeCount;
        const island = [branch(n, n + 1, 3, 0, 50), branch(n + 1, n, 8)];
        expectSame(network, { nodeCount: n + 2, branches: [...network.branches, ...island] });
      }),
      { numRuns },
    );
  });

  test('all impedances three times as large', () => {
    fc.assert(
      fc.property(networks(12, mix), (network) => {
        expectSame(
          network,
          withBranches(network, (each) => ({ ...each, yRe: each.yRe / 3, yIm: each.yIm / 3 })),
        );
      }),
      { numRuns },
    );
  });

  test('an impedance split into two halves in series, the source in one of them', () => {
    fc.assert(
      fc.property(networks(12, mix), fc.nat(30), (network, pick) => {
        if (network.branches.length === 0) return;
        const split = pick % network.branches.length;
        const middle = network.nodeCount;
        const { from, to, yRe, yIm, eRe, eIm } = network.branches[split]!;
        const half = { yRe: 2 * yRe, yIm: 2 * yIm };
        const halves = [
          { ...half, from, to: middle, eRe, eIm },
          { ...half, from: middle, to, eRe: 0, eIm: 0 },
        ];
        const rest = network.branches.filter((_, b) => b !== split);
        expectSame(network, { nodeCount: middle + 1, branches: [...rest, ...halves] });
      }),
      { numRuns },
    );
  });

  test('an impedance replaced by two in parallel', () => {
    fc.assert(
      fc.property(networks(12, mix), (network) => {
        const part = (share: number): TestBranch[] =>
          network.branches.map((each) => ({ ...each, yRe: share * each.yRe, yIm: share * each.yIm }));
        expectSame(network, { ...network, branches: [...part(0.3), ...part(0.7)] });
      }),
      { numRuns },
    );
  });
});

describe('what volts follow', () => {
  test('sources turned and scaled', () => {
    fc.assert(
      fc.property(networks(12, mix), (network) => {
        // All sources times 2 - 3j.
        const scaled = withBranches(network, (each) => ({
          ...each,
          eRe: 2 * each.eRe + 3 * each.eIm,
          eIm: 2 * each.eIm - 3 * each.eRe,
        }));
        const expected = voltsOf(network).map(({ re, im }) => ({ re: 2 * re + 3 * im, im: 2 * im - 3 * re }));
        expect(worstDifference(voltsOf(scaled), expected)).toBeLessThan(1e-8 * largestEmf(network));
      }),
      { numRuns },
    );
  });

  test('superposition of the sources', () => {
    fc.assert(
      fc.property(networks(12, mix), (network) => {
        const some = (keep: number): Volts[] =>
          voltsOf(withBranches(network, (each, b) => (b % 2 === keep ? each : { ...each, eRe: 0, eIm: 0 })));
        const [even, odd] = [some(0), some(1)];
        const sum = even.map(({ re, im }, i) => ({ re: re + odd[i]!.re, im: im + odd[i]!.im }));
        expect(worstDifference(voltsOf(network), sum)).toBeLessThan(1e-9 * largestEmf(network));
      }),
      { numRuns },
    );
  });

  test('a node behind one branch only is at the potential it hangs on', () => {
    fc.assert(
      fc.property(networks(12, mix), fc.nat(11), (network, pick) => {
        const at = pick % network.nodeCount;
        const stub = network.nodeCount;
        const { vRe, vIm } = solveNetwork({
          nodeCount: stub + 1,
          branches: [...network.branches, branch(at, stub, 24)],
        });
        expect(Math.hypot(vRe[stub]! - vRe[at]!, vIm[stub]! - vIm[at]!)).toBeLessThan(
          1e-13 * largestEmf(network) * (network.branches.length + 1),
        );
      }),
      { numRuns },
    );
  });
});

describe('what currents and columns obey', () => {
  test('power balance: what the sources give is what the impedances take', () => {
    fc.assert(
      fc.property(networks(12, mix), (network) => {
        const { vRe, vIm } = solveNetwork(network);
        const largest = largestEmf(network);
        // Watts by e I* of each source and by |I|^2 R of each impedance, R = re(y) / |y|^2.
        let given = 0;
        let taken = 0;
        let size = 1e-9;
        for (const each of network.branches) {
          const square = each.yRe ** 2 + each.yIm ** 2;
          if (square === 0) continue;
          const amps = ampsOf(each, { re: vRe, im: vIm });
          given += each.eRe * amps.re + each.eIm * amps.im;
          taken += ((amps.re ** 2 + amps.im ** 2) * each.yRe) / square;
          // What a stiff branch carries is a small difference of volts: its rounding goes with y.
          size +=
            Math.hypot(each.eRe, each.eIm) * Math.hypot(amps.re, amps.im) +
            1e-6 * largest ** 2 * Math.sqrt(square);
        }
        expect(Math.abs(given - taken)).toBeLessThan(1e-9 * size);
      }),
      { numRuns },
    );
  });

  test('reciprocity: branch a answers to 1 A in b as b answers to 1 A in a', () => {
    fc.assert(
      fc.property(networks(9, mix), (network) => {
        const { factor } = solveNetwork(network);
        const labels = islandsByHand(network);
        const island = (node: number): number => (node === ground ? 0 : labels[node]!);
        const inOne = network.branches.filter(({ from, to }) => island(from) === island(to));
        const columns = inOne.map(({ from, to }) => columnOf(factor, from, to));
        inOne.forEach((a, i) => {
          inOne.forEach((b, j) => {
            if (island(a.from) !== island(b.from)) return;
            const forth = across(columns[i]!, b.from, b.to);
            const back = across(columns[j]!, a.from, a.to);
            expect(Math.hypot(forth.re - back.re, forth.im - back.im)).toBeLessThan(1e-9);
          });
        });
      }),
      { numRuns: 100 },
    );
  });
});
