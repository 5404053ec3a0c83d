import { describe, expect, test } from 'vitest';
import { type Circuit, restState, type State, withPowerOff } from '../../src/circuit/circuit.js';
import { stateFromOptions } from '../../src/cli/state-option.js';
import {
  drawCircuit,
  type Lettering,
  layOut,
  leftOf,
  type Picture,
  type PlacedLine,
  type PlacedText,
  piece,
} from '../../src/draw/draw.js';
import { ladderSheets, ladderSvg } from '../../src/report/report.js';
import { circuitOf } from '../circuit/open.js';
import { exampleCircuits } from '../cli/example-files.js';
import { oddCircuits } from './odd-circuits.js';
import { type Box, overlaps, readSvg, type SvgPicture } from './svg-geometry.js';

/** Each example, built and laid out once for all that is asked of its drawing. */
const circuits = new Map(exampleCircuits.map(([name, , text]) => [name, circuitOf(text)]));

/** Two states of each example: one in which a load works, and one in which something is off or cut. */
const states: Readonly<Record<string, readonly [string, string]>> = {
  'damper-refrigerator': ['damper-opens', 'defrosted'],
  'deck-oven': ['heat', 'limit-tripped'],
  dishwasher: ['wash', 'door-open'],
  dryer: ['running', 'door-opened'],
  'electric-cooktop': ['all-heating', 'left-front-resting'],
  'food-waste-disposer': ['grind-reverse', 'light'],
  'gas-dryer': ['glowing', 'lit'],
  'gas-oven': ['bake', 'bake-hot'],
  glasswasher: ['heating', 'door-open'],
  'heat-pump-dryer': ['dry-warm', 'door-open'],
  'lid-lock-washer': ['agitate', 'agitate-lid-open'],
  'microwave-oven': ['heating', 'door-opened'],
  'proofing-cabinet': ['proofing', 'overheated'],
  'range-control': ['bake', 'door-open'],
  'range-hood': ['speed-1', 'lamp'],
  refrigerator: ['cooling', 'defrosted'],
  'room-air-conditioner': ['high-cool', 'overload-open'],
  'self-cleaning-oven': ['cleaning', 'door-open'],
  'wall-oven': ['bake', 'door-open'],
  washer: ['wash-forward', 'spin'],
  'water-heater': ['top-hot', 'limit-tripped'],
};

/** What a printer puts on A4 as well as on Letter with 8 mm of edge (ISO 216, ANSI Y14.1). */
const paper = { long: 279 - 16, short: 210 - 16 } as const;

/** Capitals of the smallest type by ISO 3098, and how high they are in Helvetica (both from memory). */
const leastCapital = 1.8;
const capital = 0.72;

function expectClear(picture: Picture): readonly SvgPicture[] {
  const sheets = ladderSheets(picture, { theme: 'light' }).svgs.map(readSvg);
  for (const read of sheets) {
    const { texts, lines, symbols, width, height, millimetres } = read;
    expectSectionsApart(read);
    expect(overlaps(texts, texts)).toEqual([]);
    expect(overlaps(texts, lines)).toEqual([]);
    expect(overlaps(texts, symbols)).toEqual([]);
    expect(overlaps(symbols, symbols)).toEqual([]);
    expect(upright(lines, symbols)).toEqual([]);
    const off = texts.filter(
      ({ left, right, top, bottom }) => left < 0 || top < 0 || right > width || bottom > height,
    );
    expect(off.map(({ what }) => what)).toEqual([]);
    expect(Math.max(...millimetres)).toBeLessThanOrEqual(paper.long + 0.1);
    expect(Math.min(...millimetres)).toBeLessThanOrEqual(paper.short + 0.1);
  }
  return sheets;
}

/** What a section is called by, over its rungs. */
const isCaption = (what: string) =>
  /^Protective earth|, (?:single-phase|split-phase|three-phase|dc), |; volts against/.test(what);

/** Clear paper between a section and what is called after it, in drawing units: about a line of the caption. */
const leastApart = 8;

/** Each caption clear of the section above it, and nearer to its own rungs. */
function expectSectionsApart({ texts, lines, symbols }: SvgPicture): void {
  const captions = texts.filter(({ what }) => isCaption(what));
  const others = [...texts.filter(({ what }) => !isCaption(what)), ...lines, ...symbols];
  for (const { what, top, bottom, left, right } of captions) {
    const near = others.filter((each) => each.left < right && each.right > left);
    const above = Math.max(0, ...near.filter((each) => each.top < top).map((each) => each.bottom));
    const below = Math.min(...near.filter((each) => each.top >= top).map((each) => each.top));
    expect([what, top - above]).toEqual([what, expect.toSatisfy((gap) => gap >= leastApart)]);
    expect([what, below - bottom]).toEqual([what, expect.toSatisfy((gap) => gap >= 0)]);
  }
}

/** Lines from row to row that run through a symbol; a line along a row leads to it. */
function upright(lines: readonly Box[], symbols: readonly Box[]): readonly string[] {
  return overlaps(
    lines.filter(({ top, bottom }) => bottom > top),
    symbols,
  );
}

/** Letters that can be read, names that can be found, and every row and line on some sheet. */
function expectReadable(picture: Picture, sheets: readonly SvgPicture[]): void {
  const words: string[] = [];
  for (const { smallest, width, millimetres, words: own } of sheets) {
    expect((smallest * capital * millimetres[0]) / width).toBeGreaterThan(leastCapital - 0.02);
    words.push(...own);
  }
  expect(new Set(words)).toEqual(new Set(readSvg(ladderSvg(picture, { theme: 'light' })).words));
  const rows = picture.ladder.sections.reduce((sum, section) => sum + section.rows.length, 0);
  const numbers = Array.from({ length: rows }, (_, row) => String(row + 1));
  expect(numbers.filter((each) => !words.includes(each))).toEqual([]);
  // A place that is only named in one rung has its name where the other rung is.
  for (const named of words.flatMap((each) => /^to (.+), rung \d+$/.exec(each)?.[1] ?? []))
    expect(words.filter((each) => each.split(' ').includes(named))).not.toEqual([]);
}

function stateOf(circuit: Circuit, name: string): State {
  const { state, problems } = stateFromOptions(circuit, [name]);
  expect(problems).toEqual([]);
  return state;
}

describe.each([...circuits])(
  '%s on paper: no text on text, on a conductor, on a symbol, or off it',
  (name, circuit) => {
    test('wiring alone', () => expectClear(drawCircuit(circuit)));

    test.each(states[name] ?? [])('in state %s', (state) => {
      const picture = drawCircuit(circuit, stateOf(circuit, state));
      expectReadable(picture, expectClear(picture));
    });

    test('two states are looked at', () => expect(states[name]).toHaveLength(2));

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

const lettering: Lettering = {
  name: ({ part }) => part,
  notes: ({ index }) => (index % 3 === 0 ? ['a note under it'] : []),
  terminal: (node) => String(node),
  node: (node) => [node % 4 === 0 ? 'a long note here' : `${node} floats`],
  pole: ({ leg }) => leg,
  elsewhere: (node) => `to ${node}`,
  place: (node) => `a place with a long name, ${node}`,
  comment: () => [],
  number: () => '1',
};

function boxOf(text: PlacedText): Box {
  const left = leftOf(text);
  return { what: text.text, left, right: left + text.width, top: text.y - 6.5, bottom: text.y + 2 };
}

function lineBox({ x1, x2, y1, y2 }: PlacedLine): Box {
  const what = `line ${x1} ${y1} ${x2} ${y2}`;
  const [left, right] = [Math.min(x1, x2), Math.max(x1, x2)];
  return { what, left, right, top: Math.min(y1, y2), bottom: Math.max(y1, y2) };
}

describe('long notes at some places, short at others', () => {
  test.each([...circuits])('%s', (_, circuit) => {
    for (const section of drawCircuit(circuit).ladder.sections) {
      const layout = layOut(section, lettering, 0);
      const texts = layout.texts.map(boxOf);
      const lines = layout.lines.map(lineBox);
      expect(overlaps(texts, lines)).toEqual([]);
      expect(overlaps(texts, texts)).toEqual([]);
    }
  });
});

describe('a motor', () => {
  const motors = [...circuits].flatMap(([name, circuit]) => {
    const pairs = circuit.actuators.flatMap((each) =>
      each.kind === 'load' && each.start !== undefined ? [[each.branch, each.start.branch] as const] : [],
    );
    return pairs.map(([main, start]) => {
      const partOf = (branch: number) => circuit.branches[branch]?.part ?? '';
      return { name, circuit, main: partOf(main), start: partOf(start) };
    });
  });

  test('with two windings is in half of the examples', () => expect(motors.length).toBeGreaterThan(10));

  test.each(motors)('of $name: $main stands above what starts it, $start', ({ circuit, main, start }) => {
    const { sections } = drawCircuit(circuit).ladder;
    const rows = sections.flatMap((section) => section.rows);
    const rowOf = (part: string) =>
      rows.findIndex((laids) =>
        laids.some(({ rung }) => rung.elements.some((each) => each.part === part && each.role === 'load')),
      );
    expect(rowOf(main)).toBeGreaterThanOrEqual(0);
    expect(rowOf(main)).toBeLessThan(rowOf(start));
  });
});

describe('a feed', () => {
  test.each([...circuits])('of %s comes in at the head of its rail', (_, circuit) => {
    for (const { poles, rows } of drawCircuit(circuit).ladder.sections) {
      for (const { node, rail, feed } of poles) {
        if (feed.length === 0) continue;
        const touching = rows.flatMap((laids, row) =>
          laids.some(({ rung }) => rung.nodes.includes(rail)) ? [{ row, laids }] : [],
        );
        expect(touching[0]?.laids.some(({ rung }) => rung.nodes.includes(node))).toBe(true);
      }
    }
  });
});

describe('names', () => {
  const sheetOf = (name: string) => {
    const picture = drawCircuit(circuits.get(name)!);
    return readSvg(ladderSvg(picture, { theme: 'light' }));
  };

  test('two symbols that share a terminal have its name once', () => {
    const { words } = sheetOf('damper-refrigerator');
    expect(words.filter((each) => each === 'COMP.S')).toHaveLength(1);
  });

  test('an end that is only named stands beside what it belongs to, not across a rail', () => {
    const { texts } = sheetOf('glasswasher');
    const [end] = texts.filter(({ what }) => what.startsWith('to '));
    const [load] = texts.filter(({ what, top }) => what === 'B23' && Math.abs(top - (end?.top ?? 0)) < 30);
    expect((load?.left ?? 0) - (end?.right ?? 0)).toBeGreaterThan(0);
    expect((load?.left ?? 0) - (end?.right ?? 0)).toBeLessThan(60);
  });
});

describe('a section on several sheets', () => {
  const { sections } = drawCircuit(circuits.get('lid-lock-washer')!).ladder;
  const [section] = sections;
  if (section === undefined) throw new Error('the washer has a ladder');
  const layout = layOut(section, lettering, 0);

  test.each(layout.ends.slice(0, -1))(
    'cut at %s: both pieces have each thing once, and the lines that go on',
    (at) => {
      const pieces = [piece(layout, 0, at, lettering), piece(layout, at, layout.height, lettering)];
      const through = layout.lines.filter(({ y1, y2 }) => Math.min(y1, y2) < at && Math.max(y1, y2) > at);
      for (const each of pieces) {
        expect(each.passages.map(({ node }) => node).sort()).toEqual(through.map(({ node }) => node).sort());
        const texts = each.texts.map(boxOf);
        expect(overlaps(texts, texts)).toEqual([]);
        expect(overlaps(texts, each.lines.map(lineBox))).toEqual([]);
        for (const { y1, y2 } of each.lines) {
          expect(Math.min(y1, y2)).toBeGreaterThanOrEqual(0);
          expect(Math.max(y1, y2)).toBeLessThanOrEqual(each.height);
        }
      }
      expect(pieces.flatMap(({ symbols }) => symbols)).toHaveLength(layout.symbols.length);
      expect(pieces.flatMap(({ nodes }) => nodes)).toHaveLength(layout.nodes.length);
      expect(pieces.flatMap(({ texts }) => texts)).toHaveLength(layout.texts.length + 2 * through.length);
    },
  );
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
