import { expect, test } from 'vitest';
import { listReconnections } from '../../src/diagnose/diagnose.js';
import { faceOf } from '../../src/report/connector-face.js';
import { build, circuitOf, mains } from '../circuit/open.js';

const plug = (face: string) => `${mains}loads:
  R: { kind: lamp, between: [Jb.1, Jb.2], resistance: 100 ohm }
connectors:
  J: { pins: 4, sides: [Jh, Jb]${face} }
wires:
  - { from: MAINS.L, to: Jh.1, colour: black }
  - { from: MAINS.N, to: Jh.2, colour: white }
  - { from: MAINS.L, to: Jh.3, colour: red }
`;

/** The pins of each side's face as they are seen, row by row. */
function facesOf(face: string): (string[] | undefined)[] {
  const { rows } = listReconnections(circuitOf(plug(face)), 'J');
  return rows.map((row) =>
    faceOf(row)
      ?.lines({ width: 80, ascii: true })
      .filter((line) => /\d/.test(line)),
  );
}

/** Two faces that meet are mirror images (geometry): what is left on the one is right on the other. */
test('the side it plugs into has the order of the wires behind the face', () => {
  const pins = (lines: string[] | undefined) => (lines ?? []).map((line) => line.match(/\d+/g)?.join(' '));
  const [wires, board] = facesOf(', face: { seen-from: wire-side, rows: [[1, 2], [3, 4]] }').map(pins);
  expect([wires, board]).toEqual([
    ['1 2', '3 4'],
    ['1 2', '3 4'],
  ]);
  const [mating, socket] = facesOf(', face: { seen-from: mating-side, rows: [[1, 2], [3, 4]] }').map(pins);
  expect([mating, socket]).toEqual([
    ['1 2', '3 4'],
    ['2 1', '4 3'],
  ]);
  expect(facesOf(', face: { seen-from: wire-side }').map(pins)[0]).toEqual(['1 2 3 4']);
});

test('without a word on it the pins stand in order and the figure says that nothing is known of the rest', () => {
  const [row] = listReconnections(circuitOf(plug('')), 'J').rows;
  expect(faceOf(row!)?.caption).toContain('does not say');
  const [known] = listReconnections(circuitOf(plug(', face: { seen-from: wire-side }')), 'J').rows;
  expect(faceOf(known!)?.caption).toContain('from the wire side');
});

test.each([
  ['[[1, 2], [3]]', 'face-incomplete'],
  ['[[1, 2], [3, 5]]', 'face-pin'],
  ['[[1, 2], [3, 3]]', 'face-pin'],
])('%s is told once: %s', (rows, code) => {
  const { problems } = build(plug(`, face: { seen-from: wire-side, rows: ${rows} }`));
  expect(problems.map((problem) => problem.code).filter((each) => each.startsWith('face'))).toEqual([code]);
});
