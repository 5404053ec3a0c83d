/**
 * What every answer must respect, whatever the circuit. Common practice, no source, but where one is named; all
 * figures are Ohm's law.
 */
import { describe, expect, it } from 'vitest';
import { Bench, type Shows } from './metered-circuit.js';

function volts(value: number, within = 0.001): Shows {
  return { kind: 'volts', value: closeTo(value, within) };
}

/** An asymmetric matcher for a number within a stated distance. */
function closeTo(value: number, within: number): number {
  return expect.toSatisfy((found: number) => Math.abs(found - value) <= within) as number;
}

const floating: Shows = { kind: 'floating' };

/** 120 V, a switch, a 12 ohm heater of 10 A; nothing else has a resistance worth naming. */
const heater = `
loadside: circuit/1
supplies:
  S:
    { system: single-phase, voltage: 120 V, frequency: 60 Hz, tolerance: 0 %, impedance: 1e-6 ohm, terminals: { line: S.L, neutral: S.N } }
switches:
  SW: { positions: [off, on], between: [SW.1, SW.2], closed-in: [on], resistance: 1e-6 ohm }
loads:
  H: { kind: heating-element, between: [H.1, H.2], resistance: 12 ohm, tolerance: 0 % }
wires:
  - { id: W1, from: S.L, to: SW.1, resistance: 1e-6 ohm }
  - { id: W2, from: SW.2, to: H.1, resistance: 1e-6 ohm }
  - { id: W3, from: H.2, to: S.N, resistance: 1e-6 ohm }
`;

describe('an open in series with a connected load', () => {
  const bench = new Bench(heater);

  it('shows the supply across an open switch and nothing across the load', () => {
    expect(bench.volts('SW.1', 'SW.2')).toEqual(volts(120));
    expect(bench.volts('H.1', 'H.2')).toEqual(volts(0));
  });

  it.each([
    ['W1:open', 'S.L', 'SW.1'],
    ['SW:stuck-open', 'SW.1', 'SW.2'],
    ['W2:open', 'SW.2', 'H.1'],
    ['W3:open', 'H.2', 'S.N'],
  ])('shows the supply across %s and nothing across any other part', (fault, red, black) => {
    const given = { state: { SW: 'on' }, faults: [fault] };
    const parts = [
      ['S.L', 'SW.1'],
      ['SW.1', 'SW.2'],
      ['SW.2', 'H.1'],
      ['H.1', 'H.2'],
      ['H.2', 'S.N'],
    ] as const;
    for (const [from, to] of parts) {
      const across = from === red && to === black ? 120 : 0;
      expect(bench.volts(from, to, given)).toEqual(volts(across));
    }
  });

  it('shows the supply across a load that is itself open', () => {
    expect(bench.volts('H.1', 'H.2', { state: { SW: 'on' }, faults: ['H:open'] })).toEqual(volts(120));
  });

  it('shows no voltage where no load ties the far side down: it floats', () => {
    const given = { faults: ['H:open'] };
    expect(bench.volts('SW.1', 'SW.2', given)).toEqual(floating);
    expect(bench.volts('SW.2', 'S.N', given)).toEqual(floating);
  });
});

describe('an open neutral', () => {
  const given = { state: { SW: 'on' }, faults: ['W3:open'] };
  const bench = new Bench(heater);

  it('leaves both sides of the load at line to neutral at the source', () => {
    // No current flows, so every place before the break is at the full line voltage.
    for (const place of ['SW.1', 'SW.2', 'H.1', 'H.2']) {
      expect(bench.volts(place, 'S.N', { ...given, input: 'high-impedance' })).toEqual(volts(120, 2e-4));
    }
    expect(bench.volts('H.1', 'H.2', given)).toEqual(volts(0, 2e-4));
  });

  it('is a place with a voltage, not one that floats', () => {
    expect(bench.verdict('H.2', 'S.N', 120, given)).toBe('agrees');
    expect(bench.verdict('H.2', 'S.N', 0, given)).toBe('differs');
  });
});

describe('a contact', () => {
  const burnt = heater.replace(
    'closed-in: [on], resistance: 1e-6 ohm',
    'closed-in: [on], resistance: 0.5 ohm',
  );

  it('shows near zero when closed and sound, under 10 A', () => {
    const usual = heater.replace(', closed-in: [on], resistance: 1e-6 ohm', ', closed-in: [on]');
    expect(new Bench(usual).volts('SW.1', 'SW.2', { state: { SW: 'on' } })).toEqual(volts(0.2, 0.001));
  });

  it('shows a drop when burnt, under load', () => {
    // Computed: 0.5 ohm in series with 12 ohm at 120 V; 4.8 V here, 115.2 V at the load.
    const bench = new Bench(burnt);
    expect(bench.volts('SW.1', 'SW.2', { state: { SW: 'on' } })).toEqual(volts(4.8));
    expect(bench.volts('H.1', 'H.2', { state: { SW: 'on' } })).toEqual(volts(115.2));
  });

  it('shows no drop when burnt and no current flows', () => {
    const unloaded = { state: { SW: 'on', disconnected: ['H.2'] } };
    const bench = new Bench(burnt);
    expect(bench.volts('SW.1', 'SW.2', unloaded)).toEqual(volts(0));
    expect(bench.volts('SW.2', 'S.N', unloaded)).toEqual(volts(120));
  });
});

/** 120/240 V: a 240 V load across both legs, each leg through a wire of its own, and a lamp on leg 1. */
const oven = `
loadside: circuit/1
supplies:
  S:
    { system: split-phase, voltage: 120 V, frequency: 60 Hz, tolerance: 0 %, impedance: 1e-6 ohm, terminals: { line1: S.1, line2: S.2, neutral: S.N } }
loads:
  E: { kind: heating-element, between: [A, B], resistance: 20 ohm, tolerance: 0 % }
  LAMP: { kind: lamp, between: [A, N], resistance: 580 ohm, tolerance: 0 % }
wires:
  - { id: W1, from: S.1, to: A, resistance: 1e-6 ohm }
  - { id: W2, from: S.2, to: B, resistance: 1e-6 ohm }
  - { id: W3, from: S.N, to: N, resistance: 1e-6 ohm }
`;

describe('two legs of a split supply', () => {
  const bench = new Bench(oven);

  it('stand 240 V apart and 120 V from neutral', () => {
    expect(bench.volts('A', 'B')).toEqual(volts(240, 0.01));
    expect(bench.volts('A', 'N')).toEqual(volts(120, 0.01));
    expect(bench.volts('B', 'N')).toEqual(volts(120, 0.01));
  });

  it('feed back through a 240 V load when one is lost', () => {
    const lost = { faults: ['W1:open'], state: { removed: ['LAMP'] } };
    expect(bench.volts('A', 'N', lost)).toEqual(volts(120, 0.001));
    expect(bench.volts('B', 'N', lost)).toEqual(volts(120, 0.001));
    expect(bench.volts('A', 'B', lost)).toEqual(volts(0, 0.001));
    // The lost leg shows across its own break: leg 1 against what leg 2 feeds back.
    expect(bench.volts('S.1', 'A', lost)).toEqual(volts(240, 0.001));
  });

  it('light a lamp on the lost leg through that load', () => {
    // 120 V over 580 + 20 ohm.
    expect(bench.volts('A', 'N', { faults: ['W1:open'] })).toEqual(volts(116, 0.001));
    expect(bench.volts('A', 'B', { faults: ['W1:open'] })).toEqual(volts(4, 0.001));
  });
});

describe('resistance in circuit', () => {
  const text = `
loadside: circuit/1
loads:
  R: { kind: other, between: [A, B], resistance: 470 ohm, tolerance: 0 % }
  P: { kind: other, between: [A, C], resistance: 1 kohm, tolerance: 0 % }
wires:
  - { id: W, from: C, to: B, resistance: 1e-6 ohm }
`;
  const bench = new Bench(text);

  it('includes every parallel path', () => {
    // 470 ohm beside 1 kohm: 319.7 ohm (computed; a public notebook has 470 ohm reading about 320).
    expect(bench.ohms('A', 'B')).toEqual({ kind: 'ohms', value: closeTo(319.728, 0.001) });
  });

  it('is the part alone once the other path is lifted', () => {
    expect(bench.ohms('A', 'B', { state: { disconnected: ['C'] } })).toEqual({
      kind: 'ohms',
      value: closeTo(470, 0.001),
    });
  });

  it('is beyond range where there is no path', () => {
    expect(bench.ohms('C', 'B', { faults: ['P:open', 'W:open'] })).toEqual(floating);
  });
});

describe('a place that floats', () => {
  const bench = new Bench(heater);
  const given = { faults: ['H:open'] };

  it('proves nothing to a high-impedance input, whatever stray volts it shows', () => {
    for (const stray of [0, 12, 60, 100]) {
      expect(bench.verdict('SW.2', 'S.N', stray, given)).toBe('inconclusive');
    }
    expect(bench.verdict('SW.2', 'S.N', 240, given)).toBe('differs');
  });

  it('shows about zero to a low-impedance input', () => {
    const low = { ...given, input: 'low-impedance' } as const;
    expect(bench.verdict('SW.2', 'S.N', 0, low)).toBe('agrees');
    expect(bench.verdict('SW.2', 'S.N', 60, low)).toBe('differs');
  });

  it('is tied down by a leak, and the input of the meter decides how much shows', () => {
    // Computed: an open contact that leaks through 1 Mohm at 120 V reads 109.09 V on 10 Mohm, 0.359 V on 3 kohm.
    const leaky = new Bench(
      `${heater.replace('loads:', 'loads:\n  LEAK: { kind: other, between: [SW.1, SW.2], resistance: 1 Mohm, tolerance: 0 % }')}`,
    );
    expect(leaky.volts('SW.2', 'S.N', given)).toEqual(volts(109.0909, 0.001));
    expect(leaky.volts('SW.2', 'S.N', { ...given, input: 'low-impedance' })).toEqual(volts(0.3589, 0.001));
  });
});

describe('exchanging the leads', () => {
  const battery = heater
    .replace('system: single-phase', 'system: dc')
    .replace('frequency: 60 Hz, ', '')
    .replace('line: S.L, neutral: S.N', 'positive: S.L, negative: S.N');

  it('turns the sign of a dc reading', () => {
    expect(new Bench(battery).volts('S.L', 'S.N')).toEqual(volts(120));
    expect(new Bench(battery).volts('S.N', 'S.L')).toEqual(volts(-120));
  });

  it('changes nothing of an ac reading, which has no sign', () => {
    expect(new Bench(heater).volts('S.L', 'S.N')).toEqual(volts(120));
    expect(new Bench(heater).volts('S.N', 'S.L')).toEqual(volts(120));
  });
});

describe('a dead short', () => {
  it('is told as one, never as a number', () => {
    const given = { state: { SW: 'on' }, faults: ['H:shorted'] };
    expect(new Bench(heater).volts('H.1', 'H.2', given)).toEqual({ kind: 'short' });
  });
});
