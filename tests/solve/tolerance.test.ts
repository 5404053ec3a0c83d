import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Circuit, restState } from '../../src/circuit/circuit.js';
import { operate } from '../../src/solve/operating-point.js';
import { ampsSpread, branchFigures, ohmsSpread, planCircuit, voltsSpread } from '../../src/solve/solve.js';
import { PointView } from '../../src/solve/view.js';
import { openCircuit, openState } from '../published/front-doors.js';

/**
 * Bands against brute force: every corner of the part tolerances solved anew (networks of resistances), and parts
 * drawn at random within their tolerances (with reactances). No sampled sound circuit may leave its band, and the band
 * may hardly be wider than what the samples reach.
 */

const places = ['S.L', 'S.N', 'A', 'B', 'C', 'D'];
const inputOhms = 10e6;

const pair = fc
  .tuple(fc.integer({ min: 0, max: places.length - 1 }), fc.integer({ min: 1, max: places.length - 1 }))
  .map(([first, step]) => `[${places[first]!}, ${places[(first + step) % places.length]!}]`);

const load = (mostReactance: number) =>
  fc
    .tuple(
      pair,
      fc.integer({ min: 5, max: 3000 }),
      fc.integer({ min: 0, max: mostReactance }),
      fc.constantFrom(5, 10, 15, 20),
    )
    .map(
      ([ends, ohms, reactance, percent]) =>
        `{ kind: other, between: ${ends}, impedance: { resistance: ${ohms} ohm, reactance: ${reactance} ohm }, tolerance: ${percent} % }`,
    );

const capacitor = fc
  .tuple(pair, fc.integer({ min: 1, max: 60 }))
  .map(([ends, value]) => `{ kind: capacitor, between: ${ends}, capacitance: ${value} uF, tolerance: 10 % }`);

function textOf(loads: readonly string[], passives: readonly string[] = []): string {
  const named = (letter: string, rows: readonly string[]) =>
    rows.map((row, k) => `  ${letter}${k}: ${row}\n`).join('');
  return `loadside: circuit/1
supplies:
  S: { system: single-phase, voltage: 120 V, frequency: 60 Hz, tolerance: 5 %, terminals: { line: S.L, neutral: S.N } }
loads:
${named('R', loads)}${passives.length === 0 ? '' : `passives:\n${named('P', passives)}`}nodes: { ${places
    .slice(2)
    .map((place) => `${place}: {}`)
    .join(', ')} }
`;
}

/** The circuit with each toleranced part at `share(k)` of its nominal resistance (capacitors: capacitance). */
function withParts(circuit: Circuit, share: (part: number) => number): Circuit {
  let part = 0;
  const branches = circuit.branches.map((branch) => {
    const { impedance } = branch;
    if (impedance.tolerance === 0) return branch;
    const by = share(part++);
    const { ohms, reactanceOhms, farads } = impedance;
    const own =
      farads === undefined ? { ohms: ohms * by, reactanceOhms: reactanceOhms * by } : { farads: farads * by };
    return { ...branch, impedance: { ...impedance, ...own } };
  });
  return { ...circuit, branches };
}

function viewOf(circuit: Circuit, state = restState(circuit), dead = false): PointView {
  const operation = operate(planCircuit(circuit, dead ? 'dead' : 'running'), state);
  if (operation.kind !== 'steady') throw new Error(operation.kind);
  return new PointView(operation.point);
}

/** What the meter shows, with its sign where the network is real. */
function reads(view: PointView, a: number, b: number, real: boolean): number {
  const volts = view.volts(0, a, b);
  const inner = view.transfer(0, a, b, a, b);
  const share = inputOhms / Math.hypot(inputOhms + inner.re, inner.im);
  return (real ? volts.re : Math.hypot(volts.re, volts.im)) * share;
}

function tolerances(circuit: Circuit): number[] {
  return circuit.branches.map(({ impedance }) => impedance.tolerance).filter((each) => each > 0);
}

/** Nodes a and b of one island, of a circuit that stands still. */
function pairsOf(circuit: Circuit, view: PointView): [number, number][] {
  const zero = circuit.nodeByName.get('S.N')!;
  return circuit.nodes.flatMap(({ index }): [number, number][] =>
    index !== zero && view.island(index) === view.island(zero) ? [[index, zero]] : [],
  );
}

const supplies = new Map([['S', 0.05]]);

/** Of the nominal 120 V: what is added up instead of climbed, and rounding. */
const tiny = 0.02;
/** What is added up instead of climbed is known at nominal volts only: a twentieth of a meter's count. */
const loading = 5e-3;

describe('a network of resistances', () => {
  test('has its extremes of volts at corners, and those are the band', () => {
    let compared = 0;
    fc.assert(
      fc.property(fc.array(load(0), { minLength: 3, maxLength: 7 }), (loads) => {
        const circuit = openCircuit(textOf(loads));
        const view = viewOf(circuit);
        const own = tolerances(circuit);
        const corners = Array.from({ length: 2 ** own.length }, (_, corner) =>
          viewOf(withParts(circuit, (part) => 1 + ((corner >> part) & 1 ? own[part]! : -own[part]!))),
        );
        for (const [a, b] of pairsOf(circuit, view)) {
          const all = corners.map((each) => reads(each, a, b, true));
          const supplied = [0.95, 1.05].flatMap((share) => all.map((volts) => volts * share));
          const band = voltsSpread(view, 0, a, b, inputOhms, supplies);
          expect(band.low).toBeGreaterThan(Math.min(...supplied) - tiny);
          expect(band.low).toBeLessThan(Math.min(...supplied) + loading);
          expect(band.high).toBeLessThan(Math.max(...supplied) + tiny);
          expect(band.high).toBeGreaterThan(Math.max(...supplied) - loading);
          compared += 1;
        }
      }),
      { numRuns: 50 },
    );
    expect(compared).toBeGreaterThan(150);
  });

  test('has its extremes of amps at corners too', () => {
    fc.assert(
      fc.property(fc.array(load(0), { minLength: 3, maxLength: 6 }), (loads) => {
        const circuit = openCircuit(textOf(loads));
        const view = viewOf(circuit);
        const own = tolerances(circuit);
        const corners = Array.from({ length: 2 ** own.length }, (_, corner) =>
          viewOf(withParts(circuit, (part) => 1 + ((corner >> part) & 1 ? own[part]! : -own[part]!))),
        );
        for (const { index, role } of circuit.branches) {
          if (role !== 'load') continue;
          const all = corners.map((each) => branchFigures(each, index).amps!);
          const band = ampsSpread(view, 0, index, supplies);
          const slack = 1e-3 * Math.max(...all) + 2e-3;
          expect(band.high).toBeLessThan(Math.max(...all) * 1.05 + slack);
          expect(band.high).toBeGreaterThan(Math.max(...all) * 1.05 - 1e-9);
          expect(band.low).toBeLessThan(Math.min(...all) * 0.95 + 1e-9);
        }
      }),
      { numRuns: 30 },
    );
  });

  test('has the most ohms with every part at its most', () => {
    fc.assert(
      fc.property(fc.array(load(400), { minLength: 3, maxLength: 6 }), (loads) => {
        const circuit = openCircuit(textOf(loads));
        const state = openState(circuit, { power: 'off' });
        const view = viewOf(circuit, state, true);
        const own = tolerances(circuit);
        const [least, most] = [-1, 1].map((way) =>
          viewOf(
            withParts(circuit, (part) => 1 + way * own[part]!),
            state,
            true,
          ),
        );
        for (const [a, b] of pairsOf(circuit, view)) {
          const ohms = (each: PointView) => each.transfer(0, a, b, a, b).re;
          const band = ohmsSpread(view, a, b);
          expect(Math.abs(band.low - ohms(least!))).toBeLessThan(0.02 + 1e-6 * ohms(least!));
          expect(Math.abs(band.high - ohms(most!))).toBeLessThan(0.02 + 1e-6 * ohms(most!));
        }
      }),
      { numRuns: 30 },
    );
  });
});

test('the star point of three phases may be at nothing, whatever its nominal volts', () => {
  // 10, 10.4 and 10.9 ohm, give or take 5 %: all three may be 10.4, and then the star point has no voltage.
  const circuit = openCircuit(`loadside: circuit/1
supplies:
  S: { system: three-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line1: S.1, line2: S.2, line3: S.3, neutral: S.N } }
loads:
  A: { kind: heating-element, between: [S.1, A], resistance: 10 ohm, tolerance: 5 % }
  B: { kind: heating-element, between: [S.2, A], resistance: 10.4 ohm, tolerance: 5 % }
  C: { kind: heating-element, between: [S.3, A], resistance: 10.9 ohm, tolerance: 5 % }
nodes: { A: {} }
`);
  const [a, zero] = ['A', 'S.N'].map((name) => circuit.nodeByName.get(name)!) as [number, number];
  const view = viewOf(withParts(circuit, () => 1));
  // The neutral is reached by the meter alone.
  const neutral = view.island(a) === view.island(zero);
  expect(neutral).toBe(true);
  expect(voltsSpread(view, 0, a, zero, inputOhms, new Map()).low).toBe(0);
});

describe('a network with coils and capacitors', () => {
  const shares = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 8, maxLength: 8 });
  const draws = fc.array(shares, { minLength: 60, maxLength: 60 });

  test('never leaves its band, drawn at random, corners among the draws', () => {
    let wide = 0;
    let compared = 0;
    fc.assert(
      fc.property(
        fc.array(load(300), { minLength: 2, maxLength: 5 }),
        fc.array(capacitor, { minLength: 0, maxLength: 2 }),
        draws,
        (loads, passives, random) => {
          const circuit = openCircuit(textOf(loads, passives));
          const view = viewOf(circuit);
          const own = tolerances(circuit);
          const samples = random.map((each, draw) =>
            viewOf(
              withParts(circuit, (part) => {
                const share = each[part]!;
                return 1 + own[part]! * (draw % 2 === 0 ? share : Math.sign(share) || 1);
              }),
            ),
          );
          for (const [a, b] of pairsOf(circuit, view)) {
            const all = samples.map((each) => reads(each, a, b, false));
            const band = voltsSpread(view, 0, a, b, inputOhms, new Map());
            const [low, high] = [
              Math.max(0, Math.min(Math.abs(band.low), Math.abs(band.high))),
              Math.max(-band.low, band.high),
            ];
            const slack = tiny + 0.002 * high;
            expect(Math.max(...all)).toBeLessThan(high + slack);
            expect(Math.min(...all)).toBeGreaterThan(low - slack);
            if (high - Math.max(...all) > 0.03 * high + tiny) wide += 1;
            compared += 1;
          }
        },
      ),
      { numRuns: 40 },
    );
    expect(compared).toBeGreaterThan(100);
    // 60 draws, half of them corners, meet the best corner, or a resonance, most times and not always.
    expect(wide / compared).toBeLessThan(0.1);
  });
});
