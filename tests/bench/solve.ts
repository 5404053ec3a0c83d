/**
 * One solve of a state, one solve after another state, and one with everything made anew, beside general-purpose
 * sparse LU (mathjs `slu` with `lusolve`) on the same nodal matrix. Ratios are what counts: times are this machine's.
 * Not part of the tests, and never a reason for a build to fail: `npm run bench`.
 */
import { all, create, type MathJsInstance, type Matrix } from 'mathjs';
import { buildCircuit, type Circuit, restState, type State, withSetting } from '../../src/circuit/circuit.js';
import { Factor } from '../../src/solve/kernel/factor.js';
import { solveSources } from '../../src/solve/kernel/sources.js';
import { operate } from '../../src/solve/operating-point.js';
import { planCircuit } from '../../src/solve/solve.js';
import { readCircuitFile } from '../../src/text/text.js';
import { microseconds, type Timing } from './median.js';
import { type Ratio, report } from './ratios.js';
import { syntheticCircuit } from './synthetic-circuit.js';

const math: MathJsInstance = create(all!);

function openCircuit(text: string): Circuit {
  const { file } = readCircuitFile({ name: 'synthetic', text });
  const circuit = file && buildCircuit(file.document, file.raw).circuit;
  if (circuit === undefined) throw new Error('the synthetic circuit does not build');
  return circuit;
}

/** The nodal matrix and the currents put in, dense by rows, of the state at hand: what any other solver would be given. */
function nodalSystem(circuit: Circuit, state: State): { matrix: Matrix; right: Matrix } {
  const operation = operate(planCircuit(circuit), state);
  if (operation.kind !== 'steady') throw new Error(operation.kind);
  const { phasors } = operation.point;
  const [phasor] = phasors;
  if (phasor === undefined) throw new Error('no frequency');
  const n = circuit.nodes.length;
  const rows = Array.from({ length: n }, () => new Array(n).fill(0));
  const right = new Array(n).fill(0);
  const add = (row: number, column: number, value: unknown) => {
    if (row >= 0 && column >= 0) rows[row]![column] = math.add(rows[row]![column], value as number);
  };
  for (const { index, from, to } of circuit.branches) {
    const y = math.complex(phasor.y.re[index]!, phasor.y.im[index]!);
    if (y.re === 0 && y.im === 0) continue;
    add(from, from, y);
    add(to, to, y);
    add(from, to, math.unaryMinus(y));
    add(to, from, math.unaryMinus(y));
    const drive = math.multiply(y, math.complex(phasor.emf.re[index]!, phasor.emf.im[index]!));
    if (from >= 0) right[from] = math.subtract(right[from], drive);
    if (to >= 0) right[to] = math.add(right[to], drive);
  }
  // A node that nothing conducts to would make the matrix singular.
  for (let node = 0; node < n; node += 1) if (rows[node]![node] === 0) rows[node]![node] = 1;
  return { matrix: math.sparse(rows), right: math.matrix(right) };
}

/** How many times as fast, from medians; the ends from one's fastest and the other's slowest round. */
function faster(
  what: string,
  than: Timing,
  { median, least, most }: Timing,
  of: string,
  bar?: number,
): Ratio {
  return {
    what,
    of: `times as fast as ${of}`,
    median: than.median / median,
    least: than.least / most,
    most: than.most / least,
    ...(bar === undefined ? {} : { bar }),
    better: 'more',
  };
}

const reference150 = 300;
const anew150 = 20;

const ratios: Ratio[] = [];
for (const size of [20, 60, 150, 300]) {
  const circuit = openCircuit(syntheticCircuit(size));
  const rest = restState(circuit);
  const other = withSetting(rest, 'W0', 'off');
  const plan = planCircuit(circuit);
  const operation = operate(plan, rest);
  if (operation.kind !== 'steady') throw new Error(operation.kind);
  const { y, emf } = operation.point.phasors[0]!;
  const factor = new Factor(plan.structure);
  const n = circuit.nodes.length;
  const [re, im] = [new Float64Array(n), new Float64Array(n)];
  const kernel = microseconds(() => {
    factor.load(y.re, y.im);
    solveSources(factor, y.re, y.im, emf.re, emf.im, re, im);
  });
  let turn = false;
  const state = microseconds(
    () => {
      turn = !turn;
      operate(plan, turn ? other : rest);
    },
    21,
    50,
  );
  const anew = microseconds(
    () => {
      operate(planCircuit(circuit), rest);
    },
    11,
    10,
  );
  const { matrix, right } = nodalSystem(circuit, rest);
  const reference = microseconds(
    () => {
      math.lusolve(math.slu(matrix as never, 2, 0.001) as never, right);
    },
    5,
    2,
  );
  const sparse = 'sparse LU of mathjs';
  const at150 = size === 150;
  ratios.push(
    faster(
      `one state, load, factor and solve, ${n} nodes`,
      reference,
      kernel,
      sparse,
      at150 ? reference150 : undefined,
    ),
    faster(`one state with islands and checks, ${n} nodes`, reference, state, sparse),
    faster(
      `one state, load, factor and solve, ${n} nodes`,
      anew,
      kernel,
      'with order and pattern made anew',
      at150 ? anew150 : undefined,
    ),
  );
}
report('solve', ratios);
