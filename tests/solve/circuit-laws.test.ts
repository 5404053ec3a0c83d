import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { type Circuit, restState } from '../../src/circuit/circuit.js';
import { operate } from '../../src/solve/operating-point.js';
import { planCircuit } from '../../src/solve/solve.js';
import { PointView } from '../../src/solve/view.js';
import { openCircuit } from '../published/front-doors.js';
import { randomReactiveCircuit } from './random-circuit.js';

/**
 * Laws that hold for any circuit, transformers, capacitors and several supplies included, so that no second solver is
 * needed. Relays are left out: they act on volts, which some of these laws change.
 */

const circuits = randomReactiveCircuit.filter((text) => !text.includes('relays:'));

/** Relative to the largest volts there are. */
const agreement = 1e-9;

function viewOf(circuit: Circuit, scale: ReadonlyMap<string, number> = new Map()): PointView | undefined {
  const operation = operate(planCircuit(circuit), restState(circuit), [], scale);
  return operation.kind === 'steady' ? new PointView(operation.point) : undefined;
}

type Name = (node: string) => string;

/** Compares all pairs of the first circuit's nodes with those of the other, by name, `times` as large there. */
function expectSame(view: PointView, other: PointView, name: Name = (node) => node, times = 1): void {
  const { nodes } = view.point.plan.circuit;
  const { nodeByName } = other.point.plan.circuit;
  for (const frequency of view.point.phasors.keys()) {
    const pairs = nodes.flatMap((a) => nodes.slice(a.index + 1).map((b) => [a, b] as const));
    const joined = pairs.filter(([a, b]) => view.joined(frequency, a.index, b.index));
    const sizes = joined.map(([a, b]) => {
      const { re, im } = view.volts(frequency, a.index, b.index);
      return Math.hypot(re, im);
    });
    const largest = Math.max(1, ...sizes);
    for (const [a, b] of joined) {
      if (a.name.includes('(') || b.name.includes('(')) continue;
      const [c, d] = [a, b].map((node) => nodeByName.get(name(node.name))!) as [number, number];
      expect(other.joined(frequency, c, d)).toBe(true);
      const [left, right] = [view.volts(frequency, a.index, b.index), other.volts(frequency, c, d)];
      const off = Math.hypot(times * left.re - right.re, times * left.im - right.im);
      expect(off / largest / Math.max(1, times), `${a.name} to ${b.name}`).toBeLessThan(agreement);
    }
  }
}

type Parsed = Record<string, Record<string, Record<string, unknown>> | unknown[]>;

function transformed(text: string, change: (parsed: Parsed) => void): Circuit {
  const parsed = parse(text) as Parsed;
  change(parsed);
  return openCircuit(stringify(parsed, { aliasDuplicateObjects: false }));
}

function holds(law: (text: string, view: PointView) => void): void {
  let seen = 0;
  fc.assert(
    fc.property(circuits, (text) => {
      const view = viewOf(openCircuit(text));
      if (view === undefined) return;
      law(text, view);
      seen += 1;
    }),
    { numRuns: 50 },
  );
  expect(seen).toBeGreaterThan(15);
}

describe('what changes no volt', () => {
  test('other names for the nodes', () => {
    const name: Name = (node) => (/^[A-G]$/.test(node) ? `Z${node}` : node);
    holds((text, view) => {
      const other = viewOf(openCircuit(text.replaceAll(/\b[A-G]\b/g, (node) => `Z${node}`)));
      expectSame(view, other!, name);
    });
  });

  test('another order of the parts', () => {
    holds((text, view) => {
      const other = transformed(text, (parsed) => {
        for (const section of ['loads', 'passives', 'transformers', 'switches']) {
          const parts = parsed[section];
          if (parts !== undefined)
            parsed[section] = Object.fromEntries(Object.entries(parts).reverse()) as Parsed[string];
        }
        parsed['wires'] = [...(parsed['wires'] as unknown[])].reverse();
      });
      expectSame(view, viewOf(other)!);
    });
  });

  test('a load split into two halves in series', () => {
    holds((text, view) => {
      const other = transformed(text, (parsed) => {
        const loads = parsed['loads'] as Record<string, Record<string, unknown>>;
        const { between, impedance } = loads['R1'] as {
          between: [string, string];
          impedance: { resistance: string; reactance: string };
        };
        const half = {
          resistance: `${Number.parseFloat(impedance.resistance) / 2} ohm`,
          reactance: `${Number.parseFloat(impedance.reactance) / 2} ohm`,
        };
        loads['R1'] = { ...loads['R1'], between: [between[0], 'HALF'], impedance: half };
        loads['HALF2'] = { ...loads['R1'], between: ['HALF', between[1]] };
        (parsed['nodes'] as Record<string, object>)['HALF'] = {};
      });
      expectSame(view, viewOf(other)!);
    });
  });

  test('a wire to nowhere', () => {
    holds((text, view) => {
      const other = transformed(text, (parsed) => {
        (parsed['wires'] as unknown[]).push({ from: 'MAINS.L', to: 'NOWHERE' });
        (parsed['nodes'] as Record<string, object>)['NOWHERE'] = {};
      });
      expectSame(view, viewOf(other)!);
    });
  });
});

test('supplies three times as high give volts three times as high', () => {
  holds((text, view) => {
    const circuit = openCircuit(text);
    const other = viewOf(circuit, new Map([...circuit.supplies.keys()].map((name) => [name, 3])));
    // What carries three times as much may open.
    if (other !== undefined) expectSame(view, other, (node) => node, 3);
  });
});

test('each supply alone, added up, gives what all give together', () => {
  holds((text, view) => {
    const circuit = openCircuit(text);
    const names = [...circuit.supplies.keys()];
    const alone = names.flatMap(
      (name) => viewOf(circuit, new Map(names.map((each) => [each, each === name ? 1 : 0]))) ?? [],
    );
    // One by itself may overload what the other relieves.
    if (alone.length < names.length) return;
    for (const frequency of view.point.phasors.keys()) {
      for (const { index } of circuit.nodes) {
        const zero = circuit.nodeByName.get('MAINS.N')!;
        if (!view.joined(frequency, index, zero)) continue;
        const whole = view.volts(frequency, index, zero);
        const parts = alone.map((each) => each.volts(frequency, index, zero));
        const [re, im] = [
          parts.reduce((sum, each) => sum + each.re, 0),
          parts.reduce((sum, each) => sum + each.im, 0),
        ];
        const size = Math.max(1, ...[whole, ...parts].map((each) => Math.hypot(each.re, each.im)));
        expect(Math.hypot(whole.re - re, whole.im - im) / size).toBeLessThan(1e-8);
      }
    }
  });
});

test('amps here give the volts there that amps there give here', () => {
  holds((_, view) => {
    const { nodes } = view.point.plan.circuit;
    for (const frequency of view.point.phasors.keys()) {
      const pairs = nodes.flatMap(({ index: a }) =>
        nodes.slice(a + 1).flatMap(({ index: b }) => (view.joined(frequency, a, b) ? [[a, b] as const] : [])),
      );
      for (const [k, [a, b]] of pairs.entries()) {
        const [c, d] = pairs[(k * 7 + 3) % pairs.length]!;
        const [there, here] = [view.transfer(frequency, a, b, c, d), view.transfer(frequency, c, d, a, b)];
        const size = Math.max(1, Math.hypot(there.re, there.im));
        expect(Math.hypot(there.re - here.re, there.im - here.im) / size).toBeLessThan(1e-7);
      }
    }
  });
});
