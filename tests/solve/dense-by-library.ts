import { all, type Complex, create, type Matrix } from 'mathjs';
import type { DenseSystem } from './dense-lu.js';

// The library takes numbers below its tolerances for 0 while it substitutes; a circuit's are to be kept.
const math = create(all!, { relTol: 1e-300, absTol: 1e-300 });

/** A x = b by dense LU of mathjs. */
export function solveByLibrary({ rows, right }: DenseSystem): Float64Array {
  const complexes = (parts: Float64Array) =>
    Array.from({ length: parts.length / 2 }, (_, at) => math.complex(parts[2 * at]!, parts[2 * at + 1]!));
  const solution = math.lusolve(math.matrix(rows.map(complexes)), complexes(right)) as Matrix;
  // A component that is 0 comes back as a plain number.
  return Float64Array.from(
    (solution.toArray() as (Complex | number)[][]).flatMap(([value]) => {
      const { re, im } = math.complex(value!);
      return [re, im];
    }),
  );
}
