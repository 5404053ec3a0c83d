import { expect, test } from 'vitest';
import { designateFault, faultName } from '../../src/circuit/circuit.js';
import { nominalSupplies, TestStand } from '../../src/meter/meter.js';
import { circuitOf, mains } from './open.js';

const switches = (wires: string) => `${mains}switches:
  SEL:
    positions: [off, a, b]
    contacts:
      one: { between: [SEL.C, SEL.1], closed-in: [a] }
      two: { between: [SEL.C, SEL.2], closed-in: [b] }
loads:
  A: { kind: lamp, between: [A.1, A.2], resistance: 100 ohm }
  B: { kind: lamp, between: [B.1, B.2], resistance: 100 ohm }
connectors:
  J: { pins: 12, sides: [Jh, Jb] }
wires:
${wires}`;

const wires = `  - { from: MAINS.L, to: SEL.C, id: W0 }
  - { from: SEL.1, to: A.1, id: W1 }
  - { from: SEL.2, to: B.1, id: W2 }
  - { from: A.2, to: Jh.2, id: W3 }
  - { from: B.2, to: Jh.10, id: W4 }
  - { from: Jh.12, to: B.2, id: W5 }
  - { from: Jb.2, to: MAINS.N, id: W6 }
  - { from: Jb.10, to: MAINS.N, id: W7 }
`;
const circuit = circuitOf(switches(wires));
const names = (text: string) => circuitOf(text).wrongPins.map(faultName);

test('a wire may land on the next terminal, where wires land on three or more; pins go by number', () => {
  expect(circuit.wrongPins.map(faultName)).toEqual([
    'W0:wrong-pin=SEL.1',
    'W1:wrong-pin=SEL.C',
    'W1:wrong-pin=SEL.2',
    'W2:wrong-pin=SEL.1',
    'W3:wrong-pin=Jh.1',
    'W3:wrong-pin=Jh.3',
    'W4:wrong-pin=Jh.9',
    'W4:wrong-pin=Jh.11',
    'W5:wrong-pin=Jh.11',
  ]);
});

test('it leaves its own terminal empty: not where another wire is fastened, nor onto its own other end', () => {
  const joined = names(switches(`${wires}  - { from: SEL.1, to: SP, id: W8 }\n  - { from: SP, to: B.1 }\n`));
  expect(joined.filter((each) => each.startsWith('W1:') || each.startsWith('W8:'))).toEqual([]);
  const jumper = names(switches(wires.replace('SEL.2, to: B.1', 'SEL.2, to: SEL.1')));
  expect(jumper.filter((each) => each.startsWith('W2:'))).toEqual([]);
});

test('what is hazardous, or inside the part, is no terminal to land on', () => {
  const at = (note: string) => names(switches(`${wires}nodes:\n  Jh.3: { ${note} }\n`));
  expect(at('hazard: high-voltage')).toContain('W3:wrong-pin=Jh.4');
  expect(at('reachable: false')).toContain('W3:wrong-pin=Jh.4');
  expect(at('access: 3 min')).toContain('W3:wrong-pin=Jh.3');
});

test('it is found by its name, and moves one end of one wire', () => {
  const found = designateFault(circuit, 'W2:wrong-pin=SEL.1');
  const [branch] = circuit.parts.get('W2')!.branches;
  const [from, to] = ['SEL.1', 'B.1'].map((node) => circuit.nodeByName.get(node));
  expect(found.ok && found.fault.changes).toEqual([{ kind: 'moved', branch, from, to }]);
  const other = designateFault(circuit, 'W2:wrong-pin=SEL.9');
  expect(other).toMatchObject({ ok: false, nearest: 'W2:wrong-pin=SEL.1' });
});

test('one wire moved is no exchange: what it fed is without, and what it landed on feeds it', () => {
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const fault = circuit.wrongPins.find((each) => faultName(each) === 'W2:wrong-pin=SEL.1')!;
  const worksIn = (position: string) => {
    const rest = stand.circuit.switches.get('SEL')!;
    const state = {
      power: true,
      settings: new Map([[rest.name, position]]),
      unplugged: new Set<string>(),
      disconnected: new Set<string>(),
      removed: new Set<string>(),
      before: [],
      changes: { SEL: position },
    };
    const sight = stand.look(state, [fault]);
    if (sight.kind !== 'steady') throw new Error(sight.kind);
    const { view } = sight;
    return ['A', 'B'].map((name) => {
      const load = circuit.loads.get(name)!;
      return stand.worksIn(view, { index: 1, state, load, works: true });
    });
  };
  expect([worksIn('a'), worksIn('b')]).toEqual([
    ['yes', 'yes'],
    ['no', 'no'],
  ]);
});
