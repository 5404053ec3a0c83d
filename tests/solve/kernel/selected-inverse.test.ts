import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { restState } from '../../../src/circuit/circuit.js';
import { acrossSlots } from '../../../src/solve/kernel/selected-inverse.js';
import { ground } from '../../../src/solve/kernel/structure.js';
import { planCircuit, Workbench } from '../../../src/solve/solve.js';
import { PointView } from '../../../src/solve/view.js';
import { openCircuit } from '../../published/front-doors.js';
import { randomCircuit, randomReactiveCircuit } from '../random-circuit.js';
import { absent, branch, islandsByHand, type Mix, type Network, networks, solveNetwork } from './networks.js';

interface Across {
  readonly re: number;
  readonly im: number;
}

/** By branch whose ends one island holds: the impedance between them from the slots, and from a column of the inverse. */
function across(network: Network): { readonly b: number; readonly slots: Across; readonly column: Across }[] {
  const { factor, structure } = solveNetwork(network);
  if (factor.delicate) return [];
  const islands = islandsByHand(network);
  const islandOf = (node: number) => (node === ground ? 0 : islands[node]);
  const values = acrossSlots(factor);
  return network.branches.flatMap(({ from, to }, b) => {
    const slot = structure.slot[b]!;
    if (slot < 0 || islandOf(from) !== islandOf(to)) return [];
    const re = new Float64Array(network.nodeCount);
    const im = new Float64Array(network.nodeCount);
    if (from !== ground) re[from]! += 1;
    if (to !== ground) re[to]! -= 1;
    factor.solve(re, im);
    const between = (by: Float64Array) => (from === ground ? 0 : by[from]!) - (to === ground ? 0 : by[to]!);
    const slots = { re: values[2 * slot]!, im: values[2 * slot + 1]! };
    return { b, slots, column: { re: between(re), im: between(im) } };
  });
}

const off = (a: Across, b: Across) => Math.hypot(a.re - b.re, a.im - b.im) / Math.hypot(b.re, b.im);

describe('the impedance across every branch at once', () => {
  const mixes: readonly (readonly [string, Mix])[] = [
    ['resistances', { decades: [-2, 3], reactances: 'none' }],
    ['coils', { decades: [-2, 3], reactances: 'inductive' }],
    ['coils and capacitors', { decades: [-1, 2], reactances: 'both' }],
  ];
  test.each(mixes)('is what a column of the inverse gives, earthed or not: %s', (_, mix) => {
    let compared = 0;
    fc.assert(
      fc.property(networks(24, mix), (network) => {
        for (const { b, slots, column } of across(network)) {
          expect(off(slots, column), `branch ${b}`).toBeLessThan(1e-9);
          compared += 1;
        }
      }),
      { numRuns: 400 },
    );
    expect(compared).toBeGreaterThan(4000);
  });

  test('is what columns give in circuits, transformers and all', () => {
    let compared = 0;
    fc.assert(
      fc.property(fc.oneof(randomCircuit, randomReactiveCircuit), (text) => {
        const circuit = openCircuit(text);
        const sound = new Workbench(planCircuit(circuit), restState(circuit)).healthy();
        if (sound.kind !== 'steady' || !(sound.view instanceof PointView)) return;
        const { view } = sound;
        for (const [frequency, { factor, coupling }] of view.point.phasors.entries()) {
          if (factor.delicate) continue;
          const values = acrossSlots(factor);
          for (const { index, from, to, name } of circuit.branches) {
            const slot = factor.structure.slot[index]!;
            if (slot < 0 || !view.joined(frequency, from, to)) continue;
            const flux = coupling?.between(from, to) ?? { re: 0, im: 0 };
            const slots = { re: values[2 * slot]! + flux.re, im: values[2 * slot + 1]! + flux.im };
            const column = view.transfer(frequency, from, to, from, to);
            expect(off(slots, column), name).toBeLessThan(1e-9);
            compared += 1;
          }
        }
      }),
      { numRuns: 200 },
    );
    expect(compared).toBeGreaterThan(1000);
  });

  test('keeps its digits for a wire to a control: by hand 0.01 ohm beside a way round of 1 Mohm', () => {
    const network: Network = {
      nodeCount: 3,
      branches: [
        branch(ground, 0, 0.05, 0, 120),
        branch(0, 1, 0.01),
        branch(1, ground, 1e6),
        branch(1, 2, 0.01),
        absent(2, ground),
      ],
    };
    const { factor, structure } = solveNetwork(network);
    const values = acrossSlots(factor);
    const left = (b: number) => 1 - network.branches[b]!.yRe * values[2 * structure.slot[b]!]!;
    // The wire against the whole loop; and a branch that leads nowhere else.
    expect(left(1) / (0.01 / (1e6 + 0.06))).toBeCloseTo(1, 6);
    expect(Math.abs(left(3))).toBeLessThan(1e-15);
  });
});
