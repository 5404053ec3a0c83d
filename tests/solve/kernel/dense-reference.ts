import { all, type BigNumber, type Complex, create, type Matrix } from 'mathjs';
import { firstNodes, islandsByHand, type Network, type TestBranch, type Volts } from './networks.js';

/**
 * A second way to the volts of a network, which shares nothing with the kernel: modified nodal analysis with the
 * current of every branch that has an EMF as an unknown of its own, solved by dense LU with partial pivoting (mathjs).
 *
 *   at each node     sum of y (v_from - v_to) over branches without EMF + sum of source currents i = 0
 *   at each source   v_from - v_to - i / y = -e
 *
 * In an island that ground does not reach, the equation of its first node is replaced by v = 0.
 */

// The library takes numbers below its tolerances for 0 while it substitutes; a network's are to be kept.
const math = create(all!, { relTol: 1e-300, absTol: 1e-300 });
const precise = create(all!, { number: 'BigNumber', precision: 64, relTol: 1e-300, absTol: 1e-300 });

/** Volts by node in double precision. */
export function denseVolts(network: Network): Volts[] {
  const { sources, size, labels } = unknowns(network);
  const rows: Complex[][] = Array.from({ length: size }, () =>
    Array.from({ length: size }, () => math.complex(0, 0)),
  );
  const right: Complex[] = Array.from({ length: size }, () => math.complex(0, 0));
  const add = (row: number, column: number, value: Complex): void => {
    if (row >= 0 && column >= 0) rows[row]![column] = math.add(rows[row]![column]!, value) as Complex;
  };
  const one = math.complex(1, 0);
  const minusOne = math.complex(-1, 0);
  for (const each of network.branches) {
    if (isAbsent(each) || hasSource(each)) continue;
    const y = math.complex(each.yRe, each.yIm);
    const minus = math.complex(-each.yRe, -each.yIm);
    add(each.from, each.from, y);
    add(each.to, each.to, y);
    add(each.from, each.to, minus);
    add(each.to, each.from, minus);
  }
  sources.forEach((each, index) => {
    const row = network.nodeCount + index;
    add(each.from, row, one);
    add(each.to, row, minusOne);
    add(row, each.from, one);
    add(row, each.to, minusOne);
    add(row, row, math.divide(minusOne, math.complex(each.yRe, each.yIm)) as Complex);
    right[row] = math.complex(-each.eRe, -each.eIm);
  });
  for (const node of firstNodes(labels)) {
    rows[node] = rows[node]!.map((_, column) => (column === node ? one : math.complex(0, 0)));
  }
  // A component that is 0 comes back as a plain number.
  const solution = (math.lusolve(math.matrix(rows), right) as Matrix).toArray() as (Complex | number)[][];
  return solution.slice(0, network.nodeCount).map(([value]) => {
    const { re, im } = math.complex(value!);
    return { re, im };
  });
}

/** Volts by node, and amps by branch from `from` to `to`, of a network without reactance, to 64 digits. */
export function preciseSolution(network: Network): { volts: BigNumber[]; amps: BigNumber[] } {
  const { sources, size, labels } = unknowns(network);
  const zero = precise.bignumber(0);
  const one = precise.bignumber(1);
  const rows: BigNumber[][] = Array.from({ length: size }, () => Array.from({ length: size }, () => zero));
  const right: BigNumber[] = Array.from({ length: size }, () => zero);
  const add = (row: number, column: number, value: BigNumber): void => {
    if (row >= 0 && column >= 0) rows[row]![column] = rows[row]![column]!.plus(value);
  };
  for (const each of network.branches) {
    if (isAbsent(each) || hasSource(each)) continue;
    const y = precise.bignumber(each.yRe);
    add(each.from, each.from, y);
    add(each.to, each.to, y);
    add(each.from, each.to, y.negated());
    add(each.to, each.from, y.negated());
  }
  sources.forEach((each, index) => {
    const row = network.nodeCount + index;
    add(each.from, row, one);
    add(each.to, row, one.negated());
    add(row, each.from, one);
    add(row, each.to, one.negated());
    add(row, row, one.div(precise.bignumber(each.yRe)).negated());
    right[row] = precise.bignumber(-each.eRe);
  });
  for (const node of firstNodes(labels))
    rows[node] = rows[node]!.map((_, column) => (column === node ? one : zero));
  const solution = (precise.lusolve(precise.matrix(rows), right) as Matrix).toArray() as BigNumber[][];
  const volts = solution.slice(0, network.nodeCount).map(([value]) => precise.bignumber(value!));
  const at = (node: number): BigNumber => (node < 0 ? zero : volts[node]!);
  const amps = network.branches.map((each) =>
    precise.bignumber(each.yRe).times(at(each.from).minus(at(each.to)).plus(precise.bignumber(each.eRe))),
  );
  return { volts, amps };
}

/** A x = b with A by rows, to 64 digits. */
export function preciseSolve(a: readonly (readonly number[])[], b: readonly number[]): BigNumber[] {
  const rows = a.map((row) => row.map((each) => precise.bignumber(each)));
  const right = b.map((each) => precise.bignumber(each));
  const solution = (precise.lusolve(precise.matrix(rows), right) as Matrix).toArray() as BigNumber[][];
  return solution.map(([value]) => precise.bignumber(value!));
}

function unknowns(network: Network): { sources: TestBranch[]; size: number; labels: number[] } {
  const sources = network.branches.filter(
    (each) => !isAbsent(each) && hasSource(each) && each.from !== each.to,
  );
  return { sources, size: network.nodeCount + sources.length, labels: islandsByHand(network) };
}

function isAbsent(each: TestBranch): boolean {
  return each.yRe === 0 && each.yIm === 0;
}

function hasSource(each: TestBranch): boolean {
  return each.eRe !== 0 || each.eIm !== 0;
}
