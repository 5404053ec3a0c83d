/**
 * Large networks, cold: a process that orders, factors and solves a near-tree or a grid of 1e5 nodes, and one that
 * validates a circuit file as large as files may be in its longest list, as multiples of `node -e 0`; and how memory grows.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { Factor } from '../../src/solve/kernel/factor.js';
import { solveSources } from '../../src/solve/kernel/sources.js';
import { ground, planStructure } from '../../src/solve/kernel/structure.js';
import { besideEmptyRun } from './empty-run.js';
import { type Ratio, report, spreadOf } from './ratios.js';
import { syntheticCircuit } from './synthetic-circuit.js';

const shapes = ['near-tree', 'grid'] as const;
type Shape = (typeof shapes)[number];
const bars: Readonly<Record<Shape, number>> = { 'near-tree': 8, grid: 30 };

/** Ends of resistors of 1 ohm, with every twentieth node of the near-tree joined to one more, and all loads to one neutral. */
function endsOf(shape: Shape, nodes: number): { from: Int32Array; to: Int32Array } {
  const from: number[] = [ground];
  const to: number[] = [0];
  const join = (a: number, b: number) => {
    from.push(a);
    to.push(b);
  };
  const side = Math.round(Math.sqrt(nodes));
  for (let node = 1; node < nodes; node += 1) {
    if (shape === 'near-tree') {
      join(Math.floor((node * 7919) % node), node);
      if (node % 20 === 0) join(Math.floor(node / 3), node);
    } else {
      if (node % side !== 0) join(node - 1, node);
      if (node >= side) join(node - side, node);
    }
  }
  return { from: Int32Array.from(from), to: Int32Array.from(to) };
}

function solveOnce(shape: Shape, nodes: number): void {
  const { from, to } = endsOf(shape, nodes);
  const branches = from.length;
  const [yRe, yIm, eRe, eIm] = [0, 1, 2, 3].map(() => new Float64Array(branches)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  yRe.fill(1);
  eRe[0] = 120;
  const factor = new Factor(planStructure(nodes, from, to));
  factor.load(yRe, yIm);
  solveSources(factor, yRe, yIm, eRe, eIm, new Float64Array(nodes), new Float64Array(nodes));
  console.log(process.memoryUsage.rss());
}

function bytesOf(shape: Shape, nodes: number): number {
  const { stdout } = spawnSync(process.execPath, [__filename, shape, String(nodes)], { encoding: 'utf8' });
  return Number(stdout);
}

function measure(): void {
  const folder = mkdtempSync(join(tmpdir(), 'loadside-bench-'));
  try {
    const large = join(folder, 'large.circuit.yaml');
    writeFileSync(large, syntheticCircuit(5_900));
    const solves = besideEmptyRun(
      shapes.map((shape) => [__filename, shape, '100000']),
      7,
    );
    const ratios = shapes.map(
      (shape, index): Ratio => ({
        what: `${shape} of 1e5 nodes, solved cold`,
        of: 'x node -e 0',
        ...solves[index]!,
        bar: bars[shape],
        better: 'less',
      }),
    );
    const [empty] = [bytesOf('near-tree', 1)];
    const growth = shapes.map((shape): Ratio => {
      const grown = (nodes: number) => bytesOf(shape, nodes) - empty;
      return {
        what: `${shape}, memory of 1e5 nodes`,
        of: 'x that of 1e4',
        ...spreadOf([0, 1, 2].map(() => grown(100_000) / grown(10_000))),
        better: 'less',
      };
    });
    const [validated] = besideEmptyRun([[resolve('bin/loadside.js'), 'validate', large]], 3);
    const validate: Ratio = {
      what: 'validate, 5,900 nodes, 4,096 states',
      of: 'x node -e 0',
      ...validated!,
      better: 'less',
    };
    report('scale', [...ratios, ...growth, validate]);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const [shape, nodes] = process.argv.slice(2);
const asked = shapes.find((each) => each === shape);
if (asked === undefined) measure();
else solveOnce(asked, Number(nodes));
