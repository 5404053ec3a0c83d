import fc from 'fast-check';
import { Factor } from '../../../src/solve/kernel/factor.js';
import { solveSources } from '../../../src/solve/kernel/sources.js';
import { ground, planStructure, type Structure } from '../../../src/solve/kernel/structure.js';

/** A network as the kernel takes it: y in siemens (0 is absent), e in volts, ends by node or `ground`. */
export interface Network {
  readonly nodeCount: number;
  readonly branches: readonly TestBranch[];
}

export interface TestBranch {
  readonly from: number;
  readonly to: number;
  readonly yRe: number;
  readonly yIm: number;
  readonly eRe: number;
  readonly eIm: number;
}

export interface Arrays {
  readonly structure: Structure;
  readonly yRe: Float64Array;
  readonly yIm: Float64Array;
  readonly eRe: Float64Array;
  readonly eIm: Float64Array;
  readonly present: Uint8Array;
}

export interface Solution extends Arrays {
  readonly factor: Factor;
  readonly settled: boolean;
  readonly vRe: Float64Array;
  readonly vIm: Float64Array;
}

export function arraysOf(network: Network): Arrays {
  const { nodeCount, branches } = network;
  const ends = (pick: (branch: TestBranch) => number): Int32Array => Int32Array.from(branches, pick);
  const numbers = (pick: (branch: TestBranch) => number): Float64Array => Float64Array.from(branches, pick);
  return {
    structure: planStructure(
      nodeCount,
      ends((branch) => branch.from),
      ends((branch) => branch.to),
    ),
    yRe: numbers((branch) => branch.yRe),
    yIm: numbers((branch) => branch.yIm),
    eRe: numbers((branch) => branch.eRe),
    eIm: numbers((branch) => branch.eIm),
    present: Uint8Array.from(branches, (branch) => (branch.yRe === 0 && branch.yIm === 0 ? 0 : 1)),
  };
}

export function solveArrays(arrays: Arrays): Solution {
  const { structure, yRe, yIm, eRe, eIm } = arrays;
  const factor = new Factor(structure);
  factor.load(yRe, yIm);
  const vRe = new Float64Array(structure.nodeCount);
  const vIm = new Float64Array(structure.nodeCount);
  const settled = solveSources(factor, yRe, yIm, eRe, eIm, vRe, vIm);
  return { ...arrays, factor, settled, vRe, vIm };
}

export function solveNetwork(network: Network): Solution {
  return solveArrays(arraysOf(network));
}

/** A branch by its impedance in ohms and its EMF in volts. */
export function branch(from: number, to: number, ohms: number, reactanceOhms = 0, volts = 0): TestBranch {
  const square = ohms * ohms + reactanceOhms * reactanceOhms;
  return { from, to, yRe: ohms / square, yIm: -reactanceOhms / square, eRe: volts, eIm: 0 };
}

export function absent(from: number, to: number): TestBranch {
  return { from, to, yRe: 0, yIm: 0, eRe: 0, eIm: 0 };
}

/** What random branches are made of. */
export interface Mix {
  /** Powers of ten of the resistances in ohms. */
  readonly decades: readonly [number, number];
  readonly reactances: 'none' | 'inductive' | 'both';
}

const shapes = ['tree', 'ladder', 'grid'] as const;

/**
 * Near-trees, ladders and grids of 1 to `most` nodes with a few cross branches, parallel ones and ones with both ends
 * on one node among them; about one branch in six is absent and one in five has an EMF.
 */
export function networks(most: number, mix: Mix): fc.Arbitrary<Network> {
  return fc
    .record({
      shape: fc.constantFrom(...shapes),
      nodeCount: fc.integer({ min: 1, max: most }),
      earthed: fc.integer({ min: 0, max: 5 }),
      picks: fc.array(fc.nat(1_000_000), { minLength: most, maxLength: most }),
      crossings: fc.array(fc.tuple(fc.nat(most), fc.nat(most)), { maxLength: 5 }),
    })
    .chain((plan) => {
      const ends = endsOf(plan.shape, plan.nodeCount, plan.picks, plan.earthed === 0);
      for (const [a, b] of plan.crossings) ends.push([end(a, plan.nodeCount), end(b, plan.nodeCount)]);
      return fc
        .tuple(...ends.map(([from, to]) => branches(from, to, mix)))
        .map((each) => ({ nodeCount: plan.nodeCount, branches: each }));
    });
}

function end(pick: number, nodeCount: number): number {
  return (pick % (nodeCount + 1)) - 1;
}

function endsOf(
  shape: (typeof shapes)[number],
  nodeCount: number,
  picks: readonly number[],
  unearthed: boolean,
): [number, number][] {
  const ends: [number, number][] = [];
  if (!unearthed) ends.push([ground, 0]);
  for (let i = 1; i < nodeCount; i += 1) {
    if (shape === 'tree') ends.push([picks[i]! % i, i]);
    else if (shape === 'ladder') {
      ends.push([Math.max(0, i - 2), i]);
      if (i % 2 === 1) ends.push([i - 1, i]);
    } else {
      if (i % 3 !== 0) ends.push([i - 1, i]);
      if (i >= 3) ends.push([i - 3, i]);
    }
  }
  return ends;
}

/** A random branch between two given ends. */
export function branches(from: number, to: number, mix: Mix): fc.Arbitrary<TestBranch> {
  const [low, high] = mix.decades;
  return fc
    .record({
      percentDecade: fc.integer({ min: 100 * low, max: 100 * high }),
      kind: fc.nat(5),
      quality: fc.integer({ min: 1, max: 100 }),
      source: fc.nat(4),
      decivolts: fc.integer({ min: -2400, max: 2400 }),
      degrees: fc.integer({ min: 0, max: 359 }),
    })
    .map(({ percentDecade, kind, quality, source, decivolts, degrees }) => {
      if (kind === 0) return absent(from, to);
      const ohms = 10 ** (percentDecade / 100);
      const sign =
        mix.reactances === 'none' || kind < 3 ? 0 : mix.reactances === 'both' && kind === 3 ? -1 : 1;
      const made = branch(from, to, ohms, (sign * quality * ohms) / 10);
      if (source !== 0) return made;
      const volts = decivolts / 10;
      if (mix.reactances === 'none') return { ...made, eRe: volts };
      const radians = (degrees * Math.PI) / 180;
      return { ...made, eRe: volts * Math.cos(radians), eIm: volts * Math.sin(radians) };
    });
}

/** Islands the slow way: label of each node by spreading from ground, then from each node not yet reached. */
export function islandsByHand(
  network: Network,
  isPresent: (index: number) => boolean = () => true,
): number[] {
  const labels = new Array<number>(network.nodeCount).fill(-1);
  const spread = (start: number, label: number): void => {
    const reached = new Set([start]);
    for (let before = 0; before !== reached.size; ) {
      before = reached.size;
      network.branches.forEach((each, index) => {
        if ((each.yRe === 0 && each.yIm === 0) || !isPresent(index)) return;
        if (reached.has(each.from)) reached.add(each.to);
        if (reached.has(each.to)) reached.add(each.from);
      });
    }
    for (const node of reached) if (node !== ground) labels[node] = label;
  };
  spread(ground, 0);
  let next = 1;
  for (let i = 0; i < network.nodeCount; i += 1) if (labels[i] === -1) spread(i, next++);
  return labels;
}

export interface Volts {
  readonly re: number;
  readonly im: number;
}

/** Volts by node, in each island that ground does not reach against that island's first node. */
export function referencedVolts(network: Network, vRe: Float64Array, vIm: Float64Array): Volts[] {
  const labels = islandsByHand(network);
  const zeros = new Map(firstNodes(labels).map((node) => [labels[node]!, node]));
  return labels.map((label, node) => {
    const zero = zeros.get(label);
    return {
      re: vRe[node]! - (zero === undefined ? 0 : vRe[zero]!),
      im: vIm[node]! - (zero === undefined ? 0 : vIm[zero]!),
    };
  });
}

/** First node of each island that ground does not reach. */
export function firstNodes(labels: readonly number[]): number[] {
  return labels.flatMap((label, node) => (label > 0 && labels.indexOf(label) === node ? [node] : []));
}

export function worstDifference(a: readonly Volts[], b: readonly Volts[]): number {
  return Math.max(0, ...a.map((each, i) => Math.hypot(each.re - b[i]!.re, each.im - b[i]!.im)));
}

/** Volts by node, each component for itself, as the kernel keeps them. */
export interface Column {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** Y^-1 (e_a - e_b): the volts that 1 A put in at a and drawn out at b makes. Both in one island. */
export function columnOf(factor: Factor, a: number, b: number): Column {
  const { nodeCount } = factor.structure;
  const column = { re: new Float64Array(nodeCount), im: new Float64Array(nodeCount) };
  if (a !== ground) column.re[a]! += 1;
  if (b !== ground) column.re[b]! -= 1;
  factor.solve(column.re, column.im);
  return column;
}

/** Volts from a to b. */
export function across({ re, im }: Column, a: number, b: number): Volts {
  const drop = (v: Float64Array): number => (a === ground ? 0 : v[a]!) - (b === ground ? 0 : v[b]!);
  return { re: drop(re), im: drop(im) };
}

/** Amps through a branch from `from` to `to`, y (v_from - v_to + e). */
export function ampsOf(each: TestBranch, volts: Column): Volts {
  const drop = across(volts, each.from, each.to);
  const [re, im] = [drop.re + each.eRe, drop.im + each.eIm];
  return { re: each.yRe * re - each.yIm * im, im: each.yRe * im + each.yIm * re };
}

/** Largest EMF of a network, at least 1 V: what errors are to be measured against. */
export function largestEmf(network: Network): number {
  return Math.max(1, ...network.branches.map((each) => Math.hypot(each.eRe, each.eIm)));
}
