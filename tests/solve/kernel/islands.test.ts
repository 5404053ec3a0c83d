import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Factor, islandRoots } from '../../../src/solve/kernel/factor.js';
import { labelIslands } from '../../../src/solve/kernel/islands.js';
import { ground } from '../../../src/solve/kernel/structure.js';
import {
  absent,
  arraysOf,
  branch,
  islandsByHand,
  type Mix,
  type Network,
  networks,
  solveArrays,
} from './networks.js';

const mixed: Mix = { decades: [-2, 6], reactances: 'both' };

function labelsOf(network: Network): { labels: number[]; count: number } {
  const { structure, present } = arraysOf(network);
  const into = new Int32Array(network.nodeCount).fill(99);
  const count = labelIslands(structure, present, into);
  return { labels: [...into], count };
}

describe('islands', () => {
  test('agree with spreading from node to node', () => {
    fc.assert(
      fc.property(networks(14, mixed), (network) => {
        const expected = islandsByHand(network);
        expect(labelsOf(network)).toEqual({ labels: expected, count: Math.max(0, ...expected) + 1 });
      }),
      { numRuns: 1500 },
    );
  });

  test('ground is island 0 even where no node is in it', () => {
    expect(labelsOf({ nodeCount: 3, branches: [branch(2, 1, 1), absent(ground, 0)] })).toEqual({
      labels: [1, 2, 2],
      count: 3,
    });
    expect(labelsOf({ nodeCount: 0, branches: [] })).toEqual({ labels: [], count: 1 });
  });

  test('the factor pins exactly one node of each island that ground does not reach', () => {
    fc.assert(
      fc.property(networks(14, mixed), (network) => {
        const { factor, structure } = solveArrays(arraysOf(network));
        const labels = islandsByHand(network);
        const pinned = labels.filter((_, node) => {
          const k = structure.position[node]!;
          return factor.inverse[2 * k] === 0 && factor.inverse[2 * k + 1] === 0;
        });
        const floating = [...new Set(labels.filter((label) => label > 0))];
        expect(pinned.sort((a, b) => a - b)).toEqual(floating.sort((a, b) => a - b));
        const roots = islandRoots(factor);
        for (let a = 0; a < network.nodeCount; a += 1) {
          expect(roots[a] === ground).toBe(labels[a] === 0);
          for (let b = 0; b < a; b += 1) expect(roots[a] === roots[b]).toBe(labels[a] === labels[b]);
        }
      }),
      { numRuns: 500 },
    );
  });

  test('the roots a factor tells are those of the admittances loaded last', () => {
    const { structure } = arraysOf({ nodeCount: 2, branches: [branch(ground, 0, 1), branch(0, 1, 1)] });
    const factor = new Factor(structure);
    factor.load(Float64Array.of(1, 1), new Float64Array(2));
    expect([...islandRoots(factor)]).toEqual([ground, ground]);
    factor.load(Float64Array.of(1, 0), new Float64Array(2));
    expect([...islandRoots(factor)]).toEqual([ground, 1]);
  });

  test('a chain of 100,000 wires is one island, found without deep recursion', () => {
    const nodeCount = 100_000;
    const branches = Array.from({ length: nodeCount }, (_, i) => branch(i - 1, i, 1));
    const { structure, present } = arraysOf({ nodeCount, branches });
    expect(labelIslands(structure, present, new Int32Array(nodeCount))).toBe(1);
  });
});
