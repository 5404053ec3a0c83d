import fc from 'fast-check';
import { expect, test } from 'vitest';
import { solveByLibrary } from './dense-by-library.js';
import { denseSystem, solveDense } from './dense-lu.js';

/** Against the LU of a general-purpose library (mathjs). */
test('the dense elimination of the tests gives what a library gives', () => {
  const part = fc.double({ min: -1, max: 1, noNaN: true });
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 6 }), fc.infiniteStream(part), (size, parts) => {
      const fill = () => {
        const system = denseSystem(size);
        for (const [row, each] of system.rows.entries()) {
          for (const [at, value] of numbers.slice(row * 2 * size, (row + 1) * 2 * size).entries())
            each[at] = value;
          each[2 * row]! += 3;
        }
        system.right.set(numbers.slice(2 * size * size));
        return system;
      };
      const numbers = [...parts.take(2 * size * size + 2 * size)];
      const [ours, theirs] = [solveDense(fill()), solveByLibrary(fill())];
      for (const [at, value] of theirs.entries()) expect(ours[at]).toBeCloseTo(value, 9);
    }),
    { numRuns: 100 },
  );
});
