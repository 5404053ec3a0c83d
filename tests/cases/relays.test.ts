/** Relays: what holds, what chatters, and what hangs on what was pressed before. */
import { describe, expect, it } from 'vitest';
import { expectPoints } from '../../src/diagnose/diagnose.js';
import { node } from '../published/front-doors.js';
import { Bench } from './metered-circuit.js';

const mains = `loadside: circuit/1
supplies:
  S: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: S.L, neutral: S.N } }
`;

const relay = (name: string, contact: string, coil = `${name}.A1, ${name}.A2`) =>
  `  ${name}: { coil: { between: [${coil}], resistance: 2 kohm, picks-up-at: 85 V, drops-out-below: 40 V }, contacts: { ${contact} } }\n`;

/** Start and stop buttons, a relay that holds itself in, and a lamp on its second contact. */
const sealIn = new Bench(`${mains}switches:
  STOP: { positions: [out, pressed], between: [S.L, STOP.2], closed-in: [out] }
  START: { positions: [out, pressed], between: [STOP.2, K.A1], closed-in: [pressed] }
relays:
${relay('K', 'hold: { between: [STOP.2, K.A1], normally: open }, lamp: { between: [S.L, K.14], normally: open }', 'K.A1, S.N')}loads:
  LAMP: { kind: lamp, between: [K.14, S.N], resistance: 300 ohm }
states:
  pressed: { START: pressed }
  running: { after: [pressed] }
  stopped: { after: [running, { STOP: pressed }] }
`);

/** A relay whose own break contact feeds its coil: a buzzer. */
const buzzer = new Bench(`${mains}relays:
${relay('K', 'break: { between: [S.L, K.A1], normally: closed }', 'K.A1, S.N')}`);

/** A ring of relays, each fed over the break contact of the one before. */
function ring(size: number): Bench {
  const each = Array.from({ length: size }, (_, k) => {
    const next = (k + 1) % size;
    return relay(`K${k}`, `break: { between: [S.L, K${next}.A1], normally: closed }`, `K${k}.A1, S.N`);
  });
  return new Bench(`${mains}relays:\n${each.join('')}`);
}

function outcome(bench: Bench, state: unknown = {}) {
  const { circuit } = bench;
  const question = { circuit, faults: [], black: node(circuit, 'S.N'), input: 'high-impedance' } as const;
  return expectPoints(question, bench.state(state)).outcome;
}

describe('a relay that holds itself in', () => {
  const lit = { kind: 'volts', value: expect.closeTo(120, 0) };

  it('is off until start is pressed, on after, and off after stop', () => {
    expect(sealIn.volts('K.14', 'S.N')).toMatchObject({ kind: 'volts', value: 0 });
    expect(sealIn.volts('K.14', 'S.N', { state: 'pressed' })).toMatchObject(lit);
    expect(sealIn.volts('K.14', 'S.N', { state: 'running' })).toMatchObject(lit);
    expect(sealIn.volts('K.14', 'S.N', { state: 'stopped' })).toMatchObject({ kind: 'volts', value: 0 });
    expect(sealIn.volts('K.14', 'S.N', { state: ['stopped', { START: 'pressed' }] })).toMatchObject(lit);
  });

  it('mentions the other way it can stand', () => {
    expect(outcome(sealIn)).toMatchObject({ kind: 'steady', others: [['K']] });
    expect(outcome(sealIn, 'running')).toMatchObject({ kind: 'steady', others: [[]] });
    expect(outcome(sealIn, 'pressed')).toMatchObject({ kind: 'steady', others: [] });
  });

  it('never holds with its hold contact open, whatever was pressed', () => {
    const faults = ['K.hold:open'];
    expect(sealIn.volts('K.14', 'S.N', { state: 'running', faults })).toMatchObject({
      kind: 'volts',
      value: 0,
    });
    expect(sealIn.volts('K.14', 'S.N', { state: 'pressed', faults })).toMatchObject(lit);
  });

  it('stays in with stop welded', () => {
    const faults = ['STOP:shorted'];
    expect(sealIn.volts('K.14', 'S.N', { state: 'stopped', faults })).toMatchObject(lit);
  });

  it.each([
    ['K:dead', 'pressed', 0],
    ['K:always-on', {}, 120],
    ['K:open', 'pressed', 0],
  ])('with %s', (fault, state, volts) => {
    const shown = sealIn.volts('K.14', 'S.N', { state, faults: [fault] });
    expect(shown).toMatchObject({ kind: 'volts', value: expect.closeTo(volts, 0) });
  });
});

describe('what never settles', () => {
  it('is a relay that opens its own coil: period 2', () => {
    expect(outcome(buzzer)).toEqual({ kind: 'chattering', cycle: [[], ['K']], settles: [] });
    expect(buzzer.volts('K.A1', 'S.N')).toEqual({ kind: 'chattering' });
  });

  it('is a ring of five: no stable state, in whatever order they move', () => {
    expect(outcome(ring(5))).toMatchObject({ kind: 'chattering', settles: [] });
  });

  it('is a race between two, where the faster one wins', () => {
    expect(outcome(ring(2))).toMatchObject({ kind: 'chattering', settles: [['K0'], ['K1']] });
  });
});

describe('a coil between its two voltages', () => {
  // 120 V pull it in; over 2 kohm its own 2 kohm have 60 V, between 40 and 85.
  const weak = new Bench(`${mains}switches:
  FULL: { positions: [off, on], rest: off, between: [S.L, K.A1], closed-in: [on] }
loads:
  R: { kind: other, between: [S.L, K.A1], resistance: 2 kohm }
  LAMP: { kind: lamp, between: [K.14, S.N], resistance: 300 ohm }
relays:
${relay('K', 'make: { between: [S.L, K.14], normally: open }', 'K.A1, S.N')}`);

  it('stays as it was', () => {
    expect(weak.volts('K.14', 'S.N')).toMatchObject({ kind: 'volts', value: expect.closeTo(0, 6) });
    const state = { after: [{ FULL: 'on' }] };
    expect(weak.volts('K.14', 'S.N', { state })).toMatchObject({
      kind: 'volts',
      value: expect.closeTo(120, 0),
    });
  });
});

describe('a coil at its limits', () => {
  const coil = (volts: number) =>
    new Bench(`loadside: circuit/1
supplies:
  S: { system: single-phase, voltage: ${volts} V, frequency: 60 Hz, tolerance: 2 %, terminals: { line: S.L, neutral: S.N } }
relays:
${relay('K', 'make: { between: [S.L, K.14], normally: open }', 'S.L, S.N')}loads:
  LAMP: { kind: lamp, between: [K.14, S.N], resistance: 300 ohm }
`);

  it.each([
    [120, true, false],
    // Within the supply's 2 % of 85 V.
    [85.5, true, true],
    [84, false, true],
    // Between drop-out and pick-up: a relay that was in would stay in.
    [60, false, true],
    [30, false, false],
  ])('%d V: in %s, marginal %s', (volts, pulledIn, marginal) => {
    expect(outcome(coil(volts))).toMatchObject({ relays: [{ name: 'K', pulledIn, marginal }] });
  });
});

describe('what happened before', () => {
  /** A relay that holds itself in behind a fuse, a load that is too much for it, and a buzzer beside. */
  const held = new Bench(`${mains}conditions:
  heat: { unit: degC, rest: 20, from: 0, to: 200 }
protectors:
  F: { kind: fuse, between: [S.L, F.2], rating: 2 A }
  TF: { kind: thermal-fuse, between: [F.2, TF.2], follows: heat, opens-above: 120 degC }
switches:
  START: { positions: [out, in], rest: out, between: [TF.2, K.A1], closed-in: [in] }
  BIG: { positions: [off, on], rest: off, between: [TF.2, BIG.2], closed-in: [on] }
  BUZZ: { positions: [off, on], rest: off, between: [S.L, BUZZ.2], closed-in: [on] }
relays:
${relay('K', 'hold: { between: [TF.2, K.A1], normally: open }', 'K.A1, S.N')}${relay('Z', 'break: { between: [BUZZ.2, Z.A1], normally: closed }', 'Z.A1, S.N')}loads:
  HEAVY: { kind: heating-element, between: [BIG.2, S.N], resistance: 10 ohm }
`);
  const latched = (...after: unknown[]) =>
    held.volts('K.A1', 'S.N', { state: { after: [{ START: 'in' }, ...after] } });

  it('holds through a state in which something else chatters', () => {
    expect(latched()).toMatchObject({ kind: 'volts', value: expect.closeTo(120, 0) });
    expect(latched({ BUZZ: 'on' })).toMatchObject({ kind: 'volts', value: expect.closeTo(120, 0) });
  });

  it('stays blown: a fuse that carried too much, a thermal fuse that was too hot', () => {
    expect(latched({ BIG: 'on' })).toMatchObject({ kind: 'volts', value: 0 });
    expect(latched({ heat: 150 })).toMatchObject({ kind: 'volts', value: 0 });
  });

  it('drops when the power goes', () => {
    expect(latched({ power: 'off' })).toMatchObject({ kind: 'volts', value: 0 });
  });
});
