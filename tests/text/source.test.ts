import { expect, test } from 'vitest';
import { placeOf } from '../../src/text/text.js';

const source = { name: 'a', text: 'one\ntwo\r\nthree\rfour' };

test.each([
  [0, 1, 1],
  [3, 1, 4],
  [4, 2, 1],
  [8, 2, 5],
  [9, 3, 1],
  [15, 4, 1],
  [19, 4, 5],
  [999, 4, 5],
])('offset %i is line %i, column %i, whatever ends the lines', (offset, line, column) => {
  expect(placeOf(source, offset)).toEqual({ line, column });
});
