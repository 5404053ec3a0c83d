import { describe, expect, test } from 'vitest';
import { type Circuit, restState, type State, withPowerOff } from '../../src/circuit/circuit.js';
import { stateFromOptions } from '../../src/cli/state-option.js';
import { drawCircuit, type Lettering, layOut, leftOf, type Picture } from '../../src/draw/draw.js';
import { ladderSvg } from '../../src/report/report.js';
import { circuitOf } from '../circuit/open.js';
import { exampleCircuits } from '../cli/example-files.js';
import { oddCircuits } from './odd-circuits.js';
import { overlaps, readSvg } from './svg-geometry.js';

/** Two states of each example in which much happens. */
const states: Readonly<Record<string, readonly [string, string]>> = {
  dryer: ['running', 'door-opened'],
  'range-control': ['bake', 'broil'],
  'range-hood': ['speed-1', 'lamp'],
  refrigerator: ['cooling', 'defrost'],
  'wall-oven': ['bake', 'door-open'],
  washer: ['fill', 'wash-forward'],
};

/** What a printer puts on A4 as well as on Letter with 8 mm of edge (ISO 216, ANSI Y14.1). */
const paper = { long: 279 - 16, short: 210 - 16 } as const;

function expectClear(picture: Picture): void {
  const { texts, lines, symbols, width, height, millimetres } = readSvg(
    ladderSvg(picture, { theme: 'light' }),
  );
  expect(overlaps(texts, texts)).toEqual([]);
  expect(overlaps(texts, lines)).toEqual([]);
  expect(overlaps(texts, symbols)).toEqual([]);
  expect(overlaps(symbols, symbols)).toEqual([]);
  const off = texts.filter(
    ({ left, right, top, bottom }) => left < 0 || top < 0 || right > width || bottom > height,
  );
  expect(off.map(({ what }) => what)).toEqual([]);
  expect(Math.max(...millimetres)).toBeLessThanOrEqual(paper.long + 0.1);
  expect(Math.min(...millimetres)).toBeLessThanOrEqual(paper.short + 0.1);
}

function stateOf(circuit: Circuit, name: string): State {
  const { state, problems } = stateFromOptions(circuit, [name]);
  expect(problems).toEqual([]);
  return state;
}

describe.each(exampleCircuits)(
  '%s on paper: no text on text, on a conductor, on a symbol, or off it',
  (name, _, text) => {
    const circuit = circuitOf(text);

    test('wiring alone', () => expectClear(drawCircuit(circuit)));

    test.each(states[name] ?? [])('in state %s', (state) =>
      expectClear(drawCircuit(circuit, stateOf(circuit, state))),
    );

    test('without power', () => expectClear(drawCircuit(circuit, withPowerOff(restState(circuit)))));
  },
);

describe('circuits of other shapes', () => {
  test.each(Object.entries(oddCircuits))('%s', (_, text) => {
    const circuit = circuitOf(text);
    expectClear(drawCircuit(circuit));
    expectClear(drawCircuit(circuit, restState(circuit)));
  });
});

describe('long notes at some places, short at others', () => {
  const lettering: Lettering = {
    name: ({ part }) => part,
    notes: ({ index }) => (index % 3 === 0 ? ['a note under it'] : []),
    terminal: (node) => String(node),
    node: (node) => [node % 4 === 0 ? 'a long note here' : `${node} floats`],
    pole: ({ leg }) => leg,
    elsewhere: (node) => `to ${node}`,
    comment: () => [],
    number: () => '1',
  };

  test.each(exampleCircuits)('%s', (_, __, text) => {
    const circuit = circuitOf(text);
    for (const section of drawCircuit(circuit).ladder.sections) {
      const layout = layOut(section, lettering, 0);
      const texts = layout.texts.map((each) => {
        const left = leftOf(each);
        return { what: each.text, left, right: left + each.width, top: each.y - 6.5, bottom: each.y + 2 };
      });
      const lines = layout.lines.map(({ x1, x2, y1, y2 }) => ({
        what: `line ${x1} ${y1} ${x2} ${y2}`,
        left: Math.min(x1, x2),
        right: Math.max(x1, x2),
        top: Math.min(y1, y2),
        bottom: Math.max(y1, y2),
      }));
      expect(overlaps(texts, lines)).toEqual([]);
      expect(overlaps(texts, texts)).toEqual([]);
    }
  });
});

describe('the check itself', () => {
  const box = (what: string, left: number, top: number) => ({
    what,
    left,
    right: left + 10,
    top,
    bottom: top + 10,
  });

  test('sees two boxes over one another, and not two beside each other', () => {
    expect(overlaps([box('a', 0, 0)], [box('b', 9, 5)])).toHaveLength(1);
    expect(overlaps([box('a', 0, 0)], [box('b', 10, 0)])).toEqual([]);
  });
});
