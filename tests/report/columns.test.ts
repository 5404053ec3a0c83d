import { describe, expect, test } from 'vitest';
import { columnsOf, wrapped } from '../../src/report/columns.js';

test.each([
  ['', 0],
  ['CTL.4', 5],
  ['4.7 k\u03A9', 6],
  ['\u51B0\u7BB1', 4],
  ['\uFF21', 2],
  ['\u{1F527}', 2],
  ['e\u0301', 1],
  ['\uD55C', 2],
])('%j takes %d columns', (text, columns) => {
  expect(columnsOf(text)).toBe(columns);
});

describe('wrapped', () => {
  test('breaks at blanks, never in a word', () => {
    expect(wrapped('one two three four', 9)).toEqual(['one two', 'three', 'four']);
    expect(wrapped('a verylongword b', 6)).toEqual(['a', 'verylongword', 'b']);
  });

  test('fills a line to its last column', () => {
    expect(wrapped('one two', 7)).toEqual(['one two']);
    expect(wrapped('one two', 6)).toEqual(['one', 'two']);
  });

  test('counts columns, not characters', () => {
    expect(wrapped('\u51B0\u7BB1 \u51B0', 6)).toEqual(['\u51B0\u7BB1', '\u51B0']);
  });
});
