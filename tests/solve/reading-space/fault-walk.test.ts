import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Circuit, type Fault, faultName, listFaults, restState } from '../../../src/circuit/circuit.js';
import { operate } from '../../../src/solve/operating-point.js';
import { nominalScale } from '../../../src/solve/plan.js';
import { FaultWalk } from '../../../src/solve/reading-space/fault-walk.js';
import type { Pair } from '../../../src/solve/reading-space/pair-list.js';
import type { SeenNetwork } from '../../../src/solve/reading-space/seen.js';
import { mixed } from '../../../src/solve/reading-space/space.js';
import { planCircuit, rmsVolts } from '../../../src/solve/solve.js';
import { PointView, type View } from '../../../src/solve/view.js';
import { openCircuit } from '../../published/front-doors.js';
import { randomCircuit, randomReactiveCircuit } from '../random-circuit.js';

/** Volts, and ohms against the larger of them and 1, by which closed form and a new factor may differ. */
const agreement = { volts: 1e-3, ohms: 1e-3 };

interface Count {
  known: number;
  floating: number;
  /** Left to be solved for though it stands still. */
  unknown: number;
  blows: number;
  shorts: number;
  steady: number;
}

/** Every pair of places, seen in reading space with these faults and solved for afresh. */
function compare(
  circuit: Circuit,
  walk: FaultWalk,
  pairs: readonly Pair[],
  faults: readonly Fault[],
  count: Count,
): void {
  const what = faults.map(faultName).join(' and ');
  const walked = walk.walk(faults.at(-1), 0);
  const operation = operate(planCircuit(circuit), restState(circuit), faults);
  if (walked === 'shorts') {
    count.shorts += 1;
    expect(operation.kind, what).toBe('short');
    return;
  }
  if (walked === 'unknown' || walked === 'blows') {
    if (operation.kind === 'steady') count[walked] += 1;
    return;
  }
  expect(walked, what).toBe(operation.kind);
  if (operation.kind !== 'steady') return;
  count.steady += 1;
  const network = walk.seen;
  if (network === undefined) {
    count.unknown += 1;
    return;
  }
  const view = new PointView(operation.point);
  const on = view.on.reduce((bits, each, index) => (each ? bits | (1 << index) : bits), 0);
  expect(walk.on, `what is on under ${what}`).toBe(on);
  for (const pair of pairs) {
    const [a, b] = pair;
    const place = walk.place(pair);
    const seen = network.look(place);
    const where = `${circuit.nodes[a]!.name} to ${circuit.nodes[b]!.name} under ${what}`;
    if (seen === 'unknown') continue;
    expect(seen === 'known', `joined: ${where}`).toBe(view.island(a) === view.island(b));
    if (seen === 'floating') {
      count.floating += 1;
      continue;
    }
    count.known += 1;
    const { re, im } = network;
    expect(Math.abs(Math.hypot(re, im) - rmsVolts(view, a, b)!), where).toBeLessThan(agreement.volts);
    network.lookOhms(place);
    if (network.seenAt === mixed) continue;
    const ohms = view.transfer(network.seenAt, a, b, a, b);
    const off = Math.hypot(network.ohmsRe - ohms.re, network.ohmsIm - ohms.im);
    expect(off / Math.max(1, Math.hypot(ohms.re, ohms.im)), `ohms ${where}`).toBeLessThan(agreement.ohms);
  }
  compareTransfers(circuit, walk, network, view, pairs, what);
}

/** From every pair to one of them, and the most volts that any place has against either of its ends. */
function compareTransfers(
  circuit: Circuit,
  walk: FaultWalk,
  network: SeenNetwork,
  view: View,
  pairs: readonly Pair[],
  what: string,
): void {
  const [a, b] = pairs[Math.floor(pairs.length / 2)]!;
  const fixed = walk.place([a, b]);
  if (network.look(fixed) !== 'known' || network.seenAt === mixed) return;
  const frequency = network.seenAt;
  network.fix(fixed);
  for (const [c, d] of pairs) {
    const place = walk.place([c, d]);
    if (network.look(place) !== 'known' || network.seenAt !== frequency) continue;
    const found = network.transferToFixed(place);
    // Between two pairs on both sides of a joining it is not always told.
    if (Number.isNaN(found)) continue;
    const { re, im } = view.transfer(frequency, a, b, c, d);
    const off = Math.abs(found - Math.hypot(re, im)) / Math.max(1, Math.hypot(re, im));
    expect(off, `transfer ${circuit.nodes[c]!.name} to ${circuit.nodes[d]!.name} under ${what}`).toBeLessThan(
      agreement.ohms,
    );
  }
  // Once there are enough, no more are looked for; another time there may not be.
  network.highestVolts(network.space.place(a), 1);
  const highest = network.highestVolts(network.space.place(a), Number.POSITIVE_INFINITY);
  for (const { index, name } of circuit.nodes)
    if (view.island(index) === view.island(a))
      expect(highest, `${name} under ${what}`).toBeGreaterThan(rmsVolts(view, index, a)! - agreement.volts);
}

function opened(text: string): { circuit: Circuit; walk: FaultWalk; pairs: Pair[] } {
  const circuit = openCircuit(text);
  const walk = new FaultWalk(planCircuit(circuit), restState(circuit), nominalScale, []);
  const pairs = circuit.nodes.flatMap(({ index: a }) =>
    circuit.nodes.slice(a + 1).map(({ index: b }): Pair => [a, b]),
  );
  walk.walk(undefined, 0);
  return { circuit, walk, pairs };
}

describe('a fault followed in reading space', () => {
  const kinds = [
    // Windings, capacitors beside dc and places with volts of two frequencies are left to be solved for.
    ['wires, loads, contacts and a control', randomCircuit, 0.1],
    ['transformers, passives, relays and a second supply', randomReactiveCircuit, 3],
  ] as const;
  test.each(kinds)('ends where a new solve does, with its volts and ohms: %s', (_, circuits, mostUnknown) => {
    const count: Count = { known: 0, floating: 0, unknown: 0, blows: 0, shorts: 0, steady: 0 };
    fc.assert(
      fc.property(circuits, (text) => {
        const { circuit, walk, pairs } = opened(text);
        const faults = listFaults(circuit);
        const half = pairs.filter((_, at) => at % 2 === 0);
        for (const fault of faults) compare(circuit, walk, half, [fault], count);
        // From the second time on what was seen is kept; and more can be looked at.
        for (const fault of faults.toReversed()) compare(circuit, walk, half, [fault], count);
        for (const fault of faults) compare(circuit, walk, pairs, [fault], count);
      }),
      { numRuns: 20 },
    );
    expect(count.steady).toBeGreaterThan(50);
    expect(count.unknown).toBeLessThan(mostUnknown * count.steady);
    expect(count.floating).toBeGreaterThan(50);
  });

  test('what was seen of one is not to be looked at once another was walked with', () => {
    const { circuit, walk, pairs } = opened(fc.sample(randomCircuit, 1)[0]!);
    const [one, other] = listFaults(circuit).filter((fault) => walk.walk(fault, 0) === 'steady');
    walk.walk(one, 0);
    expect(walk.seen).not.toBe(walk.seen);
    const { seen } = walk;
    expect(walk.seen).toBe(seen);
    walk.walk(other, 0);
    expect(() => seen?.look(walk.place(pairs[0]!))).toThrow('another fault was walked with since');
  });

  test.each([
    ['wires, loads, contacts and a control', randomCircuit, 20, 50],
    // A first fault at a winding leaves all to be solved for.
    ['transformers, passives, relays and a second supply', randomReactiveCircuit, 40, 20],
  ] as const)('and so do two at once: %s', (_, circuits, numRuns, least) => {
    const count: Count = { known: 0, floating: 0, unknown: 0, blows: 0, shorts: 0, steady: 0 };
    fc.assert(
      fc.property(circuits, fc.nat(30), (text, first) => {
        const { circuit, walk, pairs } = opened(text);
        const faults = listFaults(circuit);
        const held = faults[first % faults.length]!;
        walk.hold(held);
        for (const fault of faults) if (fault !== held) compare(circuit, walk, pairs, [held, fault], count);
      }),
      { numRuns },
    );
    expect(count.steady).toBeGreaterThan(least);
  });

  // From one winding over the contact to the other: the core couples both sides of what joins them.
  test('with a contact that joins the two sides of a transformer', () => {
    const { circuit, walk, pairs } = opened(`
loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
loads:
  R1: { kind: other, job: runs, between: [A, B], impedance: { resistance: 5 ohm, reactance: 0 ohm } }
relays:
  K1: { coil: { between: [MAINS.L, MAINS.N], resistance: 3 kohm, picks-up-at: 80 V, drops-out-below: 30 V }, contacts: { one: { between: [C, MAINS.L], normally: open } } }
transformers:
  T1: { primary: [B, T1.1], secondaries: [[C, T1.2]], voltages: [120 V, 24 V], rating: 10 VA, leakages: [4 ohm, 0.3 ohm] }
wires:
  - { from: MAINS.L, to: A }
`);
    const count: Count = { known: 0, floating: 0, unknown: 0, blows: 0, shorts: 0, steady: 0 };
    const faults = listFaults(circuit);
    const [held, fault] = ['MAINS.line:missing', 'K1.one:stuck-closed'].map((name) =>
      faults.find((each) => faultName(each) === name),
    );
    walk.hold(held);
    compare(circuit, walk, pairs, [held!, fault!], count);
    expect(count.known).toBeGreaterThan(20);
  });

  // A wire to an input that draws nothing carries none, yet its loss, or a contact that closes to it, is all that the module goes by.
  test('with a module that sees what carries no current', () => {
    const { circuit, walk, pairs } = opened(`
loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
switches:
  S1: { positions: [open, closed], rest: open, between: [MAINS.L, G], closed-in: [closed] }
loads:
  R1: { between: [C, MAINS.N], kind: other, job: runs, impedance: { resistance: 30 ohm, reactance: 0 ohm } }
modules:
  M:
    supply: { between: [D, MAINS.N], at-least: 90 V }
    inputs: { go: { between: [E, MAINS.N], at-least: 60 V }, stop: { between: [F, MAINS.N], at-least: 60 V } }
    outputs: { run: { when: { all: [go], not: stop }, between: [MAINS.L, C] } }
wires:
  - { from: MAINS.L, to: A }
  - { from: MAINS.L, to: D }
  - { from: A, to: E }
  - { from: F, to: G }
nodes: { A: {}, C: {}, D: {}, E: {}, F: {}, G: {} }
`);
    const count: Count = { known: 0, floating: 0, unknown: 0, blows: 0, shorts: 0, steady: 0 };
    for (const fault of listFaults(circuit)) compare(circuit, walk, pairs, [fault], count);
    expect(count.steady).toBeGreaterThan(10);
  });
});
