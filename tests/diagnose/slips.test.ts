import { describe, expect, test } from 'vitest';
import { faultName } from '../../src/circuit/circuit.js';
import { checkJob } from '../../src/diagnose/diagnose.js';
import { circuitOf, mains } from '../circuit/open.js';
import { jobFrom } from '../meter/open.js';

// A selector that feeds one of two lamps; a third terminal nobody uses, and neutral on a fourth.
const selector = (nodes = '') => `${mains}protectors:
  F1: { kind: fuse, between: [F1.1, F1.2], rating: 5 A }
switches:
  SEL:
    positions: [off, a, b]
    contacts:
      one: { between: [SEL.C, SEL.1], closed-in: [a] }
      two: { between: [SEL.C, SEL.2], closed-in: [b] }
      pilot: { between: [SEL.N, SEL.P], closed-in: [a, b] }
loads:
  A: { kind: lamp, between: [A.1, A.2], rated: { voltage: 120 V, power: 60 W }, job: A lights }
  B: { kind: lamp, between: [B.1, B.2], rated: { voltage: 120 V, power: 60 W }, job: B lights }
  P: { kind: lamp, between: [P.1, P.2], rated: { voltage: 120 V, power: 6 W }, job: pilot lights }
wires:
  - { from: MAINS.L, to: F1.1, id: W0 }
  - { from: F1.2, to: SEL.C, id: WC }
  - { from: SEL.1, to: A.1, id: W1 }
  - { from: SEL.2, to: B.1, id: W2 }
  - { from: SEL.N, to: MAINS.N, id: WN }
  - { from: SEL.P, to: P.2, id: WP }
  - { from: P.1, to: F1.2 }
  - { from: A.2, to: MAINS.N }
  - { from: B.2, to: MAINS.N }
states: { a: { SEL: a }, b: { SEL: b } }
${nodes}`;

async function slipsOf(text: string, body: string) {
  const circuit = circuitOf(text);
  const { job, told } = await jobFrom(circuit, body);
  expect(told).toEqual([]);
  const { slips } = checkJob(circuit, job);
  return slips.map(({ faults, effects, proof }) => ({
    slip: faults.map(faultName).join(),
    effects: effects.map(({ state, loads, opens }) => [
      state.name,
      ...loads.map(({ load, works }) => `${load.name} ${works ? 'works' : 'idle'}`),
      ...(opens === undefined ? [] : [`${opens} opens`]),
    ]),
    proof: proof && [proof.state.name, proof.red, proof.black, proof.reading],
  }));
}

const onOne = `symptoms:
  - { in: a, load: A, works: yes }
  - { in: a, load: B, works: yes }
  - { in: b, load: B, works: no }
`;

describe('a wire on the next pin', () => {
  test('is told with what it makes the loads do, and the reading that shows it', async () => {
    const [slip, ...more] = await slipsOf(selector(), onOne);
    expect(slip).toEqual({
      slip: 'W2:wrong-pin=SEL.1',
      effects: [
        ['a', 'B works'],
        ['b', 'B idle'],
      ],
      proof: ['a', 'B.1', 'MAINS.N', undefined],
    });
    expect(more).toEqual([]);
  });

  test('is never proven at a place that nobody may touch or can reach', async () => {
    const hidden = 'nodes:\n  B.1: { hazard: high-voltage }\n  SEL.1: { reachable: false }\n';
    const [slip] = await slipsOf(selector(hidden), onOne);
    expect(slip?.proof).toBeUndefined();
  });

  test('is proven by what no other suspect reads', async () => {
    // Open, W2 leaves B dark in b as well: what B gets in a tells the two apart.
    const dark =
      'supply: { MAINS: 120 V }\nsymptoms:\n  - { in: a, load: A, works: yes }\n  - { in: b, load: B, works: no }\n  - { in: b, load: P, works: yes }\n';
    const slips = await slipsOf(selector(), dark);
    const proofIn = (all: typeof slips) => all.find(({ slip }) => slip === 'W2:wrong-pin=SEL.1')?.proof;
    expect(proofIn(slips)).toEqual(['a', 'B.1', 'MAINS.N', undefined]);
    // With B's neutral open B.1 floats, and a stray may read what a supply 10 % low gives.
    expect(proofIn(await slipsOf(selector(), dark.replace(/^supply.*\n/, '')))).toBeUndefined();
  });

  test('that shorts the supply is told as that, and no voltage proves it', async () => {
    // P in series: its wire on SEL.2 joins neutral to line as soon as b is chosen.
    const blown = 'symptoms:\n  - { in: a, load: A, works: yes }\n  - { in: b, load: B, works: no }\n';
    const dead = 'readings:\n  - { in: b, red: F1.2, black: MAINS.N, reads: 0.0 V }\n';
    const slips = await slipsOf(selector(), blown + dead);
    expect(slips.map(({ slip, effects, proof }) => [slip, effects.at(-1), proof])).toContainEqual([
      'WN:wrong-pin=SEL.2',
      ['b', 'F1 opens'],
      undefined,
    ]);
  });
});
