import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type Circuit, restState } from '../../src/circuit/circuit.js';
import { drawCircuit, type Ladder, type Lettering, layOut } from '../../src/draw/draw.js';
import { circuitOf } from '../circuit/open.js';
import { exampleCircuits } from '../cli/example-files.js';
import { openCircuit, published } from '../published/front-doors.js';
import { type NumericCase, numericCircuit } from '../published/numeric-circuit.js';
import { oddCircuits } from './odd-circuits.js';

const numeric = published<NumericCase>(
  readFileSync(new URL('../published/numeric.yaml', import.meta.url), 'utf8'),
  'cases',
).filter(({ elements = [] }) => elements.length > 3);

const circuits: readonly (readonly [string, () => Circuit])[] = [
  ...exampleCircuits.map(([name, , text]) => [name, () => circuitOf(text)] as const),
  ...Object.entries(oddCircuits).map(([name, text]) => [name, () => circuitOf(text)] as const),
  ...numeric.map(
    (each) => [`${each.id} ${each.title}`, () => openCircuit(numericCircuit(each).text)] as const,
  ),
];

const plainLettering: Lettering = {
  name: ({ part }) => part,
  notes: () => [],
  terminal: () => undefined,
  node: () => [],
  pole: ({ leg }) => leg,
  elsewhere: () => 'elsewhere',
  place: () => 'place',
  comment: () => [],
  number: () => '1',
};

function rungsOf({ sections }: Ladder) {
  return sections.flatMap(({ rows }) => rows.flat()).map(({ rung }) => rung);
}

describe.each(circuits)('the ladder of %s', (_, open) => {
  const { ladder } = drawCircuit(open());

  test('has every element on one rung', () => {
    const drawn = rungsOf(ladder).flatMap(({ elements }) => elements.map(({ index }) => index));
    expect(drawn.sort((a, b) => a - b)).toEqual(ladder.elements.map(({ index }) => index));
  });

  test('joins on each rung what the wiring joins', () => {
    for (const { nodes, elements } of rungsOf(ladder)) {
      expect(nodes).toHaveLength(elements.length + 1);
      for (const [at, { from, to }] of elements.entries())
        expect([nodes[at], nodes[at + 1]].sort()).toEqual([from, to].sort());
    }
  });

  test('has every part of the circuit', () => {
    const drawn = new Set([
      ...ladder.elements.map(({ part }) => part),
      ...ladder.sections.flatMap(({ poles }) => poles.map(({ source }) => source)),
    ]);
    expect([...ladder.circuit.parts.keys()].filter((part) => !drawn.has(part))).toEqual([]);
  });
});

describe('ladder practice', () => {
  const ladderOf = (name: string) => {
    const text = exampleCircuits.find(([each]) => each === name)?.[2] ?? '';
    return drawCircuit(circuitOf(text)).ladder;
  };
  const names = (ladder: Ladder, nodes: readonly number[]) =>
    nodes.map((node) => ladder.circuit.nodes[node]?.name);

  test('line and legs are on the left, neutral and the other leg on the right', () => {
    const { sections } = ladderOf('dryer');
    expect(sections[0]?.poles.map(({ leg, side }) => `${leg} ${side}`)).toEqual([
      'line1 left',
      'line2 right',
      'neutral right',
    ]);
  });

  test('a rail stands where the wiring first branches, and the feed leads there', () => {
    const ladder = ladderOf('range-hood');
    const [line] = ladder.sections[0]?.poles ?? [];
    expect(names(ladder, [line?.node ?? -1, line?.rail ?? -1])).toEqual(['MAINS.L', 'SP1']);
    expect(line?.feed.map(({ part }) => part)).toEqual(['MAINS.L-F1.1', 'F1', 'F1.2-SP1']);
  });

  test('what only a transformer joins is a ladder of its own, under its winding', () => {
    const { sections } = ladderOf('range-control');
    const own = sections.filter(({ poles: [pole] }) => pole?.source === 'T1');
    expect(own).toHaveLength(2);
    for (const { rows } of own)
      expect(rows[0]?.[0]?.rung.elements.map(({ role }) => role)).toEqual(['winding']);
  });

  test('without a neutral the line that volts are read against is drawn live, though it reads 0 V', () => {
    const text = exampleCircuits.find(([each]) => each === 'water-heater')?.[2] ?? '';
    const circuit = circuitOf(text);
    const { scene } = drawCircuit(circuit, restState(circuit));
    const leg = circuit.nodes.find(({ name }) => name === 'MAINS.L2')?.index ?? -1;
    expect(scene.expected(leg)).toMatchObject({ kind: 'driven', nominal: 0 });
    expect(scene.potential(leg)).toBe('live');
  });

  test('a wire that is looped upwards starts at its own node', () => {
    let upwards = 0;
    for (const [name] of exampleCircuits) {
      for (const section of ladderOf(name).sections) {
        const layout = layOut(section, plainLettering, 0);
        for (const { node, wire, x1, x2, y1, y2 } of layout.lines) {
          if (wire === undefined || x1 !== x2) continue;
          if (y2 < y1) upwards += 1;
          const here = layout.nodes.filter(({ x, y }) => x === x1 && y === y1);
          for (const each of here) expect(each.node).toBe(node);
        }
      }
    }
    expect(upwards).toBeGreaterThan(0);
  });

  test('a rung that would make the ladder wider than a sheet only names where it starts', () => {
    const ladder = ladderOf('gas-dryer');
    const rung = rungsOf(ladder).find(({ elements }) => elements.some(({ part }) => part === 'SEC'));
    expect(rung?.starts).toBe('named');
    expect(names(ladder, rung?.nodes ?? [])[0]).toBe('SPX');
  });

  test('a rung is the supply path of its load', () => {
    const ladder = ladderOf('wall-oven');
    const rung = rungsOf(ladder).find(({ elements }) => elements.some(({ part }) => part === 'BAKE'));
    expect(names(ladder, rung?.nodes ?? [])).toEqual([
      'TBo.1',
      'TF.1',
      'TF.2',
      'TH.1',
      'TH.2',
      'SEL.1',
      'SEL.2',
      'BAKE.1',
      'BAKE.2',
      'SEL.4',
    ]);
  });
});
