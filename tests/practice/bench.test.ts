import { describe, expect, test } from 'vitest';
import { readState, type State } from '../../src/circuit/circuit.js';
import { instrument, nominalSupplies, TestStand } from '../../src/meter/meter.js';
import type { Ask } from '../../src/practice/ask.js';
import { Bench } from '../../src/practice/bench.js';
import { circuitAt, example, faultOf, warmerPath } from './open.js';

const warmer = circuitAt(warmerPath);

function state(said: unknown, circuit = warmer): State {
  const { state: read, problems } = readState(circuit, said, circuit.document, []);
  expect(problems).toEqual([]);
  return read;
}

function ask(said: unknown, red: string, black: string, unit: 'V' | 'ohm' = 'V', circuit = warmer): Ask {
  const at = (name: string) => circuit.nodeByName.get(name) ?? -1;
  const where = { kind: 'between', red: at(red), black: at(black) } as const;
  return { state: state(said, circuit), probe: { where, unit, meter: instrument('high-impedance') } };
}

const cutOut = (seed: number) => new Bench(warmer, faultOf(warmer, 'TF:open'), seed);

/** What the meter shows, in its unit. */
function shown(bench: Bench, asked: Ask): number | string {
  const taken = bench.take(asked);
  if (taken.kind === 'refused') return taken.why;
  return taken.shown.kind === 'value' ? taken.shown.value : taken.shown.kind;
}

describe('what the meter shows', () => {
  /** Common practice, no source: an open in series has the supply across it, and the load behind it none. */
  test('the supply across an open cut-out, none across the plate behind it', () => {
    for (const seed of [1, 2, 3]) {
      expect(shown(cutOut(seed), ask('warming', 'TF.1', 'TF.2'))).toBeGreaterThan(215);
      expect(shown(cutOut(seed), ask('warming', 'HEAT.1', 'HEAT.2'))).toBeLessThan(1);
    }
  });

  test('is within the tolerance of parts and supply and the accuracy of the meter, whatever the seed', () => {
    const stand = new TestStand(warmer, nominalSupplies(warmer));
    const asked = ask('warming', 'LAMP.1', 'LAMP.2');
    const expected = stand.expect(asked.state, asked.probe, []);
    if (expected.kind !== 'driven') throw new Error('not driven');
    const values = Array.from({ length: 20 }, (_, seed) => Number(shown(cutOut(seed), asked)));
    expect(Math.min(...values)).toBeGreaterThanOrEqual(expected.low);
    expect(Math.max(...values)).toBeLessThanOrEqual(expected.high);
    expect(new Set(values).size).toBeGreaterThan(10);
  });

  test('is the same whenever it is asked, and the same for the same seed', () => {
    const bench = cutOut(5);
    const first = shown(bench, ask('warming', 'SW.2', 'MAINS.N'));
    shown(bench, ask({}, 'SW.2', 'MAINS.N'));
    expect(shown(bench, ask('warming', 'SW.2', 'MAINS.N'))).toBe(first);
    expect(shown(cutOut(5), ask('warming', 'SW.2', 'MAINS.N'))).toBe(first);
  });
});

describe('what is refused', () => {
  test('ohms with the power on, a hazardous place, the power on with the earth off', () => {
    expect(shown(cutOut(1), ask('warming', 'TF.1', 'TF.2', 'ohm'))).toBe('ohms-live');
    expect(shown(cutOut(1), ask({ power: 'off' }, 'SP1', 'TF.2', 'ohm'))).toBe('hazard');
    expect(shown(cutOut(1), ask({ disconnected: ['FRAME'] }, 'TF.1', 'MAINS.N'))).toBe('earth-off');
  });

  test('neither ohms of what is dead, nor volts with another wire lifted', () => {
    expect(
      shown(cutOut(1), ask({ power: 'off', disconnected: ['FRAME', 'TF.1'] }, 'TF.1', 'TF.2', 'ohm')),
    ).toBe('over-range');
    expect(shown(cutOut(1), ask({ SW: 'on', disconnected: ['TF.1'] }, 'TF.2', 'MAINS.N'))).not.toBe(
      'earth-off',
    );
  });
});

test('only the right part cures it, and of exchanged wires either', () => {
  expect(cutOut(1).swap('TH')).toBe(false);
  expect(cutOut(1).swap('TF')).toBe(true);
  const hood = example('range-hood');
  for (const wire of ['B1.2-CTL.1', 'B2.2-CTL.2'])
    expect(new Bench(hood, faultOf(hood, 'B1.2-CTL.1:crossed=B2.2-CTL.2'), 1).swap(wire)).toBe(true);
});
