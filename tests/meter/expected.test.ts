import fc from 'fast-check';
import { expect, test } from 'vitest';
import { restState } from '../../src/circuit/circuit.js';
import { instrument, nominalSupplies, TestStand } from '../../src/meter/meter.js';
import { circuitOf } from '../circuit/open.js';
import { node } from '../published/front-doors.js';

/** A divider of three parts on a mains line, with their values as given. */
const divider = (ohms: readonly number[], volts = 120, tolerance = 10) =>
  circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: ${volts} V, frequency: 60 Hz, tolerance: 10 %, terminals: { line: MAINS.L, neutral: MAINS.N } }
loads:
  R1: { kind: other, between: [MAINS.L, A], resistance: ${ohms[0]} ohm, tolerance: ${tolerance} % }
  R2: { kind: other, between: [A, B], resistance: ${ohms[1]} ohm, tolerance: ${tolerance} % }
  R3: { kind: other, between: [B, MAINS.N], resistance: ${ohms[2]} ohm, tolerance: ${tolerance} % }
`);

const reading = (circuit: ReturnType<typeof divider>, red: string, black: string) => {
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const where = { kind: 'between', red: node(circuit, red), black: node(circuit, black) } as const;
  const expected = stand.expect(
    restState(circuit),
    { where, unit: 'V', meter: instrument('high-impedance') },
    [],
  );
  if (expected.kind !== 'driven') throw new Error(expected.kind);
  return expected;
};

test('no circuit within its tolerances leaves its band', () => {
  const ohm = fc.double({ min: 5, max: 5000, noNaN: true });
  const share = fc.double({ min: -1, max: 1, noNaN: true });
  fc.assert(
    fc.property(fc.tuple(ohm, ohm, ohm), fc.tuple(share, share, share, share), (ohms, off) => {
      const band = reading(divider(ohms), 'A', 'B');
      const built = ohms.map((each, index) => each * (1 + 0.1 * (off[index] ?? 0)));
      const real = reading(divider(built, 120 * (1 + 0.1 * off[3]), 0), 'A', 'B').nominal;
      expect(real).toBeGreaterThanOrEqual(band.low);
      expect(real).toBeLessThanOrEqual(band.high);
    }),
    { numRuns: 300 },
  );
});

test('the band is the corner of supply and parts, and the meter on top', () => {
  // Thirds of 120 V: by hand, 132 V over 90 + 110 + 90 ohm, and 108 V over 110 + 90 + 110 ohm.
  const { low, nominal, high } = reading(divider([100, 100, 100]), 'A', 'B');
  expect(nominal).toBeCloseTo(40, 1);
  const meter = (volts: number) => 0.01 * volts + 0.3;
  const [most, least] = [(132 * 110) / 290, (108 * 90) / 310];
  expect(high).toBeCloseTo(most + meter(most), 1);
  expect(low).toBeCloseTo(least - meter(least), 1);
});

// A voltage ratio of 120 to 24 with nothing drawn: by hand. A wire on the wrong terminal ties a 5 V pack to one end of it.
test('where a winding and a dc supply meet, the larger of the two is read', () => {
  const circuit = circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
  PACK: { system: dc, voltage: 5 V, terminals: { positive: PACK.P, negative: PACK.M } }
transformers:
  T: { primary: [MAINS.L, MAINS.N], secondary: [T.3, T.4], voltages: [120 V, 24 V], rating: 20 VA }
wires:
  - { from: PACK.P, to: T.3 }
`);
  const at = (red: string, black: string) => reading(circuit, red, black);
  expect(at('T.3', 'T.4')).toMatchObject({ nominal: expect.closeTo(24, 1) });
  expect(at('T.4', 'PACK.M')).toMatchObject({ nominal: expect.closeTo(24, 1) });
  expect(at('PACK.M', 'PACK.P')).toMatchObject({ nominal: expect.closeTo(-5, 1), signed: true });
});

test('dc is read with its sign, ac without', () => {
  const circuit = circuitOf(`loadside: circuit/1
supplies:
  BAT: { system: dc, voltage: 12 V, terminals: { positive: BAT.P, negative: BAT.M } }
  MAINS: { system: single-phase, voltage: 230 V, frequency: 50 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }
loads:
  R: { kind: lamp, between: [BAT.P, BAT.M], resistance: 10 ohm }
  H: { kind: lamp, between: [MAINS.L, MAINS.N], resistance: 100 ohm }
`);
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const at = (red: string, black: string) =>
    stand.expect(
      restState(circuit),
      {
        where: { kind: 'between', red: node(circuit, red), black: node(circuit, black) },
        unit: 'V',
        meter: instrument('high-impedance'),
      },
      [],
    );
  expect(at('BAT.M', 'BAT.P')).toMatchObject({ kind: 'driven', nominal: expect.closeTo(-12 / 1.01, 2) });
  expect(at('MAINS.N', 'MAINS.L')).toMatchObject({ kind: 'driven', nominal: expect.closeTo(229.8, 0) });
  // Two supplies that nothing joins: no voltage between them is known.
  expect(at('BAT.P', 'MAINS.N').kind).toBe('floating');
});
