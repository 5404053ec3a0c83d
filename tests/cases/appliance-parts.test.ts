/** What the parts of an appliance do together; by hand where a number is given, else common practice, no source. */
import { describe, expect, it } from 'vitest';
import { cutOff, rmsVolts } from '../../src/solve/solve.js';
import { node, steadyView } from '../published/front-doors.js';
import { Bench } from './metered-circuit.js';

const supply = (voltage: string, more = '') =>
  `loadside: circuit/1\nsupplies:\n  S: { system: single-phase, voltage: ${voltage}, frequency: 60 Hz, impedance: 1e-6 ohm, terminals: { line: S.L, neutral: S.N }${more} }\n`;

const volts = (value: number, digits = 1) => ({ kind: 'volts', value: expect.closeTo(value, digits) });

describe('resistances', () => {
  it('a 12 ohm heater behind a contact of 0.5 ohm has 115.2 V, and the contact 4.8 V', () => {
    const bench = new Bench(`${supply('120 V')}switches:
  C: { positions: [open, closed], rest: closed, between: [S.L, C.2], closed-in: [closed] }
loads:
  H: { kind: heating-element, between: [C.2, S.N], resistance: 12 ohm }
`);
    const faults = ['C:high-resistance=0.5 ohm'];
    expect(bench.volts('C.2', 'S.N', { faults })).toEqual(volts(115.2, 2));
    expect(bench.volts('S.L', 'C.2', { faults })).toEqual(volts(4.8, 2));
    // Burnt, it still opens.
    expect(bench.volts('C.2', 'S.N', { faults, state: { C: 'open' } })).toEqual(volts(0));
  });

  it('20 and 60 ohm on a split supply with its neutral open have 60 V and 180 V', () => {
    const bench = new Bench(`loadside: circuit/1
supplies:
  S: { system: split-phase, voltage: 120 V, frequency: 60 Hz, impedance: 1e-6 ohm, terminals: { line1: S.1, line2: S.2, neutral: S.N } }
loads:
  A: { kind: heating-element, between: [S.1, SP], resistance: 20 ohm }
  B: { kind: heating-element, between: [SP, S.2], resistance: 60 ohm }
wires:
  - { from: S.N, to: SP, id: NEUTRAL }
`);
    const faults = ['NEUTRAL:open'];
    expect(bench.volts('S.1', 'SP', { faults })).toEqual(volts(60, 2));
    expect(bench.volts('SP', 'S.2', { faults })).toEqual(volts(180, 2));
    expect(bench.volts('S.1', 'SP')).toEqual(volts(120, 0));
  });

  it('470 ohm with 1 kohm beside it read 319.7 ohm, and 470 with a lead lifted', () => {
    const bench = new Bench(`${supply('120 V')}passives:
  R: { kind: resistor, between: [A, B], resistance: 470 ohm }
  P: { kind: resistor, between: [A, C], resistance: 1 kohm }
wires:
  - { from: C, to: B }
`);
    expect(bench.ohms('A', 'B')).toEqual({ kind: 'ohms', value: expect.closeTo(319.7, 1) });
    expect(bench.ohms('A', 'B', { state: { disconnected: ['C'] } })).toEqual({ kind: 'ohms', value: 470 });
    expect(bench.ohms('A', 'S.L')).toEqual({ kind: 'floating' });
  });
});

/** A motor that a start winding and a centrifugal switch get going, behind an overload. */
const motor = new Bench(`${supply('120 V')}switches:
  ON: { positions: [out, in], rest: out, between: [S.L, OL.1], closed-in: [in] }
  CENT: { follows: M, between: [OL.2, CENT.2], closed-in: [idle] }
  RUN: { follows: M, between: [OL.2, RUN.2], closed-in: [working] }
protectors:
  OL: { kind: overload, between: [OL.1, OL.2], rating: 8 A }
loads:
  M: { kind: motor, between: [OL.2, S.N], rated: { voltage: 120 V, current: 5 A, power: 360 W }, locked: { current: 20 A }, resistance: 1.5 ohm, start-winding: W, job: turns }
  W: { kind: other, between: [CENT.2, S.N], impedance: { resistance: 5 ohm, reactance: 4 ohm }, resistance: 4.8 ohm }
  H: { kind: lamp, between: [RUN.2, S.N], rated: { voltage: 120 V, power: 60 W } }
`);

describe('a motor with a start winding', () => {
  const on = { state: { ON: 'in' } };

  it('gets going, drops its start winding, and what follows it closes', () => {
    expect(motor.volts('CENT.2', 'S.N', on)).toEqual(volts(0));
    expect(motor.volts('RUN.2', 'S.N', on)).toEqual(volts(120, 0));
  });

  it('stands still and draws its locked current where the start winding is open: the overload opens', () => {
    expect(motor.volts('RUN.2', 'S.N', { ...on, faults: ['W:open'] })).toEqual({ kind: 'overload' });
    expect(motor.volts('RUN.2', 'S.N', { ...on, faults: ['CENT:stuck-open'] })).toEqual({ kind: 'overload' });
  });

  it('runs on, once it turned, whatever becomes of its start winding', () => {
    const state = { ON: 'in', disconnected: [], after: [{ ON: 'in' }] };
    expect(motor.volts('RUN.2', 'S.N', { state })).toEqual(volts(120, 0));
  });

  it('reads its copper with the power off, the start winding beside it', () => {
    const both = (1.5 * 4.82) / (1.5 + 4.82);
    expect(motor.ohms('OL.2', 'S.N')).toEqual({ kind: 'ohms', value: expect.closeTo(both, 2) });
  });
});

describe('switches that conditions move', () => {
  const level = new Bench(`${supply('120 V')}conditions:
  level: { unit: mm, rest: 0, from: 0, to: 400 }
switches:
  LS:
    follows: level
    contacts:
      empty: { between: [S.L, LS.2], opens-above: 200 mm, closes-below: 120 mm }
      full: { between: [S.L, LS.3], closes-above: 200 mm, opens-below: 120 mm }
  T: { positions: [off, 1-12], rest: off, contacts: { a: { between: [S.L, T.2], closed-in: [2-5, 9] } } }
loads:
  V: { kind: solenoid, between: [LS.2, S.N], resistance: 900 ohm }
  M: { kind: lamp, between: [LS.3, S.N], resistance: 100 ohm }
  P: { kind: lamp, between: [T.2, S.N], resistance: 100 ohm }
states:
  full: { level: 250 }
`);
  const at = (place: string, state: unknown) => level.volts(place, 'S.N', { state });

  it('have one common and two throws', () => {
    expect([at('LS.2', {}), at('LS.3', {})]).toEqual([volts(120, 0), volts(0)]);
    expect([at('LS.2', 'full'), at('LS.3', 'full')]).toEqual([volts(0), volts(120, 0)]);
  });

  it('stand between their thresholds as they stood before, or as the state says', () => {
    expect(at('LS.3', { level: 150, after: ['full'] })).toEqual(volts(120, 0));
    expect(at('LS.2', { level: 150, after: ['full', { level: 20 }] })).toEqual(volts(120, 0));
    expect(at('LS.3', { level: 150, LS: 'tripped' })).toEqual(volts(120, 0));
    expect(at('LS.3', { level: 150, LS: 'reset' })).toEqual(volts(0));
  });

  it('may not change over at all: both throws are wrong at once', () => {
    const stuck = { state: 'full', faults: ['LS:dead'] };
    expect([level.volts('LS.2', 'S.N', stuck), level.volts('LS.3', 'S.N', stuck)]).toEqual([
      volts(120, 0),
      volts(0),
    ]);
  });

  it('have ranges of positions', () => {
    const closed = ['off', ...Array.from({ length: 12 }, (_, k) => String(k + 1))].filter(
      (position) =>
        at('T.2', { T: position }).kind === 'volts' &&
        (at('T.2', { T: position }) as { value: number }).value > 60,
    );
    expect(closed).toEqual(['2', '3', '4', '5', '9']);
  });
});

/** A platinum sensor of 1000 ohm in a divider on 5 V dc, beside the 120 V of a heater: two frequencies in one appliance. */
const oven =
  new Bench(`${supply('120 V')}  PACK: { system: dc, voltage: 5 V, impedance: 1e-6 ohm, terminals: { positive: PACK.P, negative: PACK.M } }
conditions:
  heat: { unit: degC, rest: 20, from: 0, to: 400 }
modules:
  C:
    supply: { between: [PACK.P, PACK.M], at-least: 4 V }
    inputs: { hot: { between: [C.S, PACK.M], at-least: 2.1 V, impedance: 10 Mohm } }
    outputs: { heat: { when: { not: hot }, between: [S.L, C.H] } }
passives:
  R: { kind: resistor, between: [PACK.P, C.S], resistance: 2 kohm, tolerance: 0.1 % }
  RT: { kind: rtd, between: [C.S, PACK.M], follows: heat, curve: { resistance: 1000 ohm, at: 0 degC } }
  CX: { kind: capacitor, between: [C.S, S.N], capacitance: 100 nF }
loads:
  H: { kind: heating-element, between: [C.H, S.N], rated: { voltage: 120 V, power: 1000 W } }
`);

describe('a sensor on a dc supply beside the mains', () => {
  it('divides the dc by IEC 60751: 1758.56 ohm at 200 degC', () => {
    const ohms = 1758.56;
    expect(oven.volts('C.S', 'PACK.M', { state: { heat: 200 } })).toEqual(
      volts((5 * ohms) / (ohms + 2000), 2),
    );
  });

  it('switches the heater off when it is hot enough', () => {
    expect(oven.volts('C.H', 'S.N', { state: { heat: 100 } })).toEqual(volts(120, 0));
    expect(oven.volts('C.H', 'S.N', { state: { heat: 250 } })).toEqual(volts(0));
  });

  it('is not joined to the mains at dc by a capacitor: no dc volts are known between them', () => {
    const [sensor, neutral] = ['C.S', 'S.N'].map((name) => node(oven.circuit, name)) as [number, number];
    expect(rmsVolts(steadyView(oven.circuit), sensor, neutral)).toBeLessThan(0.01);
    expect(oven.volts('PACK.M', 'S.N', { current: 'dc' })).toEqual({ kind: 'floating' });
    expect(oven.volts('PACK.M', 'S.N', { current: 'ac' })).toEqual(volts(0));
  });
});

describe('supplies', () => {
  it('a delta of 400 V has 400 V from line to line, and nothing known to earth', () => {
    const bench = new Bench(`loadside: circuit/1
supplies:
  S: { system: three-phase, connection: delta, voltage: 400 V, frequency: 50 Hz, impedance: 1e-6 ohm, terminals: { line1: S.1, line2: S.2, line3: S.3, earth: S.PE } }
loads:
  A: { kind: heating-element, between: [S.1, S.2], resistance: 100 ohm }
  B: { kind: heating-element, between: [S.2, S.3], resistance: 100 ohm }
  C: { kind: heating-element, between: [S.3, S.1], resistance: 100 ohm }
`);
    expect(bench.volts('S.1', 'S.2')).toEqual(volts(400));
    expect(bench.volts('S.3', 'S.1')).toEqual(volts(400));
    // A line lost: two elements in series across what is left, 200 V each.
    expect(bench.volts('S.3', 'S.1', { faults: ['S.line3:missing'] })).toEqual(volts(200));
  });

  it('a leg of its own impedance drops volts of its own', () => {
    const bench = new Bench(`${supply('120 V', ', impedances: { neutral: 1 ohm }')}loads:
  H: { kind: heating-element, between: [S.L, S.N], resistance: 11 ohm }
`);
    expect(bench.volts('S.L', 'S.N')).toEqual(volts(110));
  });

  it('line and neutral exchanged show against earth only', () => {
    const bench = new Bench(`loadside: circuit/1
supplies:
  S: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: S.L, neutral: S.N, earth: S.PE } }
loads:
  H: { kind: heating-element, between: [S.L, S.N], resistance: 100 ohm }
`);
    const faults = ['S:crossed'];
    expect(bench.volts('S.L', 'S.N', { faults })).toEqual(volts(120, 0));
    expect(bench.volts('S.L', 'S.PE', { faults })).toEqual(volts(0, 0));
    expect(bench.volts('S.N', 'S.PE', { faults })).toEqual(volts(120, 0));
    expect(bench.volts('S.L', 'S.N', { faults: ['S:low-voltage=96 V'] })).toEqual(volts(96, 0));
  });
});

describe('a drifted part', () => {
  it('keeps its reactance: 30 ohm become 40 beside 30 ohm of reactance, and 3 A of 120 V become 2.4', () => {
    const bench = new Bench(`${supply('120 V')}loads:
  M: { kind: motor, between: [S.L, SP], impedance: { resistance: 22.5 ohm, reactance: 30 ohm } }
  R: { kind: other, between: [SP, S.N], resistance: 1 mohm }
nodes: { SP: {} }
`);
    const amps = (faults: readonly string[]) => {
      const shown = bench.volts('SP', 'S.N', { faults });
      return shown.kind === 'volts' ? shown.value * 1000 : Number.NaN;
    };
    expect(amps([])).toBeCloseTo(120 / Math.hypot(22.5, 30), 2);
    expect(amps(['M:high-resistance=40 ohm'])).toBeCloseTo(120 / Math.hypot(40, 30), 2);
  });
});

describe('a transformer', () => {
  const bench = new Bench(`${supply('120 V')}switches:
  SW: { positions: [off, on], rest: on, between: [S.L, T.1], closed-in: [on] }
protectors:
  F: { kind: fuse, between: [T.2, F.2], rating: 0.5 A }
transformers:
  T: { primary: [T.1, T.2], secondaries: [[T.3, T.4], [T.4, T.5]], voltages: [120 V, 12 V, 12 V], rating: 20 VA, resistance: 20 ohm }
wires:
  - { from: F.2, to: S.N }
loads:
  V: { kind: solenoid, between: [T.3, T.5], rated: { voltage: 24 V, power: 6 W } }
`);

  it('gives its ratio across both halves, and half of it to the centre tap', () => {
    const idle = { state: { removed: ['V'] } };
    expect(bench.volts('T.3', 'T.5', idle)).toEqual(volts(24, 0));
    expect(bench.volts('T.3', 'T.4', idle)).toEqual(volts(12, 0));
  });

  it('holds no voltage to the side that feeds it, and says that it is why', () => {
    expect(bench.volts('T.3', 'S.N')).toEqual({ kind: 'floating' });
    const view = steadyView(bench.circuit);
    expect(cutOff(view, node(bench.circuit, 'T.3'))).toEqual([
      { node: 'T.3', branch: 'T', part: 'T', why: 'transformer' },
    ]);
  });

  it('opens itself where what it feeds is shorted', () => {
    const alone = new Bench(`${supply('120 V')}switches:
  SW: { positions: [off, on], rest: off, between: [T.3, T.4], closed-in: [on] }
transformers:
  T: { primary: [S.L, S.N], secondary: [T.3, T.4], voltages: [120 V, 24 V], rating: 40 VA }
`);
    expect(alone.volts('T.3', 'T.4', { state: { SW: 'on' } })).toEqual({ kind: 'overload' });
  });

  it('gives nothing without its primary, or with it open', () => {
    expect(bench.volts('T.3', 'T.5', { state: { SW: 'off' } })).toEqual(volts(0));
    expect(bench.volts('T.3', 'T.5', { faults: ['T.primary:open'] })).toEqual(volts(0));
    expect(bench.volts('T.3', 'T.5', { faults: ['T.secondary-1:open'] })).toEqual({
      kind: 'volts',
      value: 0,
    });
  });

  it('blows its fuse when a secondary burns together: 120 V over what the copper leaves', () => {
    expect(bench.volts('T.3', 'T.5', { faults: ['T.secondary-1:shorted'] })).toEqual({ kind: 'overload' });
  });

  it('reads its copper with the power off, and nothing from winding to winding', () => {
    const dead = { state: { SW: 'off' } };
    expect(bench.ohms('T.1', 'T.2', dead)).toEqual({ kind: 'ohms', value: expect.closeTo(20, 1) });
    expect(bench.ohms('T.1', 'T.3', dead)).toEqual({ kind: 'floating' });
  });
});
