import { describe, expect, test } from 'vitest';
import {
  type Circuit,
  designateFault,
  type Fault,
  faultName,
  listFaults,
  readState,
  restState,
  withSetting,
} from '../../src/circuit/circuit.js';
import { checkJob, holdThresholds, type TestabilityAnswer, testFaults } from '../../src/diagnose/diagnose.js';
import { ambiguityGroups } from '../../src/diagnose/testability/ambiguity-groups.js';
import { chooseStates } from '../../src/diagnose/testability/looked-states.js';
import { placesIn } from '../../src/diagnose/testability/places.js';
import {
  type Job,
  nominalSupplies,
  type Reading,
  TestStand,
  usualInstrument,
} from '../../src/meter/meter.js';
import { circuitOf, mains } from '../circuit/open.js';
import { exampleCircuits, oven, textOf } from '../cli/example-files.js';
import { openCircuit } from '../published/front-doors.js';

const quiet = () => {};
const tested = (circuit: Circuit) => testFaults(circuit, undefined, quiet);

/** Faults by name, in the order of the answer. */
function named(
  { faults }: TestabilityAnswer,
  of: (each: TestabilityAnswer['faults'][number]) => boolean,
): string[] {
  return faults.filter(of).map(({ fault }) => faultName(fault));
}

function groupsOf({ faults, groups }: TestabilityAnswer): string[][] {
  return groups.map((group) => group.faults.map((index) => faultName(faults[index]!.fault)));
}

/**
 * A lamp behind a switch, worked out by hand. Off: line 120 V, lamp terminal 0 V through the lamp. On: both 120 V. With a
 * leg missing nothing has volts; which leg it is shows nowhere, for the neutral is where the black lead is.
 */
const lamp = circuitOf(`${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, LAMP.1], closed-in: [on] }
loads:
  LAMP: { kind: lamp, between: [LAMP.1, MAINS.N], resistance: 240 ohm, job: lights }
`);

describe('a lamp behind a switch', () => {
  const answer = tested(lamp);
  const effect = (name: string) => answer.faults.find(({ fault }) => faultName(fault) === name)!;
  const loads = (name: string) =>
    effect(name).loads.map(({ load, state, works }) => `${load.name} ${works} in ${state}`);
  const reads = (name: string) =>
    effect(name).readings.map(({ place, states }) => [lamp.nodes[place.red]?.name, place.kind, ...states]);

  test('is looked at at rest, and in the one state in which it lights', () => {
    expect(answer.looked.states.map(({ state, works }) => [{ ...state.changes }, works?.name])).toEqual([
      [{}, undefined],
      [{ S: 'on' }, 'LAMP'],
    ]);
    expect(answer.blacks.map(({ name }) => name)).toEqual(['MAINS.N']);
    expect([answer.points, answer.across, answer.outOfReach]).toEqual([2, 1, 0]);
    expect(answer.looked.idle).toEqual([]);
  });

  test('its faults do what they do', () => {
    expect(loads('S:stuck-open')).toEqual(['LAMP false in 1']);
    expect(reads('S:stuck-open')).toEqual([
      ['LAMP.1', 'point', 1],
      ['MAINS.L', 'across', 1],
    ]);
    expect(loads('S:stuck-closed')).toEqual(['LAMP true in 0']);
    expect(reads('S:stuck-closed')).toEqual([
      ['LAMP.1', 'point', 0],
      ['MAINS.L', 'across', 0],
    ]);
    expect(loads('LAMP:dead')).toEqual(['LAMP false in 1']);
    expect(reads('LAMP:dead')).toEqual([]);
    const short = effect('LAMP:shorted');
    expect(short.outcomes.map(({ state, outcome }) => [state, outcome.kind])).toEqual([[1, 'short']]);
    expect([short.loads, short.readings]).toEqual([[], []]);
  });

  test('with the lamp open its terminal floats, which across the switch can be read as no 120 V', () => {
    expect(loads('LAMP:open')).toEqual(['LAMP false in 1']);
    expect(reads('LAMP:open')).toEqual([['MAINS.L', 'across', 0]]);
  });

  // 240 ohm behind each: 480 more leave a third of its current; the lamp itself has then 720.
  test('a missing leg is told from all else, but not which, nor is one that is bad; a dead short of the lamp is a leak', () => {
    expect(groupsOf(answer)).toEqual([
      ['MAINS.line:missing', 'MAINS.neutral:missing'],
      ['MAINS.line:high-resistance=480 ohm', 'MAINS.neutral:high-resistance=480 ohm'],
      ['LAMP:shorted', 'LAMP.1:leaks-to-earth'],
      ['LAMP:dead', 'LAMP:high-resistance=720 ohm'],
    ]);
    expect(answer.groups.map(({ onePart }) => onePart)).toEqual([true, true, true, true]);
    expect(named(answer, ({ detectable }) => !detectable)).toEqual([
      'MAINS:crossed',
      'LAMP:low-resistance=120 ohm',
    ]);
    expect(effect('MAINS:crossed').hidden).toBe('too-little');
    expect(answer.tally).toEqual({ faults: 15, detectable: 13, isolable: 13, single: 5 });
    expect(named(answer, ({ isolable, single }) => isolable && !single).sort()).toEqual(
      groupsOf(answer).flat().sort(),
    );
  });

  test('too low a voltage and a worn contact stand with a value of theirs', () => {
    expect(named(answer, ({ fault }) => fault.value !== undefined && fault.part !== 'LAMP')).toEqual([
      'MAINS:low-voltage=90 V',
      'MAINS.line:high-resistance=480 ohm',
      'MAINS.neutral:high-resistance=480 ohm',
      'S:high-resistance=480 ohm',
    ]);
    expect(loads('S:high-resistance=480 ohm')).toEqual(['LAMP false in 1']);
  });

  test('in a state that is given, only that one counts', () => {
    const off = testFaults(lamp, restState(lamp), quiet);
    expect(off.looked.states).toHaveLength(1);
    expect(off.looked.idle.map(({ name }) => name)).toEqual(['LAMP']);
    expect(named(off, ({ hidden }) => hidden === 'stands-so')).toEqual(['S:stuck-open', 'LAMP:dead']);
    expect(off.tally.detectable).toBeLessThan(answer.tally.detectable);
    const on = testFaults(lamp, withSetting(restState(lamp), 'S', 'on'), quiet);
    expect(named(on, ({ hidden }) => hidden === 'stands-so')).toEqual(['S:stuck-closed']);
  });
});

test('a wire that carries nothing is told as such', () => {
  const answer = tested(
    circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE } }
loads:
  LAMP: { kind: lamp, between: [MAINS.L, MAINS.N], resistance: 240 ohm, job: lights }
wires:
  - { from: MAINS.PE, to: CHASSIS, id: EARTH }
nodes: { CHASSIS: { access: 1 min } }
`),
  );
  expect(named(answer, ({ hidden }) => hidden === 'no-current')).toEqual([
    'MAINS.earth:missing',
    'MAINS.earth:high-resistance=390 ohm',
    'EARTH:open',
    'EARTH:high-resistance=330 ohm',
  ]);
});

test('one of two wires side by side carries current, and is not missed', () => {
  const answer = tested(
    circuitOf(`${mains}loads:
  LAMP: { kind: lamp, between: [LAMP.1, MAINS.N], resistance: 240 ohm, job: lights }
wires:
  - { from: MAINS.L, to: LAMP.1, id: W1 }
  - { from: MAINS.L, to: LAMP.1, id: W2 }
`),
  );
  const wires = answer.faults.filter(({ fault }) => /^W\d$/.test(fault.part) && fault.mode === 'open');
  expect(wires.map(({ hidden }) => hidden)).toEqual(['too-little', 'too-little']);
});

test('beside another path, and where nothing flows, a bad connection stands with the middle of its range', () => {
  const answer = tested(
    circuitOf(`${mains}loads:
  LAMP: { kind: lamp, between: [LAMP.1, MAINS.N], resistance: 240 ohm, job: lights }
wires:
  - { from: MAINS.L, to: LAMP.1, id: W1 }
  - { from: MAINS.L, to: LAMP.1, id: W2 }
  - { from: LAMP.1, to: spare, id: W3 }
nodes: { spare: { access: 1 min } }
`),
  );
  // From 0.11 ohm to 1 Mohm.
  const wires = named(answer, ({ fault }) => /^W/.test(fault.part) && fault.mode === 'high-resistance');
  expect(wires).toEqual([1, 2, 3].map((wire) => `W${wire}:high-resistance=330 ohm`));
});

test('a sensor drifts from what it has at rest, and a leak is a dead one', () => {
  const answer = tested(
    circuitOf(`${mains}conditions: { heat: { unit: degC, rest: 25, from: 0, to: 100 } }
passives:
  R: { kind: resistor, between: [MAINS.L, s], resistance: 10 kohm }
  RT: { kind: thermistor, between: [s, MAINS.N], follows: heat, curve: { resistance: 10 kohm, at: 25 degC, beta: 3950 } }
wires:
  - { from: s, to: t, id: W }
nodes: { t: { access: 1 min } }
`),
  );
  // 20 kohm in all: a third of the current takes 60.
  expect(named(answer, ({ fault }) => fault.part === 'RT' && fault.value !== undefined)).toEqual([
    'RT:high-resistance=50000 ohm',
    'RT:low-resistance=5000 ohm',
  ]);
  const leaks = named(answer, ({ fault }) => fault.mode === 'leaks-to-earth');
  expect(leaks).toEqual(['W:leaks-to-earth']);
});

test('of further test points that help alike the first in the file is named', () => {
  const answer = tested(
    circuitOf(`${mains}loads:
  LAMP: { kind: lamp, between: [LAMP.1, MAINS.N], resistance: 240 ohm, job: lights }
wires:
  - { from: MAINS.L, to: x, id: W1 }
  - { from: x, to: y, id: W2 }
  - { from: y, to: LAMP.1, id: W3 }
nodes: { x: { reachable: false }, y: { reachable: false } }
`),
  );
  expect(groupsOf(answer)).toContainEqual(['W1:open', 'W2:open', 'W3:open']);
  expect(answer.extraPoint?.node.name).toBe('x');
  expect(answer.extraPoint?.tally.isolable).toBe(answer.tally.isolable + 2);
});

test('a contact that must open is looked at where its not opening makes something work', () => {
  const answer = tested(
    circuitOf(`${mains}conditions:
  door: { values: [closed, open], rest: closed }
switches:
  S: { positions: [off, on], between: [MAINS.L, S.2], closed-in: [on] }
  D: { follows: door, between: [S.2, M.1], closed-in: [closed] }
loads:
  M: { kind: lamp, between: [M.1, MAINS.N], resistance: 240 ohm, job: turns }
states: { run: { S: on } }
`),
  );
  expect(
    answer.looked.states.map(({ state, shows }) => [{ ...state.changes }, shows && faultName(shows)]),
  ).toEqual([
    [{}, undefined],
    [{ S: 'on' }, undefined],
    [{ S: 'on', door: 'open' }, 'D:stuck-closed'],
  ]);
  expect(answer.faults.find(({ fault }) => faultName(fault) === 'D:stuck-closed')).toMatchObject({
    isolable: true,
    loads: [{ state: 2, works: true }],
  });
});

test('parts that nothing joins to the mains are read against a lead of their own', () => {
  const answer = tested(
    circuitOf(`${mains}transformers:
  T: { primary: [MAINS.L, MAINS.N], secondaries: [[T.3, T.4]], voltages: [120 V, 24 V], rating: 20 VA }
loads:
  LAMP: { kind: lamp, between: [LAMP.1, T.4], resistance: 60 ohm, job: lights, works: { at-least: 15 V } }
wires:
  - { from: T.3, to: LAMP.1, id: W }
`),
  );
  expect(answer.blacks.map(({ name }) => name)).toEqual(['MAINS.N', 'T.4']);
  const wire = answer.faults.find(({ fault }) => faultName(fault) === 'W:open')!;
  expect(wire).toMatchObject({ detectable: true, isolable: true });
});

/**
 * The resistive ladder of which tests/published gives the figures with R4 sound: readings at a and b alone, then at c
 * too. The exact directions in which parts move the readings, dVa/dVb, were computed: R1 and R2 1.48696, R4, R5 and R6
 * 0.3125, whatever the size of the change.
 */
const ladderText = `loadside: circuit/1
title: Resistive ladder
supplies:
  S: { system: single-phase, voltage: 120 V, frequency: 60 Hz, impedance: 0.001 mohm, terminals: { line: L, neutral: N } }
passives:
  R1: { kind: resistor, between: [L, a], resistance: 10 ohm, tolerance: 0.1 % }
  R2: { kind: resistor, between: [a, N], resistance: 100 ohm, tolerance: 0.1 % }
  R3: { kind: resistor, between: [a, b], resistance: 20 ohm, tolerance: 0.1 % }
  R4: { kind: resistor, between: [b, N], resistance: 50 ohm, tolerance: 0.1 % }
  R5: { kind: resistor, between: [b, c], resistance: 30 ohm, tolerance: 0.1 % }
  R6: { kind: resistor, between: [c, N], resistance: 200 ohm, tolerance: 0.1 % }
`;

describe('the resistive ladder', () => {
  const ladder = circuitOf(ladderText);
  const hiddenC = circuitOf(`${ladderText}nodes: { c: { reachable: false } }\n`);
  const stand = new TestStand(ladder, nominalSupplies(ladder));
  const voltsAt = (fault: string | undefined) => (node: string) => {
    const faults = listFaults(ladder).filter((each) => faultName(each) === fault);
    expect(faults).toHaveLength(fault === undefined ? 0 : 1);
    const [red, black] = [node, 'N'].map((name) => ladder.nodeByName.get(name)!);
    const where = { kind: 'between', red: red!, black: black! } as const;
    const expected = stand.expect(restState(ladder), { where, unit: 'V', meter: usualInstrument }, faults);
    return expected.kind === 'driven' ? expected.nominal : Number.NaN;
  };

  // Exact rationals, by hand: 205200/2161, 138000/2161, 120000/2161; 75, 0, 0; 2000/19, 1840/19, 1600/19.
  test.each([
    [undefined, 94.956039, 63.859324, 55.529847],
    ['R4:shorted', 75, 0, 0],
    ['R4:open', 105.263158, 96.842105, 84.210526],
  ])('reads what it should with %s', (fault, a, b, c) => {
    for (const [node, volts] of [
      ['a', a],
      ['b', b],
      ['c', c],
    ] as const)
      expect(voltsAt(fault)(node)).toBeCloseTo(volts, 2);
  });

  test.each([
    ['R1:shorted', 1.48696],
    ['R1:open', 1.48696],
    ['R2:open', 1.48696],
    ['R2:shorted', 1.48696],
    ['R4:open', 0.3125],
    ['R4:shorted', 0.3125],
    ['R5:open', 0.3125],
    ['R6:open', 0.3125],
    ['R6:shorted', 0.3125],
  ])('%s moves a and b in the direction of its part', (fault, slope) => {
    const [sound, broken] = [voltsAt(undefined), voltsAt(fault)];
    const [dA, dB] = [broken('a') - sound('a'), broken('b') - sound('b')];
    expect(dA / dB).toBeCloseTo(slope, 3);
  });

  // 47.9 ohm behind each leg: twice that leaves a third of the current.
  const ofSupply = [
    ['S.line:missing', 'S.neutral:missing'],
    ['S.line:high-resistance=96 ohm', 'S.neutral:high-resistance=96 ohm'],
  ];

  test('at a and b only parts of one direction are taken for one another; c would part those behind it', () => {
    const answer = tested(hiddenC);
    // Of the exact values: R5 of 530 and R6 of 700 ohm are 730 ohm in series with each other's sound one; open is more.
    expect(groupsOf(answer)).toEqual([
      ...ofSupply,
      ['R1:open', 'R2:shorted'],
      ['R5:open', 'R5:high-resistance=530 ohm', 'R6:open', 'R6:high-resistance=700 ohm'],
      ['R6:low-resistance=100 ohm'],
    ]);
    expect(answer.extraPoint?.node.name).toBe('c');
    const with_c = tested(ladder);
    expect(with_c.tally).toEqual(answer.extraPoint?.tally);
    expect(groupsOf(with_c)).toEqual([...ofSupply, ['R1:open', 'R2:shorted']]);
    expect(with_c.extraPoint).toBeUndefined();
  });

  test('a fault that moves readings by less than the bands leave to see does not show', () => {
    const sound = voltsAt(undefined);
    const shorted = voltsAt('R5:shorted');
    // 0.7 V at b: well beyond the last digit, well inside 1 % of the supply and 1 % of the meter.
    expect(sound('b') - shorted('b')).toBeGreaterThan(0.6);
    const answer = tested(hiddenC);
    expect(named(answer, ({ detectable }) => !detectable)).toEqual([
      'S:crossed',
      'R5:shorted',
      'R5:low-resistance=15 ohm',
    ]);
    expect(named(tested(ladder), ({ detectable }) => !detectable)).toEqual(['S:crossed']);
  });
});

describe('where tolerances are wide, bands overlap that nominal values would tell apart', () => {
  // Sound 60.0 V; with R2 shorted 55.1 V. Supply and meter leave some 1.6 V to each side of either, tolerances of 5 % 3 V more.
  const divider = (tolerance: string) =>
    circuitOf(`${mains}passives:
  R1: { kind: resistor, between: [MAINS.L, m], resistance: 1000 ohm, tolerance: ${tolerance} }
  R2: { kind: resistor, between: [m, n], resistance: 150 ohm, tolerance: ${tolerance} }
  R3: { kind: resistor, between: [n, MAINS.N], resistance: 850 ohm, tolerance: ${tolerance} }
nodes: { n: { reachable: false } }
`);

  test.each([
    ['0.1 %', true],
    ['5 %', false],
  ])('%s: 4.9 V show: %s', (tolerance, detectable) => {
    const answer = tested(divider(tolerance));
    const shorted = answer.faults.find(({ fault }) => faultName(fault) === 'R2:shorted')!;
    expect(shorted.detectable).toBe(detectable);
  });
});

describe('two readings whose bands only just overlap are not told apart', () => {
  // 120.0 V with R1 shorted is shown as 117.0 to 123.0 V. Sound, 114.8 V: up to 117.7 V; 112.1 V: up to 115.0 V.
  const behind = (ohms: number) =>
    circuitOf(`${mains}passives:
  R1: { kind: resistor, between: [MAINS.L, m], resistance: ${ohms} ohm, tolerance: 0.1 % }
  R2: { kind: resistor, between: [m, MAINS.N], resistance: 1000 ohm, tolerance: 0.1 % }
nodes: { MAINS.L: { reachable: false } }
`);

  test.each([
    [45, false],
    [70, true],
  ])('%i ohm shorted shows: %s', (ohms, detectable) => {
    const shorted = tested(behind(ohms)).faults.find(({ fault }) => faultName(fault) === 'R1:shorted')!;
    expect(shorted.detectable).toBe(detectable);
  });
});

describe('groups', () => {
  const faults = ['A', 'B', 'C', 'D', 'A'].map((part) => ({ part, mode: 'open', changes: [] }) as const);
  const standing = (alike: readonly (readonly [number, number])[]) => ({
    alike,
    detectable: faults.map((_, index) => !alike.some(([a, b]) => a < 0 && b === index)),
    isolable: faults.map(() => false),
    single: faults.map(() => false),
  });

  test.each([
    ['nothing is alike', [], []],
    [
      'a chain is one group',
      [
        [0, 1],
        [1, 2],
      ],
      [{ faults: [0, 1, 2], hidden: [], onePart: false }],
    ],
    ['two faults of one part', [[0, 4]], [{ faults: [0, 4], hidden: [], onePart: true }]],
    [
      'one that shows nowhere joins no two groups',
      [
        [-1, 1],
        [0, 1],
        [1, 2],
      ],
      [
        { faults: [0], hidden: [1], onePart: false },
        { faults: [2], hidden: [1], onePart: false },
      ],
    ],
    [
      'those that show nowhere are no group',
      [
        [-1, 1],
        [-1, 2],
        [1, 2],
      ],
      [],
    ],
  ] as const)('%s', (_, alike, groups) => {
    expect(ambiguityGroups(faults, standing(alike))).toEqual(groups);
  });
});

describe('thresholds', () => {
  const tally = { faults: 145, detectable: 141, isolable: 122, single: 120 };
  test.each([
    [97.2, 141, true],
    [97.25, 142, false],
    [98, 143, false],
    [100, 145, false],
    [0, 0, true],
  ])('%s %% of 145 are %s', (percent, needed, holds) => {
    expect(holdThresholds(tally, { detectable: percent })).toEqual([
      { of: 'detectable', percent, found: 141, needed, holds },
    ]);
  });

  test('a share that comes out whole is not rounded up beyond it', () => {
    for (const faults of [10, 70, 1000, 3000]) {
      for (let part = 0; part <= faults; part += 1) {
        const percent = Number(((100 * part) / faults).toFixed(6));
        if ((percent * faults) / 100 - part > 1e-9 || part - (percent * faults) / 100 > 1e-9) continue;
        const [held] = holdThresholds(
          { faults, detectable: 0, isolable: part, single: 0 },
          { isolable: percent },
        );
        expect([faults, part, held?.needed, held?.holds]).toEqual([faults, part, part, true]);
      }
    }
  });

  test('none was asked for', () => {
    expect(holdThresholds(tally, {})).toEqual([]);
  });
});

describe.each(exampleCircuits)('%s', (_, __, text) => {
  const circuit = openCircuit(text);

  test('no place is hazardous or inside a supply, and at most one lead stands out of reach', () => {
    const { places, blacks } = placesIn(circuit);
    for (const { red, black, needs } of places) {
      const ends = [circuit.nodes[red]!, circuit.nodes[black]!];
      expect(ends.map(({ hazard, name }) => [hazard, name.endsWith('(zero)')])).toEqual([
        [undefined, false],
        [undefined, false],
      ]);
      expect(ends.filter(({ reachable }) => !reachable).map(({ index }) => index)).toEqual(
        needs === undefined ? [] : [needs],
      );
    }
    expect(new Set(places.map(({ red, black }) => [red, black].sort().join())).size).toBe(places.length);
    expect(blacks.every((index) => circuit.nodes[index]?.reachable)).toBe(true);
    expect(blacks.every((index) => circuit.nodes[index]?.hazard === undefined)).toBe(true);
  });

  test('every load works in some state', () => {
    const stand = new TestStand(circuit, nominalSupplies(circuit));
    expect(chooseStates(stand).idle).toEqual([]);
  });
});

describe('the wall oven', () => {
  const circuit = openCircuit(textOf(oven));
  const answer = tested(circuit);

  test('every fault is told, and the counts are of them', () => {
    const { tally, faults, groups } = answer;
    const told = faults.map(({ fault }) => fault);
    const definite = told.filter(({ value }) => value === undefined);
    expect(new Set(definite)).toEqual(new Set(listFaults(circuit)));
    expect(definite).toHaveLength(listFaults(circuit).length);
    const numberOf = (key: 'detectable' | 'isolable' | 'single') => faults.filter((each) => each[key]).length;
    expect(tally).toEqual({
      faults: faults.length,
      detectable: numberOf('detectable'),
      isolable: numberOf('isolable'),
      single: numberOf('single'),
    });
    for (const each of faults) {
      const shows = each.loads.length + each.outcomes.length + each.readings.length > 0;
      expect([faultName(each.fault), each.detectable, each.hidden === undefined]).toEqual([
        faultName(each.fault),
        shows,
        shows,
      ]);
      if (each.single) expect(each.isolable).toBe(true);
      if (each.isolable) expect(each.detectable).toBe(true);
    }
    const grouped = groups.flatMap((group) => group.faults);
    expect(new Set(grouped).size).toBe(grouped.length);
    for (const index of grouped) expect(faults[index]?.single).toBe(false);
  });

  test('every mode of every part is told once, and the command line takes it as it is named', () => {
    const told = answer.faults.map(({ fault }) => fault);
    const key = ({ part, mode, at, with: other }: Omit<Fault, 'changes'>) =>
      [part, mode, at, other].join(' ');
    expect(new Set(told.map(key)).size).toBe(told.length);
    const variable = [...circuit.parts.values()].flatMap(({ variableFaults = [] }) => variableFaults);
    expect(variable.length).toBeGreaterThan(20);
    for (const each of variable)
      expect(told.map(key)).toContain(
        key({ part: each.part, mode: each.mode, ...(each.at === undefined ? {} : { at: each.at }) }),
      );
    for (const fault of told) {
      const found = designateFault(circuit, faultName(fault));
      expect([faultName(fault), found.ok && found.fault.changes]).toEqual([faultName(fault), fault.changes]);
    }
  });

  test('nothing hazardous or out of reach is read', () => {
    for (const { readings } of answer.faults) {
      for (const { place } of readings) {
        for (const index of [place.red, place.black]) {
          const { reachable, hazard } = circuit.nodes[index]!;
          expect([reachable, hazard]).toEqual([true, undefined]);
        }
      }
    }
  });

  test('with everything read that counts here, check is left with the part that is broken', () => {
    const stand = new TestStand(circuit, nominalSupplies(circuit));
    const steady = answer.faults.filter(({ outcomes }) => outcomes.length === 0);
    // What opens a protector is told from what does not by fitting another one: no reading of a job says so.
    const opens = new Set(
      answer.faults.filter(({ outcomes }) => outcomes.length > 0).map(({ fault }) => fault),
    );
    const isolable = steady.filter((each) => each.isolable);
    for (const { fault } of isolable.filter((_, index) => index % 60 === 3)) {
      const job = everythingRead(circuit, answer, stand, fault);
      const { suspects } = checkJob(circuit, job);
      const others = suspects
        .flatMap(({ faults }) => faults)
        .filter((each) => !opens.has(each) && each.part !== fault.part && each.with !== fault.part);
      expect([faultName(fault), others.map(faultName)]).toEqual([faultName(fault), []]);
      expect(suspects.flatMap(({ faults }) => faults).map(({ part }) => part)).toContain(fault.part);
    }
  });
});

function everythingRead(
  circuit: Circuit,
  { looked, blacks, faults }: TestabilityAnswer,
  stand: TestStand,
  fault: TestabilityAnswer['faults'][number]['fault'],
): Job {
  const places = new Map(
    faults.flatMap(({ readings }) =>
      readings.map(({ place }) => [`${place.red} ${place.black}`, place] as const),
    ),
  );
  expect(blacks.length).toBeGreaterThan(0);
  const readings: Reading[] = [];
  for (const { state } of looked.states) {
    for (const { red, black } of places.values()) {
      const where = { kind: 'between', red, black } as const;
      const expected = stand.expect(state, { where, unit: 'V', meter: usualInstrument }, [fault]);
      if (expected.kind !== 'driven') continue;
      const shown = { kind: 'value', value: expected.nominal, unit: 'V' } as const;
      readings.push({ index: readings.length + 1, state, where, shown, meter: usualInstrument });
    }
  }
  const symptoms = looked.states.flatMap(({ state }) =>
    [...circuit.loads.values()].flatMap((load) => {
      const symptom = { index: 1, state, load, works: true };
      const sight = stand.look(state, [fault]);
      const works = sight.kind === 'steady' ? stand.worksIn(sight.view, symptom) : 'marginal';
      return works === 'marginal' ? [] : { ...symptom, works: works === 'yes' };
    }),
  );
  const supply = new Map([...circuit.supplies.values()].map(({ name, stated }) => [name, stated]));
  return { meter: usualInstrument, supply, symptoms, readings, trips: [] };
}

test('a state in which nothing holds still is left out, and with none left nothing is said', () => {
  const circuit = circuitOf(`${mains}switches:
  S: { positions: [off, on], between: [MAINS.L, MAINS.N], closed-in: [on] }
loads:
  LAMP: { kind: lamp, between: [MAINS.L, MAINS.N], resistance: 240 ohm, job: lights }
states: { shorted: { S: on } }
`);
  expect(tested(circuit).looked.leftOut.map(({ name }) => name)).toEqual(['shorted']);
  const { state } = readState(circuit, 'shorted', circuit.document, []);
  const none = testFaults(circuit, state, quiet);
  expect([none.looked.states, none.tally.detectable, none.groups]).toEqual([[], 0, []]);
  expect(none.faults.every(({ hidden }) => hidden === undefined)).toBe(true);
});
