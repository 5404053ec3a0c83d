/**
 * A load that works near its limit: whether it stops under a fault hangs on its parts, which are within their tolerances
 * (a glow bar and its valve in series, the valve pulled in at some current; common practice, no source). Values are invented.
 */
import { describe, expect, test } from 'vitest';
import { circuitOf } from '../circuit/open.js';
import { suspectsOf } from './suspects-of.js';

const oven = circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE } }
switches:
  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [on] }
loads:
  GLOW: { kind: igniter, between: [GLOW.1, GLOW.2], impedance: { resistance: 34 ohm }, tolerance: 6 %, works: { at-least: 60 V }, job: igniter glows }
  VALVE: { kind: solenoid, between: [VALVE.1, VALVE.2], impedance: { resistance: 1.15 ohm }, resistance: 1.15 ohm, works: { at-least: 3.4 V }, job: burner gets gas }
  LAMP: { kind: lamp, between: [SW.2, MAINS.N], rated: { voltage: 120 V, power: 25 W }, job: lamp lights }
wires:
  - { from: MAINS.L, to: SW.1, id: FEED }
  - { from: SW.2, to: GLOW.1, id: OUT }
  - { from: GLOW.2, to: VALVE.1, id: LINK }
  - { from: VALVE.2, to: MAINS.N, id: BACK }
states: { on: { SW: on } }
`);

// With nominal parts a leak of 21 ohm leaves 3.75 V, more than enough; with parts at the ends of their tolerances, too little.
const noGas = `supply: { MAINS: 120.6 V }
symptoms:
  - { in: on, load: GLOW, works: yes }
  - { in: on, load: VALVE, works: no }
readings:
  - { in: on, red: VALVE.1, black: VALVE.2, reads: 3.6 V }
  - { in: on, red: GLOW.1, black: GLOW.2, reads: 116 V }
`;

/** A module that lights a sign from so many volts on at the middle of a divider of 120 V. */
const divider = (volts: number) =>
  circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE } }
modules:
  CTL:
    supply: { between: [CTL.L, CTL.N], at-least: 90 V, draws: { power: 2 W } }
    inputs: { there: { between: [CTL.1, CTL.N], at-least: ${volts} V } }
    outputs: { lamp: { when: { all: [there] }, job: sign lights } }
passives:
  RA: { kind: resistor, between: [CTL.L, CTL.1], resistance: 20 kohm, tolerance: 5 % }
  RB: { kind: resistor, between: [CTL.L, CTL.1], resistance: 20 kohm, tolerance: 5 % }
  RC: { kind: resistor, between: [CTL.1, CTL.N], resistance: 10 kohm, tolerance: 5 % }
wires:
  - { from: MAINS.L, to: CTL.L }
  - { from: MAINS.N, to: CTL.N }
`);

describe('a load near its limit', () => {
  test('may have stopped by what leaves it just enough, were its parts nominal', async () => {
    expect((await suspectsOf(oven, noGas)).named).toContain('LINK leaks-to-earth');
  });

  test('did not stop by what changes nothing there', async () => {
    const { named } = await suspectsOf(oven, noGas);
    expect(named).toContain('VALVE dead');
    expect(named.filter((each) => /^LAMP (dead|open)/.test(each))).toEqual([]);
  });

  test('did not stop by what takes next to nothing from it', async () => {
    const { suspects } = await suspectsOf(oven, noGas);
    const worn = suspects.flatMap(({ faults: [fault] }) =>
      fault!.mode === 'high-resistance' ? fault!.value! : [],
    );
    expect(worn.length).toBeGreaterThan(0);
    // Three hundredths of the 35 ohm that are in series.
    for (const { low } of worn) expect(low).toBeGreaterThan(1);
  });

  test('may work on where the fault puts it in series with another, both off their nominal value', async () => {
    // Straight across their phases tolerances move nothing; in series between the other two phases they divide 400 V.
    const delta = circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: three-phase, voltage: 400 V, frequency: 50 Hz, terminals: { line1: MAINS.L1, line2: MAINS.L2, line3: MAINS.L3, neutral: MAINS.N, earth: MAINS.PE } }
loads:
  B12: { kind: heating-element, between: [B12.1, B12.2], rated: { voltage: 400 V, power: 2000 W }, tolerance: 10 %, works: { at-least: 205 V }, job: element 1-2 heats }
  B31: { kind: heating-element, between: [B31.1, B31.2], rated: { voltage: 400 V, power: 2000 W }, tolerance: 10 %, works: { at-least: 205 V }, job: element 3-1 heats }
wires:
  - { from: MAINS.L1, to: B12.1, id: ONE }
  - { from: B12.1, to: B31.2, id: ACROSS }
  - { from: MAINS.L2, to: B12.2, id: TWO }
  - { from: MAINS.L3, to: B31.1, id: THREE }
`);
    const { named } = await suspectsOf(
      delta,
      `supply: { MAINS: 231 V }
symptoms:
  - { in: {}, load: B12, works: yes }
  - { in: {}, load: B31, works: no }
readings:
  - { in: {}, red: B12.1, black: B12.2, reads: 212 V }
  - { in: {}, red: B31.1, black: B31.2, reads: 188 V }
`,
    );
    expect(named).toContain('ONE open');
    expect(named).toContain('ONE high-resistance');
  });

  test('an output may be off where a fault has moved what its module looks at to just enough', async () => {
    // Two of 20 kohm side by side over 10 kohm: 60 V. With one of them gone 40 V, of which tolerances take up to 2.7 V.
    const control = divider(38);
    const readings = (volts: number) => `supply: { MAINS: 120 V }
symptoms:
  - { in: {}, load: CTL.lamp, works: no }
readings:
  - { in: {}, red: CTL.1, black: CTL.N, reads: ${volts} V }
`;
    expect((await suspectsOf(control, readings(38.2))).named).toContain('RB open');
    // In the sound circuit it is as it should be, wherever parts are.
    const sound = await suspectsOf(control, readings(60));
    expect(sound.named).not.toContain('RB open');
    expect(sound.verdict).toBe('bounded');
  });

  test('a sound output that tolerances decide on is no sign of anything, on or off', async () => {
    // 60 V where 59 V are enough: with parts at the ends of their tolerances 57 V.
    const { verdict, named, symptoms } = await suspectsOf(
      divider(59),
      `supply: { MAINS: 120 V }
symptoms:
  - { in: {}, load: CTL.lamp, works: no }
readings:
  - { in: {}, red: CTL.1, black: CTL.N, reads: 58.4 V }
`,
    );
    expect({ verdict, named }).toEqual({ verdict: 'agrees', named: [] });
    expect(symptoms.map(({ expected }) => expected)).toEqual(['marginal']);
    // 38 V are enough by far: then it is one.
    const { named: suspects } = await suspectsOf(
      divider(38),
      'supply: { MAINS: 120 V }\nsymptoms:\n  - { in: {}, load: CTL.lamp, works: no }\n',
    );
    expect(suspects).toContain('CTL dead');
  });
});
