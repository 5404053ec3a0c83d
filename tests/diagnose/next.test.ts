import { describe, expect, test } from 'vitest';
import { type Circuit, designateFault, type Fault } from '../../src/circuit/circuit.js';
import { checkJob, type NextAnswer, type Proposal, proposeNext } from '../../src/diagnose/diagnose.js';
import { nominalSupplies, TestStand } from '../../src/meter/meter.js';
import { circuitOf, mains } from '../circuit/open.js';
import { ovenText } from '../cli/example-files.js';
import { jobFrom } from '../meter/open.js';

const next = async (circuit: Circuit, body: string, skip: readonly string[] = []): Promise<NextAnswer> => {
  const { job, told } = await jobFrom(circuit, body);
  expect(told).toEqual([]);
  const nodes = new Set(skip.map((name) => circuit.nodeByName.get(name)!));
  return proposeNext(circuit, job, checkJob(circuit, job), { skip: nodes });
};

function placeOf(circuit: Circuit, { probe: { where } }: Proposal): string {
  if (where.kind === 'around') return circuit.branches[where.branch]!.name;
  return `${circuit.nodes[where.red]!.name} ${circuit.nodes[where.black]!.name}`;
}

function faultOf(circuit: Circuit, name: string): Fault {
  const read = designateFault(circuit, name);
  if (!read.ok) throw new Error(name);
  return read.fault;
}

/** A proposal as a line of a readings file, with what the circuit with this fault shows there. */
function takenWith(circuit: Circuit, fault: Fault, { state, probe }: Proposal): string {
  const expected = new TestStand(circuit, nominalSupplies(circuit)).expect(state, probe, [fault]);
  const [at, where] = [JSON.stringify(state.changes), probe.where];
  if (where.kind === 'around') throw new Error('leads were expected');
  const leads = `red: ${circuit.nodes[where.red]!.name}, black: ${circuit.nodes[where.black]!.name}`;
  if (expected.kind === 'floating' && expected.unit === 'ohm')
    return `  - { in: ${at}, ${leads}, reads: OL }\n`;
  const value = expected.kind === 'driven' ? expected.nominal : 0;
  return `  - { in: ${at}, ${leads}, reads: ${value.toFixed(1)} ${probe.unit}, input: ${probe.meter.input} }\n`;
}

const lampsText = `${mains}loads:
${places(8)
  .map(
    (place) =>
      `  LAMP${place}: { kind: lamp, between: [${nodeAt(place - 1)}, ${nodeAt(place)}], rated: { voltage: 15 V, power: 5 W } }`,
  )
  .join('\n')}
`;
const lamps = circuitOf(lampsText);

function places(count: number): number[] {
  return Array.from({ length: count }, (_, index) => index + 1);
}

function nodeAt(place: number): string {
  if (place === 0) return 'MAINS.L';
  return place === 8 ? 'MAINS.N' : `P${place}`;
}

const dark = `symptoms:
${places(8)
  .map((place) => `  - { in: {}, load: LAMP${place}, works: no }`)
  .join('\n')}
readings:
  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 120.0 V }
`;

// Half-split, a rule of the trade: one bit a reading, three readings for eight equal parts.
describe('eight lamps in series, one of them open', () => {
  test('the first reading is in the middle, and gives one bit', async () => {
    const { proposals, missing } = await next(lamps, dark);
    expect(missing).toBeCloseTo(3, 6);
    const [best] = proposals;
    expect(placeOf(lamps, best!)).toBe('P4 MAINS.N');
    // A little belief is kept for what nobody modelled, and that may read either way.
    expect(best!.bits).toBeGreaterThan(0.97);
    expect(best!.bits).toBeLessThanOrEqual(1);
    expect(best!.outcomes.map(({ left }) => left.map(({ parts }) => parts[0]).sort())).toEqual([
      ['LAMP1', 'LAMP2', 'LAMP3', 'LAMP4'],
      ['LAMP5', 'LAMP6', 'LAMP7', 'LAMP8'],
    ]);
  });

  test.each(places(8))('three readings of one bit each find lamp %i', async (place) => {
    const fault = faultOf(lamps, `LAMP${place}:open`);
    let body = dark;
    for (let reading = 0; reading < 3; reading += 1) {
      const { proposals } = await next(lamps, body);
      expect(proposals[0]!.bits).toBeGreaterThan(0.94);
      body += takenWith(lamps, fault, proposals[0]!);
    }
    const { reason, check } = await next(lamps, body);
    expect([reason, check.suspects.map(({ faults }) => faults[0]!.part)]).toEqual([
      'bounded',
      [`LAMP${place}`],
    ]);
  });

  // The weights and the places: computed, as Shannon's entropy (tests/diagnose/information.test.ts has all of them).
  test('the half is one of probability, not of count', async () => {
    const weights = [0.4, 0.1, 0.1, 0.1, 0.1, 0.1, 0.05, 0.05];
    const priors = weights.map((weight, index) => `  LAMP${index + 1}: { open: ${weight} }\n`).join('');
    const uneven = circuitOf(`${lampsText}priors:\n${priors}`);
    const { proposals, missing } = await next(uneven, dark);
    expect(missing).toBeCloseTo(2.6219, 1);
    expect(placeOf(uneven, proposals[0]!)).toBe('P2 MAINS.N');
    expect(proposals[0]!.bits).toBeGreaterThan(0.97);
  });

  test('a place out of reach is left alone', async () => {
    const { proposals } = await next(lamps, dark, ['P4']);
    for (const each of proposals) expect(placeOf(lamps, each)).not.toMatch(/\bP4\b/);
    expect(['P3 MAINS.N', 'P5 MAINS.N', 'MAINS.L P3', 'MAINS.L P5']).toContain(placeOf(lamps, proposals[0]!));
  });
});

const kettle = (nodes: string) =>
  circuitOf(`${mains}switches:
  SW: { positions: [off, on], between: [SW.1, SW.2], closed-in: [on] }
protectors:
  TF: { kind: thermal-fuse, between: [TF.1, TF.2] }
loads:
  HEAT: { kind: heating-element, between: [HEAT.1, HEAT.2], rated: { voltage: 120 V, power: 1200 W }, job: water gets hot }
  LAMP: { kind: lamp, between: [SW.2, HEAT.2], rated: { voltage: 120 V, power: 1 W }, job: lamp lights }
wires:
  - { from: MAINS.L, to: SW.1, id: W1 }
  - { from: SW.2, to: TF.1, id: W2 }
  - { from: TF.2, to: HEAT.1, id: W3 }
  - { from: HEAT.2, to: MAINS.N, id: W4 }
states: { on: { SW: on } }
${nodes}`);

const cold = `symptoms:
  - { in: on, load: HEAT, works: no }
  - { in: on, load: LAMP, works: yes }
`;

describe('a complaint alone', () => {
  test('begins across the load of interest, where that is as easy to get at', async () => {
    const circuit = kettle('');
    expect(placeOf(circuit, (await next(circuit, cold)).proposals[0]!)).toBe('HEAT.1 HEAT.2');
  });

  test('and elsewhere where the load is behind a cover', async () => {
    const circuit = kettle('nodes: { HEAT.1: { access: 20 min }, HEAT.2: { access: 20 min } }\n');
    const [best] = (await next(circuit, cold)).proposals;
    expect(placeOf(circuit, best!)).not.toContain('HEAT');
  });
});

describe('what it takes', () => {
  const behind = 'nodes: { TF.1: { access: 9 min, behind: base }, TF.2: { access: 9 min, behind: base } }\n';
  const circuit = kettle(behind);
  const access = ({ cost }: Proposal) => cost.find(({ what }) => what === 'access');

  test('a cover is opened once', async () => {
    const shut = await next(circuit, cold, ['HEAT.1']);
    const atFuse = shut.proposals.find((each) => placeOf(circuit, each).includes('TF.2'));
    expect(access(atFuse!)).toMatchObject({ minutes: expect.closeTo(10, 0) });
    const open = await next(
      circuit,
      `${cold}readings:\n  - { in: on, red: TF.1, black: MAINS.N, reads: 120 V }\n`,
      ['HEAT.1'],
    );
    expect(open.proposals.map(access)).toContain(undefined);
    for (const each of open.proposals)
      if (placeOf(circuit, each).includes('TF.2')) expect(access(each)?.of ?? []).not.toContain('base');
  });

  test('a reading that was taken is not asked for again', async () => {
    const first = (await next(circuit, cold)).proposals[0]!;
    const body = `${cold}readings:\n${takenWith(circuit, faultOf(circuit, 'TF:open'), first)}`;
    const again = (await next(circuit, body)).proposals.map((each) => placeOf(circuit, each));
    expect(again).not.toContain(placeOf(circuit, first));
  });
});

test('where there is nothing to look for it says why', async () => {
  const circuit = kettle('');
  const reasonOf = async (body: string) => (await next(circuit, body)).reason;
  expect(await reasonOf('readings:\n  - { in: on, red: HEAT.1, black: HEAT.2, reads: 120 V }\n')).toBe(
    'agrees',
  );
  expect(await reasonOf('readings: []\n')).toBe('undecided');
  expect(await reasonOf('readings:\n  - { in: on, red: HEAT.1, black: HEAT.2, reads: 300 V }\n')).toBe(
    'unexplained',
  );
});

// What floats behind an open neutral may stray by both legs of a split supply: more than one leg gives.
test('a reading that looks good at first does not end the search', async () => {
  const circuit = circuitOf(ovenText);
  const { proposals } = await next(
    circuit,
    `supply: { MAINS: 119.7 V }
symptoms:
  - { in: bake, load: BAKE, works: yes }
  - { in: broil, load: BROIL, works: yes }
  - { in: door-open, load: LAMP, works: no }
readings:
  - { in: door-open, red: LAMP.1, black: LAMP.2, reads: 0.2 V }
`,
  );
  expect(proposals[0]!.bits).toBeGreaterThan(0.5);
});

// Against neutral the far leg reads through the element; against that leg one reading tells open and bad connection alike.
test('what two legs feed is read against the other leg behind the same cover, under load', async () => {
  const circuit = circuitOf(ovenText);
  const { proposals } = await next(
    circuit,
    `symptoms:
  - { in: bake, load: BAKE, works: no }
  - { in: broil, load: BROIL, works: no }
  - { in: door-open, load: LAMP, works: yes }
`,
  );
  const [best] = proposals;
  expect(best!.live).toBe(true);
  expect(['bake', 'broil']).toContain(best!.state.settings.get('SEL'));
  // DS.1 is on leg 1 and SEL.L2 on leg 2, whatever the switches do.
  expect(placeOf(circuit, best!)).toMatch(/ (DS\.1|SEL\.L2)$/);
  expect(best!.bits).toBeGreaterThan(1.1);
});

test('a reading that tells little is proposed where no other is left', async () => {
  const circuit = kettle(
    `priors:
  TF: { open: 0.0003, high-resistance: 0.00001 }
  HEAT: { dead: 0.0003, high-resistance: 0.00001 }
  switch: { high-resistance: 0.00001 }
  supply: { high-resistance: 0.00001, low-voltage: 0.00001 }
  wire: { open: 0.02, high-resistance: 0.00001 }
  W4: { high-resistance: 0.0003 }
`,
  );
  const { proposals, missing } = await next(
    circuit,
    `${cold}readings:\n  - { in: on, red: TF.1, black: MAINS.N, reads: 120 V }\n`,
    ['HEAT.1', 'HEAT.2'],
  );
  const [best] = proposals;
  expect(best!.bits).toBeLessThan(0.08 * missing);
});

test('what may leak to earth is told by ohms to the chassis, with the power off', async () => {
  const earthed = circuitOf(`loadside: circuit/1
supplies:
  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE } }
switches:
  SW: { positions: [off, on], rest: off, between: [MAINS.L, SW.2], closed-in: [on] }
loads:
  HEAT: { kind: heating-element, between: [HEAT.1, MAINS.N], rated: { voltage: 120 V, power: 1200 W }, job: water gets hot }
wires:
  - { from: SW.2, to: HEAT.1, id: W }
  - { from: MAINS.PE, to: CHASSIS, id: EARTH }
nodes: { CHASSIS: { chassis: true } }
states: { on: { SW: on } }
`);
  const { proposals } = await next(
    earthed,
    `symptoms:
  - { in: on, load: HEAT, works: no }
readings:
  - { in: {}, red: MAINS.L, black: MAINS.N, reads: 0 V, input: low-impedance }
  - { in: { power: off }, red: HEAT.1, black: MAINS.N, reads: 12 ohm }
`,
  );
  const leaks = proposals.find((each) => placeOf(earthed, each).includes('CHASSIS'));
  expect(leaks).toMatchObject({ live: false, probe: { unit: 'ohm' } });
});
