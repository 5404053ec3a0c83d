import { expect, test } from 'vitest';
import { numbersFrom, seedOf } from '../../src/practice/random.js';

/** Numerical Recipes in C, 2nd edition, section 7.1, "quick and dirty" generator, first values from 0 (from memory). */
test('the generator gives the published numbers', () => {
  const next = numbersFrom(0);
  const first = Array.from({ length: 5 }, () => Math.round(next() * 2 ** 32).toString(16));
  expect(first).toEqual(['3c6ef35f', '47502932', 'd1ccf6e9', 'aaf95334', '6252e503']);
});

/** FNV-1a, 32 bits, from its usual offset: test vectors of the FNV reference code (from memory). */
test('seeds of names are FNV-1a from the seed on', () => {
  expect(seedOf('a', 2_166_136_261)).toBe(0xe40c292c);
  expect(seedOf('foobar', 2_166_136_261)).toBe(0xbf9cf968);
});
