/**
 * Published circuits with their printed figures, each written as a circuit file of ours and solved: volts with
 * their angles, amps with sign and angle, power. Sources stand in numeric.yaml, one beside each case, and in the
 * titles below.
 */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Circuit, designateFault, restState } from '../../src/circuit/circuit.js';
import { nominalSupplies, TestStand, usualInstrument } from '../../src/meter/meter.js';
import { branchFigures, type Complex, type View } from '../../src/solve/solve.js';
import { node, openCircuit, openState, phasorVolts, published, steadyView, titleOf } from './front-doors.js';
import {
  type NumericCase,
  type NumericCircuit,
  type NumericFigure,
  numericCircuit,
} from './numeric-circuit.js';
import { nodeName } from './supplies-text.js';

const cases = published<NumericCase>(readFileSync(new URL('numeric.yaml', import.meta.url), 'utf8'), 'cases');

/** Checked below without a circuit of its own: the source has none. */
const leftOut: Readonly<Record<string, string>> = {
  N55: 'arithmetic of an ideal transformer, no circuit',
};

/** Figures of the cases that are checked which the source gets by arithmetic outside the circuit. */
const arithmetic = [
  'N35 hot wire resistance',
  'N35 load voltage at 20 degrees C',
  'N36 conductor area',
  'N36 2300 ft of 14 AWG',
  'N46 capacitance',
  'N50 unknown resistance',
  'N50 largest measurable',
  'N54 capacitor reactive power',
  'N54 uncorrected apparent power',
  'N54 uncorrected reactive power',
];

/** Figures asked of the same circuit in another state, at the end of this file. */
const otherStates = ['N38 total resistance', 'N41 reading without loading', 'N42 current without the meter'];

const checked = cases.filter(({ id }) => !Object.hasOwn(leftOut, id));

it('checks every published case but those listed, and every figure but arithmetic', () => {
  expect(cases).toHaveLength(45);
  const ids = cases.map(({ id }) => id);
  expect(ids.filter((id) => Object.hasOwn(leftOut, id))).toEqual(Object.keys(leftOut));
  const without = checked.flatMap(({ id, expected }) =>
    expected.filter((figure) => figure.how !== undefined).map((figure) => `${id} ${figure.quantity}`),
  );
  expect(without.sort()).toEqual([...arithmetic, ...otherStates].sort());
});

describe.each(checked.map((each) => [titleOf(each), each] as const))('%s', (_, each) => {
  const written = numericCircuit(each);
  let circuit: Circuit;
  let view: View;
  beforeAll(() => {
    circuit = openCircuit(written.text);
    view = steadyView(circuit);
  });
  const figures = each.expected.filter((figure) => figure.how === undefined);

  it.each(figures.map((figure) => [nameOf(figure), figure] as const))('%s', (_name, figure) => {
    const found = measure(view, circuit, written, figure);
    expectAmount(amountOf(found, figure, written.hertz), figure.value, figure, each.tolerance_rel);
    // Six figures are printed; ideal parts of ours have a micro-ohm.
    expectAmount(amountOf(found, figure, written.hertz), figure.computed, figure, 2e-5);
    if (figure.angle_deg !== undefined) {
      expect(Math.abs(apart(degreesOf(found), figure.angle_deg))).toBeLessThan(0.1);
      expect(Math.abs(apart(degreesOf(found), figure.computed_angle_deg!))).toBeLessThan(0.002);
    }
  });
});

function nameOf({ quantity, nodes, element }: NumericFigure): string {
  return `${quantity} ${element ?? nodes!.join('-')}`;
}

function measure(view: View, circuit: Circuit, written: NumericCircuit, figure: NumericFigure): Complex {
  const { quantity, nodes, element } = figure;
  if (quantity === 'voltage') {
    const [a, b] = nodes!;
    return phasorVolts(view, node(circuit, nodeName(a)), node(circuit, nodeName(b)));
  }
  const amps = ampsThrough(view, circuit, branchName(written, element!), written.hertz);
  if (quantity === 'current') return amps;
  const power = delivered(view, circuit, branchName(written, element!), amps);
  switch (quantity) {
    case 'real power':
      return { re: power.re, im: 0 };
    case 'reactive power':
      return { re: power.im, im: 0 };
    case 'power factor':
      return { re: power.re / Math.hypot(power.re, power.im), im: 0 };
    default:
      throw new Error(`nothing here measures ${quantity}`);
  }
}

function branchName({ legs }: NumericCircuit, element: string): string {
  const leg = legs.get(element);
  return leg === undefined ? element : `${leg.supply}.${leg.leg}`;
}

/**
 * Amps from a branch's first node to its second, from the volts across it and its own impedance; of a source leg,
 * out of its terminal. The solver's own figure must be as large.
 */
function ampsThrough(view: View, circuit: Circuit, name: string, hertz: number): Complex {
  const branch = circuit.branches.find((each) => each.name === name)!;
  const { ohms, farads } = branch.impedance;
  const capacitive = farads === undefined ? 0 : 1 / (2 * Math.PI * hertz * farads);
  const reactanceOhms = branch.impedance.reactanceOhms - capacitive;
  const drop = view.volts(0, branch.from, branch.to);
  const angle = ((branch.emf?.degrees ?? 0) * Math.PI) / 180;
  const emf = branch.emf?.volts ?? 0;
  const re = drop.re + emf * Math.cos(angle);
  const im = drop.im + emf * Math.sin(angle);
  const square = ohms ** 2 + reactanceOhms ** 2;
  const amps = {
    re: (re * ohms + im * reactanceOhms) / square,
    im: (im * ohms - re * reactanceOhms) / square,
  };
  expect(branchFigures(view, branch.index).amps).toBeCloseTo(Math.hypot(amps.re, amps.im), 6);
  return amps;
}

/** S = V conj(I), at the terminals of a source. */
function delivered(view: View, circuit: Circuit, name: string, amps: Complex): Complex {
  const branch = circuit.branches.find((each) => each.name === name)!;
  const supply = circuit.supplies.get(branch.part)!;
  const zero = supply.legs.find((leg) => !leg.live)!;
  const volts = view.volts(0, branch.to, zero.node);
  return {
    re: volts.re * amps.re + volts.im * amps.im,
    im: volts.im * amps.re - volts.re * amps.im,
  };
}

/** DC keeps its sign; AC is a magnitude, but where a figure is negative: that is RMS in phase with the supply. */
function amountOf({ re, im }: Complex, figure: NumericFigure, hertz: number): number {
  const signed = hertz === 0 || figure.value < 0 || figure.quantity.includes('power');
  return signed ? re : Math.hypot(re, im);
}

function expectAmount(found: number, wanted: number, { tol_abs }: NumericFigure, relative: number): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(tol_abs ?? relative * Math.abs(wanted));
}

function degreesOf({ re, im }: Complex): number {
  return (Math.atan2(im, re) * 180) / Math.PI;
}

/** Degrees from b to a, within -180 to 180. */
function apart(a: number, b: number): number {
  return ((((a - b + 180) % 360) + 360) % 360) - 180;
}

/** N55 names no circuit: one of ours with hardly any loss and hardly any magnetising current, at full load. */
describe(titleOf(cases.find(({ id }) => id === 'N55')!), () => {
  const { expected } = cases.find(({ id }) => id === 'N55')!;
  const figure = (quantity: string) => expected.find((each) => each.quantity === quantity)!.value;
  const circuit = openCircuit(`loadside: circuit/1
supplies:
  S: { system: single-phase, voltage: 2500 V, frequency: 50 Hz, tolerance: 0 %, impedance: 1e-3 ohm, terminals: { line: S.L, neutral: S.N } }
transformers:
  T: { primary: [S.L, S.N], secondary: [T.3, T.4], voltages: [2500 V, 250 V], resistances: [1e-3 ohm, 1e-5 ohm], magnetising: 1e9 ohm }
loads:
  LOAD: { kind: other, between: [T.3, T.4], resistance: ${figure('minimum load resistance')} ohm, tolerance: 0 % }
`);
  const amps = (name: string) => {
    const branch = circuit.branches.find((each) => each.name === name)!;
    return branchFigures(steadyView(circuit), branch.index).amps!;
  };

  it('secondary current', () => {
    expect(amps('LOAD')).toBeCloseTo(figure('secondary current'), 3);
  });

  it('primary current', () => {
    expect(amps('T.primary')).toBeCloseTo(figure('primary current'), 3);
    expect(amps('S.line')).toBeCloseTo(figure('primary current'), 3);
  });
});

describe('the same circuits in another state', () => {
  const open = (id: string) => {
    const each = cases.find((candidate) => candidate.id === id)!;
    const circuit = openCircuit(numericCircuit(each).text);
    const at = (name: string) => node(circuit, nodeName(name));
    const figure = (quantity: string) => each.expected.find((candidate) => candidate.quantity === quantity)!;
    return { circuit, at, figure };
  };

  it('N38 reads the total resistance with the power off [Lessons in Electric Circuits (T. Kuphaldt)]', () => {
    const { circuit, at, figure } = open('N38');
    const where = { kind: 'between', red: at('1'), black: at('0') } as const;
    const stand = new TestStand(circuit, nominalSupplies(circuit));
    const off = openState(circuit, { power: 'off' });
    const expected = stand.expect(off, { where, unit: 'ohm', meter: usualInstrument }, []);
    expect(expected).toMatchObject({ kind: 'driven', unit: 'ohm' });
    const { nominal } = expected as { nominal: number };
    expectAmount(nominal, figure('total resistance').computed, figure('total resistance'), 2e-5);
  });

  it('N41 has its unloaded volts with the meter taken out [Electrical measurements textbook, example 3.14]', () => {
    const { circuit, at, figure } = open('N41');
    const view = steadyView(circuit, openState(circuit, { removed: ['METER'] }));
    const volts = phasorVolts(view, at('2'), at('0')).re;
    expectAmount(volts, figure('reading without loading').computed, figure('reading without loading'), 2e-5);
  });

  it('N42 has its full current with the ammeter shorted [Electrical principles textbook, example 10.4]', () => {
    const { circuit, figure } = open('N42');
    const shorted = designateFault(circuit, 'METER:shorted');
    if (!shorted.ok) throw new Error('no such fault');
    const view = steadyView(circuit, restState(circuit), [shorted.fault]);
    const load = circuit.branches.find((branch) => branch.name === 'LOAD')!;
    const { amps } = branchFigures(view, load.index);
    expectAmount(
      amps!,
      figure('current without the meter').computed,
      figure('current without the meter'),
      2e-5,
    );
  });
});
