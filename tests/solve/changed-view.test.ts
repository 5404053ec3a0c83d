import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { State } from '../../src/circuit/circuit.js';
import { ChangedView, type Stroke } from '../../src/solve/changed-view.js';
import { labelIslands } from '../../src/solve/kernel/islands.js';
import { mostUnknowns } from '../../src/solve/kernel/small-system.js';
import { ground } from '../../src/solve/kernel/structure.js';
import { noOverlay } from '../../src/solve/overlay.js';
import type { Plan } from '../../src/solve/plan.js';
import type { OperatingPoint } from '../../src/solve/point.js';
import { PointView, type View } from '../../src/solve/view.js';
import {
  absent,
  branch,
  branches,
  islandsByHand,
  largestEmf,
  type Mix,
  type Network,
  networks,
  solveNetwork,
  type TestBranch,
} from './kernel/networks.js';

/** Contacts of 10 mohm to loads of 10 kohm, as in appliances. */
const appliance: Mix = { decades: [-2, 4], reactances: 'inductive' };
const mixed: Mix = { decades: [-1, 3], reactances: 'both' };
/** Insulation leaks beside contacts of a milliohm. Volts against a reference that only leaks tie down lose digits. */
const leaky: Mix = { decades: [-3, 7], reactances: 'inductive' };

/** A network seen. No view asks a bare one for its plan or state. */
function seen(network: Network): PointView {
  const { structure, present, factor, vRe, vIm, yRe, yIm, eRe, eIm } = solveNetwork(network);
  const islands = new Int32Array(network.nodeCount);
  const count = labelIslands(structure, present, islands);
  const point: OperatingPoint = {
    plan: {} as Plan,
    state: {} as State,
    overlay: noOverlay,
    structure,
    present,
    conducts: network.branches.map((_, b) => (present[b] === 1 ? 'own' : null)),
    phasors: [
      {
        hertz: 60,
        re: vRe,
        im: vIm,
        factor,
        y: { re: yRe, im: yIm },
        emf: { re: eRe, im: eIm },
        coupling: undefined,
        islands,
      },
    ],
    islands,
    driven: new Array<boolean>(count).fill(true),
    on: [],
  };
  return new PointView(point);
}

type Changes = ReadonlyMap<number, TestBranch>;

/** The admittances of some branches changed; their EMFs stay. */
function applied(network: Network, changes: Changes): Network {
  const changed = network.branches.map((each, b) => {
    const { yRe, yIm } = changes.get(b) ?? each;
    return { ...each, yRe, yIm };
  });
  return { ...network, branches: changed };
}

function strokesOf(network: Network, changes: Changes): Stroke[] {
  return [...changes].map(([b, after]) => {
    const { from, to, yRe, yIm, eRe, eIm } = network.branches[b]!;
    return {
      from,
      to,
      dy: [{ re: after.yRe - yRe, im: after.yIm - yIm }],
      emf: [{ re: eRe, im: eIm }],
    };
  });
}

function changed(network: Network, changes: Changes): { got: ChangedView | undefined; want: PointView } {
  const want = seen(applied(network, changes));
  return { got: ChangedView.of(seen(network), want.point, strokesOf(network, changes)), want };
}

function sameIslands(a: Network, b: Network): boolean {
  return islandsByHand(a).join() === islandsByHand(b).join();
}

/** Largest difference of the volts between two nodes, and of the impedance between them against the larger of it and 1 ohm. */
function worst(network: Network, got: View, want: View): { volts: number; ohms: number } {
  let [volts, ohms] = [0, 0];
  for (let a = 0; a < network.nodeCount; a += 1) {
    for (let b = ground; b < a; b += 1) {
      if (got.island(a) !== got.island(b)) continue;
      const [v, w] = [got, want].map((view) => view.volts(0, a, b)) as Pair;
      volts = Math.max(volts, Math.hypot(v.re - w.re, v.im - w.im));
      const [z, y] = [got, want].map((view) => view.transfer(0, a, b, a, b)) as Pair;
      ohms = Math.max(ohms, Math.hypot(z.re - y.re, z.im - y.im) / Math.max(1, Math.hypot(y.re, y.im)));
    }
  }
  return { volts, ohms };
}

type Pair = [ReturnType<View['volts']>, ReturnType<View['volts']>];

/** What can become of one branch: open, a dead short, a burnt contact, another value. */
function fates({ from, to }: TestBranch): TestBranch[] {
  return [absent(from, to), branch(from, to, 1e-9), branch(from, to, 1e6), branch(from, to, 40, 30)];
}

describe('a few changed branches', () => {
  // Largest errors met in 5000 networks of each: 1e-8 of the largest EMF and 1e-6 of the ohms; with leaks 1e-6 and 0.02.
  const mixes = [
    ['appliance', appliance, 1e-6, 1e-4],
    ['with capacitors', mixed, 1e-6, 1e-4],
    ['from 1e-3 to 1e7 ohm', leaky, 1e-4, 0.2],
  ] as const;
  test.each([1, 2, 4, 6].flatMap((count) => mixes.map((each) => [count, ...each] as const)))(
    '%i give the volts and ohms of a new factor, or ask for one: %s',
    (count, _, mix, volts, ohms) => {
      let answered = 0;
      let refused = 0;
      const picks = fc.array(fc.tuple(fc.nat(50), fc.nat(4), branches(0, 0, mix)), {
        minLength: count,
        maxLength: count,
      });
      fc.assert(
        fc.property(networks(9, mix), picks, (network, picked) => {
          if (network.branches.length === 0) return;
          const changes = new Map<number, TestBranch>();
          for (const [pick, fate, other] of picked) {
            const b = pick % network.branches.length;
            changes.set(b, fates(network.branches[b]!)[fate] ?? other);
          }
          if (!sameIslands(network, applied(network, changes))) return;
          const { got, want } = changed(network, changes);
          if (got === undefined) {
            refused += 1;
            return;
          }
          answered += 1;
          const errors = worst(network, got, want);
          expect(errors.volts).toBeLessThan(volts * largestEmf(network));
          expect(errors.ohms).toBeLessThan(ohms);
        }),
        { numRuns: 300 },
      );
      expect(answered).toBeGreaterThan(100);
      expect(refused).toBeLessThan(answered);
    },
  );

  test('of which both ends are on one node are felt by nothing, alone or beside others', () => {
    const network: Network = {
      nodeCount: 2,
      branches: [branch(ground, 0, 10, 0, 120), branch(0, 1, 10), branch(1, ground, 20), branch(1, 1, 5)],
    };
    // By hand: 10 ohm, 10 ohm and 20 ohm in a row, then 40 ohm at the end.
    for (const [ohms, volts] of [
      [20, 60],
      [40, 80],
    ] as const) {
      const { got } = changed(
        network,
        new Map([
          [2, branch(1, ground, ohms)],
          [3, branch(1, 1, 1e-3)],
        ]),
      );
      expect(got!.volts(0, 1, ground).re).toBeCloseTo(volts, 10);
      expect(got!.transfer(0, 1, ground, 1, ground).re).toBeCloseTo((20 * ohms) / (20 + ohms), 10);
    }
  });

  test('that lose a source: two contacts open, and the loads behind them keep ground', () => {
    const { got } = changed(
      pairOfContacts,
      new Map([
        [1, absent(0, 1)],
        [2, absent(0, 1)],
      ]),
    );
    expect(got!.volts(0, 1, ground).re).toBeCloseTo(0, 6);
    expect(got!.volts(0, 0, ground).re).toBeCloseTo(120, 6);
  });
});

/** 120 V behind 0.05 ohm, two contacts side by side, and two loads behind them. */
const pairOfContacts: Network = {
  nodeCount: 2,
  branches: [
    branch(ground, 0, 0.05, 0, 120),
    branch(0, 1, 0.02),
    branch(0, 1, 0.03),
    branch(1, ground, 24),
    branch(1, ground, 30),
  ],
};

describe('a new factor is asked for', () => {
  test('where a branch opens that alone joins two parts, or two that together do', () => {
    const stub: Network = { ...pairOfContacts, branches: pairOfContacts.branches.slice(0, 3) };
    const opened = [1, 2].map((b) => [b, absent(0, 1)] as const);
    expect(changed(stub, new Map(opened)).got).toBeUndefined();
    expect(changed(stub, new Map(opened.slice(0, 1))).got).toBeDefined();
    expect(changed(stub, new Map([[0, absent(ground, 0)]])).got).toBeUndefined();
  });

  test('for a contact beside an insulation leak, though it is no bridge', () => {
    const network: Network = {
      nodeCount: 3,
      branches: [
        branch(ground, 0, 0.05, 0, 120),
        branch(0, 1, 0.02),
        branch(0, 1, 1e12),
        branch(1, 2, 0.02),
        branch(2, ground, 1e13),
      ],
    };
    const { got, want } = changed(network, new Map([[1, absent(0, 1)]]));
    expect(got).toBeUndefined();
    // By hand: 120 V * 1e13 / 1.1e13.
    expect(want.volts(0, 2, ground).re).toBeCloseTo(120 / 1.1, 9);
  });

  test('for a branch between two islands', () => {
    const network: Network = {
      nodeCount: 3,
      branches: [branch(ground, 0, 0.05, 0, 120), absent(0, 1), branch(1, 2, 24)],
    };
    expect(changed(network, new Map([[1, branch(0, 1, 0.02)]])).got).toBeUndefined();
  });

  test('for more strokes than a small system holds', () => {
    const loads = Array.from({ length: mostUnknowns + 1 }, () => branch(0, ground, 100));
    const network: Network = { nodeCount: 1, branches: [branch(ground, 0, 1, 0, 120), ...loads] };
    const burnt = loads.map((_, index) => [index + 1, branch(0, ground, 50)] as const);
    expect(changed(network, new Map(burnt.slice(1))).got).toBeDefined();
    expect(changed(network, new Map(burnt)).got).toBeUndefined();
  });

  test('near resonance, where the factor is good for nothing without refinement', () => {
    // 10 ohm, then 50 ohm of coil and as much of capacitor in a row, the capacitor off by a part.
    const series = (mismatch: number): Network => ({
      nodeCount: 2,
      branches: [
        branch(ground, 0, 10, 0, 120),
        branch(0, 1, 0, 50),
        branch(1, ground, 0, -50 / (1 + mismatch)),
      ],
    });
    const softer = new Map([[0, branch(ground, 0, 5)]]);
    expect(changed(series(0), softer).got).toBeUndefined();
    expect(changed(series(1e-6), softer).got).toBeUndefined();
    expect(changed(series(0.1), softer).got).toBeDefined();
  });
});
