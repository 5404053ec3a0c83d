/** Results of the diagnosis literature that any sound reasoning must reach, each with its source beside it. */
import { describe, expect, it } from 'vitest';
import { type Circuit, faultName } from '../../src/circuit/circuit.js';
import { type CheckAnswer, checkJob, proposeNext } from '../../src/diagnose/diagnose.js';
import { inOrder } from '../../src/diagnose/next/try-order.js';
import type { Job } from '../../src/meter/meter.js';
import { node, openCircuit, openJob, phasorVolts, steadyView } from '../published/front-doors.js';

/**
 * Struss and Dressler 1989, "Physical negation: integrating fault models into the general diagnostic engine" (example
 * from memory; how it is wired is computed from its conflicts). A battery and three bulbs side by side, the wires
 * running from bulb to bulb: B1 and B2 are dark and B3 is lit.
 */
const threeBulbs = openCircuit(`
loadside: circuit/1
title: Three bulbs in parallel
supplies:
  S: { system: dc, voltage: 12 V, tolerance: 0 %, terminals: { positive: S.P, negative: S.M } }
loads:
  B1: { kind: lamp, between: [B1.1, B1.2], rated: { voltage: 12 V, power: 5 W } }
  B2: { kind: lamp, between: [B2.1, B2.2], rated: { voltage: 12 V, power: 5 W } }
  B3: { kind: lamp, between: [B3.1, B3.2], rated: { voltage: 12 V, power: 5 W } }
wires:
  - { id: W1, from: S.P, to: B1.1 }
  - { id: W2, from: S.M, to: B1.2 }
  - { id: W3, from: B1.1, to: B2.1 }
  - { id: W4, from: B1.2, to: B2.2 }
  - { id: W5, from: B2.1, to: B3.1 }
  - { id: W6, from: B2.2, to: B3.2 }
`);

const onlyB3 = `
loadside: readings/1
symptoms:
  - { in: {}, load: B1, works: no }
  - { in: {}, load: B2, works: no }
  - { in: {}, load: B3, works: yes }
readings: []
`;

describe('three bulbs of which only the last is lit', () => {
  it('has no single fault, for no bulb lights without what feeds it', async () => {
    const { suspects } = checkJob(threeBulbs, await openJob(threeBulbs, onlyB3));
    expect(suspects.filter(({ faults }) => faults.length === 1)).toEqual([]);
  });

  it('ranks both bulbs first when fault modes are known', async () => {
    const { suspects } = checkJob(threeBulbs, await openJob(threeBulbs, onlyB3));
    expect(suspects[0]?.faults.map(faultName)).toEqual(['B1:open', 'B2:open']);
    const parts = suspects.map(({ faults }) => faults.map(({ part }) => part).join(' '));
    expect(new Set(parts)).toEqual(new Set(['B1 B2']));
  });
});

/** 120 V; L-10-a, a-100-N, a-20-b, b-50-N, b-30-c, c-200-N: what drifts has these ohms instead. */
function ladder(drifted: Readonly<Record<string, number>> = {}): string {
  const rungs: readonly (readonly [name: string, from: string, to: string, ohms: number])[] = [
    ['R1', 'S.L', 'a', 10],
    ['R2', 'a', 'S.N', 100],
    ['R3', 'a', 'b', 20],
    ['R4', 'b', 'S.N', 50],
    ['R5', 'b', 'c', 30],
    ['R6', 'c', 'S.N', 200],
  ];
  const row = ([name, from, to, ohms]: (typeof rungs)[number]) =>
    `  ${name}: { kind: resistor, between: [${from}, ${to}], resistance: ${drifted[name] ?? ohms} ohm, tolerance: 0.01 % }`;
  return `
loadside: circuit/1
title: Resistive ladder
supplies:
  S: { system: single-phase, voltage: 120 V, frequency: 60 Hz, impedance: 1e-6 ohm, terminals: { line: S.L, neutral: S.N } }
passives:
${rungs.map(row).join('\n')}
`;
}

/** What a meter of a thousandth of a volt shows at some places with a resistor drifted. */
async function driftedJob(
  drifted: Readonly<Record<string, number>>,
  places: string,
): Promise<[Circuit, Job]> {
  const broken = openCircuit(ladder(drifted));
  const view = steadyView(broken);
  const reads = (place: string) => {
    const { re } = phasorVolts(view, node(broken, place), node(broken, 'S.N'));
    return `  - { in: {}, red: ${place}, black: S.N, reads: ${re.toFixed(3)} V }\n`;
  };
  const circuit = openCircuit(ladder());
  const text = `loadside: readings/1
meter: { accuracy: { percent: 0.0001, counts: 2, resolution: 0.001 } }
readings:
${reads('S.L')}${[...places].map(reads).join('')}`;
  return [circuit, await openJob(circuit, text)];
}

const partsOf = ({ suspects }: CheckAnswer) =>
  [...new Set(suspects.flatMap(({ faults }) => faults.map(({ part }) => part)))].sort().join(' ');

/**
 * One resistor that drifts moves the volts in a direction of its own, however far it goes, so that resistors of one
 * direction can't be told apart (Augusto and Almeida 2008, https://www.hindawi.com/journals/vlsi/2008/630951/;
 * ambiguity groups: Fedi, Manetti, Piccirilli and Starzyk 1999, from memory). The groups: computed.
 */
describe('a resistor of the ladder that drifted is told from those of another direction, and from no other', () => {
  it.each([
    [{ R1: 15 }, 'abc', 'R1 R2'],
    [{ R2: 70 }, 'abc', 'R1 R2'],
    [{ R3: 26 }, 'abc', 'R3'],
    [{ R4: 40 }, 'abc', 'R4'],
    [{ R5: 45 }, 'abc', 'R5'],
    [{ R6: 120 }, 'abc', 'R6'],
    [{ R3: 26 }, 'ab', 'R3'],
    [{ R4: 60 }, 'ab', 'R4 R5 R6'],
    [{ R5: 45 }, 'ab', 'R4 R5 R6'],
    [{ R6: 300 }, 'ab', 'R4 R5 R6'],
  ] as const)('%j, read at %s: %s', async (drifted, places, parts) => {
    const answer = checkJob(...(await driftedJob(drifted, places)));
    expect(partsOf(answer)).toBe(parts);
    const [[part, ohms]] = Object.entries(drifted) as [[string, number]];
    const own = answer.suspects.find(({ faults: [fault] }) => fault?.part === part);
    const { low, high } = own!.faults[0]!.value!;
    expect([low <= ohms, high >= ohms, high / low < 1.05]).toEqual([true, true, true]);
  });

  it.each([{ R4: 60 }, { R5: 45 }, { R6: 300 }])(
    'with a and b read, the next reading is at c: %j',
    async (drifted) => {
      const [circuit, job] = await driftedJob(drifted, 'ab');
      const [best] = proposeNext(circuit, job, checkJob(circuit, job)).proposals;
      const { where } = best!.probe;
      const leads = where.kind === 'between' ? [where.red, where.black] : [];
      expect(leads).toContain(node(circuit, 'c'));
    },
  );
});

/**
 * Replacing one part after the other until the fault is gone takes least in the order of likelihood over cost (common
 * knowledge of troubleshooting under uncertainty; the numbers are computed, and brute force over all orders agrees).
 */
describe('parts that no reading tells apart', () => {
  const parts = [
    { name: 'motor', share: 0.4, minutes: 20 },
    { name: 'switch', share: 0.25, minutes: 5 },
    { name: 'relay', share: 0.25, minutes: 4 },
    { name: 'fuse', share: 0.1, minutes: 1 },
  ];
  type Part = (typeof parts)[number];

  /** Each is paid for unless the fault was met before. */
  const expectedCost = (order: readonly Part[]) =>
    order.reduce(
      ({ sum, still }, { share, minutes }) => ({ sum: sum + still * minutes, still: still - share }),
      { sum: 0, still: 1 },
    ).sum;

  const ordersOf = (rest: readonly Part[]): Part[][] =>
    rest.length === 0
      ? [[]]
      : rest.flatMap((first) =>
          ordersOf(rest.filter((each) => each !== first)).map((order) => [first, ...order]),
        );

  it('are tried by likelihood over cost, and no other order takes less', () => {
    const order = inOrder(parts);
    expect(order.map(({ name }) => name)).toEqual(['fuse', 'relay', 'switch', 'motor']);
    expect(expectedCost(order)).toBeCloseTo(15.85, 9);
    const costs = ordersOf(parts)
      .map(expectedCost)
      .sort((a, b) => a - b);
    expect(costs).toHaveLength(24);
    expect(costs.slice(0, 2)).toEqual([expect.closeTo(15.85, 9), expect.closeTo(16, 9)]);
    // The likeliest first: the motor, then switch, relay and fuse.
    expect(expectedCost(parts)).toBeCloseTo(24.5, 9);
  });
});
