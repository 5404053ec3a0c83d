import { expect, test } from 'vitest';
import { readCircuitFile } from '../../src/text/text.js';

const read = (text: string) => readCircuitFile({ name: 'c.yaml', text: `loadside: circuit/1\n${text}` });

test('a misspelt key and a misspelt choice are put right, and the rest of the file can be looked at', () => {
  const { file, mended, problems } = read(`loads:
  A: { kind: lmap, betwen: [X, Y], resistance: 5 ohm }
  B: { kind: lamp, between: [X, Y], resistance: 5 ohm }
`);
  expect(file).toBeUndefined();
  expect(problems.map(({ code }) => code)).toEqual(['value-choice', 'key-unknown']);
  expect(mended?.raw.loads?.['A']).toEqual({ kind: 'lamp', between: ['X', 'Y'], resistance: '5 ohm' });
  expect([...(mended?.omitted ?? [])]).toEqual([]);
});

test('a number that a comma tore apart is one mistake', () => {
  const { mended, problems } = read('loads:\n  A: { kind: lamp, between: [X, Y], resistance: 5,5 ohm }\n');
  expect(problems.map(({ code }) => code)).toEqual(['key-unknown']);
  expect(mended?.raw.loads?.['A']).toEqual({ kind: 'lamp', between: ['X', 'Y'], resistance: '5.5 ohm' });
});

test('what cannot be put right is left out with all its names, and other items keep their places', () => {
  const { mended } = read(`loads:
  A: { kind: lamp, between: [A.1, SP1] }
  B: { kind: lamp, between: 7 }
wires:
  - { from: A.1 }
  - { from: SP1, to: B.1 }
`);
  expect(Object.keys(mended?.raw.loads ?? {})).toEqual(['A']);
  expect(mended?.raw.wires?.map((wire) => wire?.to)).toEqual([undefined, 'B.1']);
  expect([...(mended?.omitted ?? [])].sort()).toEqual(['A', 'A.1', 'B', 'lamp']);
});

test('a key put right that uncovers a wrong value is not built on', () => {
  expect(read('loads:\n  A: { kind: lamp, betwen: 7, resistance: 5 ohm }\n').mended).toBeUndefined();
});

test('a file of another kind is not looked into', () => {
  const { mended, problems } = readCircuitFile({
    name: 'c.yaml',
    text: 'loadside: readings/1\nreadings: []\n',
  });
  expect([mended, problems.length]).toEqual([undefined, 1]);
});
