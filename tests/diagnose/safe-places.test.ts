import { describe, expect, test } from 'vitest';
import { restState, type State, withLoose } from '../../src/circuit/circuit.js';
import { checkJob, proposeNext } from '../../src/diagnose/diagnose.js';
import { safePlaces } from '../../src/diagnose/next/safe-places.js';
import { circuitOf } from '../circuit/open.js';
import { jobFrom } from '../meter/open.js';

const text = (nodes: string) => `loadside: circuit/1
supplies:
  MAINS:
    { system: single-phase, voltage: 120 V, frequency: 60 Hz,
      terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE } }
conditions: { heat: { unit: degC, rest: 20, from: 0, to: 200 } }
protectors: { F1: { kind: fuse, between: [F1.1, F1.2] } }
switches: { SW: { positions: [off, on], between: [SW.1, SW.2], closed-in: [on] } }
loads:
  LAMP: { kind: lamp, between: [LAMP.1, LAMP.2], rated: { voltage: 120 V, power: 60 W }, job: lamp lights }
modules:
  CTL:
    supply: { between: [CTL.L, CTL.N], at-least: 90 V, draws: { power: 3 W } }
    inputs: { start: { between: [CTL.1, CTL.N], at-least: 90 V, impedance: 150 kohm } }
    outputs: { out: { when: [start], job: light on } }
passives:
  RT: { kind: thermistor, between: [RT.1, RT.2], follows: heat, curve: { resistance: 10 kohm, at: 25 degC, beta: 3950 } }
connectors: { J1: { pins: 2, sides: [J1a, J1b] }, J2: { pins: 1, sides: [J2a, J2b] } }
wires:
  - { from: MAINS.L, to: F1.1 }
  - { from: F1.2, to: SW.1 }
  - { from: SW.1, to: CTL.L }
  - { from: SW.2, to: CTL.1 }
  - { from: SW.2, to: J1a.1 }
  - { from: J1b.1, to: LAMP.1 }
  - { from: LAMP.2, to: J2b.1 }
  - { from: J2a.1, to: MAINS.N }
  - { from: MAINS.N, to: CTL.N }
  - { from: MAINS.PE, to: J1a.2, colour: green }
  - { from: J1b.2, to: CHASSIS, colour: green }
  - { from: CTL.N, to: RT.1 }
  - { from: RT.2, to: END }
nodes: { END: {}, CHASSIS: {}${nodes} }
states: { on: { SW: on } }
`;

const circuit = circuitOf(text(''));
const at = (name: string) => circuit.nodeByName.get(name)!;
const places = safePlaces(circuit, new Set([at('F1.2')]));
const rest = restState(circuit);

test('what is skipped, hidden or hazardous is no test point', () => {
  const marked = circuitOf(text(', SW.1: { hazard: high-voltage }, SW.2: { reachable: false }'));
  const { isTestPoint } = safePlaces(marked, new Set([marked.nodeByName.get('F1.2')!]));
  const points = marked.nodes.filter(({ index }) => isTestPoint(index)).map(({ name }) => name);
  expect(points).toContain('F1.1');
  for (const name of ['F1.2', 'SW.1', 'SW.2']) expect(points).not.toContain(name);
});

describe('no state is asked for', () => {
  const taking = (name: string): State => ({ ...rest, removed: new Set([name]) });

  test.each([
    ['with a protector out', taking('F1'), false],
    ['with a load out', taking('LAMP'), true],
    ['with an earth wire off', withLoose(rest, new Set(['CHASSIS']), new Set()), false],
    ['with an earth wire off at the outlet', withLoose(rest, new Set(['MAINS.PE']), new Set()), false],
    ['with another wire off', withLoose(rest, new Set(['LAMP.1']), new Set()), true],
    ['with a plug apart that carries the earth', withLoose(rest, new Set(), new Set(['J1'])), false],
    ['with another plug apart', withLoose(rest, new Set(), new Set(['J2'])), true],
  ])('%s: %#', (_, state, allowed) => {
    expect(places.isAllowed(state)).toBe(allowed);
  });
});

test('a low-impedance input is kept off signals and sensors, and may go on what feeds a module', () => {
  const delicate = circuit.nodes.filter(({ index }) => places.isDelicate(index)).map(({ name }) => name);
  for (const name of ['CTL.1', 'SW.2', 'RT.2', 'END']) expect(delicate).toContain(name);
  for (const name of ['CTL.L', 'CTL.N', 'SW.1', 'MAINS.L', 'MAINS.N']) expect(delicate).not.toContain(name);
});

describe('a hazardous place in the middle of what is suspected', () => {
  const dark =
    'symptoms:\n  - { in: on, load: LAMP, works: no }\n  - { in: on, load: CTL.out, works: yes }\n';
  const leads = async (nodes: string) => {
    const marked = circuitOf(text(nodes));
    const { job, told } = await jobFrom(marked, dark);
    expect(told).toEqual([]);
    const { proposals } = proposeNext(marked, job, checkJob(marked, job), { most: 20 });
    return proposals.flatMap(({ probe: { where } }) =>
      where.kind === 'between' ? [where.red, where.black].map((node) => marked.nodes[node]!.name) : [],
    );
  };

  test('is never probed, and was worth it before it was marked', async () => {
    expect(await leads('')).toContain('LAMP.1');
    const marked = await leads(', LAMP.1: { hazard: high-voltage }');
    expect(marked).not.toContain('LAMP.1');
    expect(marked.length).toBeGreaterThan(0);
  });
});
