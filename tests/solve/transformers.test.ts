import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { restState } from '../../src/circuit/circuit.js';
import { operate } from '../../src/solve/operating-point.js';
import { planCircuit } from '../../src/solve/solve.js';
import { PointView } from '../../src/solve/view.js';
import { branchAmps } from '../../src/solve/works.js';
import { openCircuit } from '../published/front-doors.js';
import { solveByLibrary } from './dense-by-library.js';
import { denseCircuit } from './dense-circuit.js';
import { randomReactiveCircuit } from './random-circuit.js';

/** Relative to the largest volts there are; a resonance with a sharpness of some hundreds costs as many digits. */
const agreement = 1e-9;

describe('circuits with transformers, capacitors, coils and relays', () => {
  test('have the volts that coupled coils in a dense matrix have, at every frequency', () => {
    let compared = 0;
    fc.assert(
      fc.property(randomReactiveCircuit, (text) => {
        const circuit = openCircuit(text);
        const operation = operate(planCircuit(circuit), restState(circuit));
        if (operation.kind !== 'steady') return;
        const { point } = operation;
        const view = new PointView(point);
        const conducts = (branch: number) => point.conducts[branch] !== null;
        for (const [frequency, phasor] of point.phasors.entries()) {
          const present = circuit.branches.filter(
            ({ index, impedance }) =>
              conducts(index) && !(phasor.hertz === 0 && impedance.farads !== undefined),
          );
          const { nodes, transformers } = circuit;
          const solution = solveByLibrary(
            denseCircuit(nodes.length, present, transformers, phasor.hertz, 60),
          );
          const want = nodes.map(({ index }) => ({ re: solution[2 * index]!, im: solution[2 * index + 1]! }));
          const largest = Math.max(1, ...want.map(({ re, im }) => Math.hypot(re, im)));
          for (const a of circuit.nodes) {
            for (const b of circuit.nodes.slice(a.index + 1)) {
              if (!view.joined(frequency, a.index, b.index)) continue;
              const got = view.volts(frequency, a.index, b.index);
              const [left, right] = [want[a.index]!, want[b.index]!];
              const off = Math.hypot(got.re - (left.re - right.re), got.im - (left.im - right.im));
              expect(off / largest, `${a.name} to ${b.name} at ${phasor.hertz} Hz`).toBeLessThan(agreement);
              compared += 1;
            }
          }
        }
      }),
      { numRuns: 200 },
    );
    expect(compared).toBeGreaterThan(5000);
  });

  test('give out what they take in: real power balances', () => {
    fc.assert(
      fc.property(randomReactiveCircuit, (text) => {
        const circuit = openCircuit(text);
        const operation = operate(planCircuit(circuit), restState(circuit));
        if (operation.kind !== 'steady') return;
        const view = new PointView(operation.point);
        for (const [frequency, { hertz }] of operation.point.phasors.entries()) {
          let given = 0;
          let taken = 0;
          for (const branch of circuit.branches) {
            const amps = branchAmps(view, frequency, branch.index);
            const emf = branch.emf?.hertz === hertz ? view.emf(frequency, branch.index) : { re: 0, im: 0 };
            given += emf.re * amps.re + emf.im * amps.im;
            taken += branch.impedance.ohms * (amps.re ** 2 + amps.im ** 2);
          }
          expect(Math.abs(given - taken)).toBeLessThan(1e-6 * Math.max(1, Math.abs(given)));
        }
      }),
      { numRuns: 100 },
    );
  });
});
