import { all, type Complex, create, type Matrix } from 'mathjs';
import type { Circuit } from '../../src/circuit/circuit.js';

/**
 * A second way to the volts of a circuit with transformers, which shares nothing with the solver: every branch current
 * is an unknown, and the windings of a core are coupled coils with an impedance matrix, solved by dense LU (mathjs).
 *
 *   at each node           sum of currents = 0
 *   at each plain branch   v_from - v_to - z i = -e
 *   at each winding k      v_from - v_to - z_k i_k - n_k j Xm sum of n_m i_m = 0
 *
 * The first node of an island that the common reference does not reach is at 0 V.
 */

const math = create(all!, { relTol: 1e-300, absTol: 1e-300 });

export interface DenseVolts {
  readonly re: number;
  readonly im: number;
}

/** `conducts` by branch; parts have the impedance that the circuit gives them at `hertz`, reactances stated at `own`. */
export function denseCircuitVolts(
  circuit: Circuit,
  conducts: (branch: number) => boolean,
  hertz: number,
  own: number,
): DenseVolts[] {
  const present = circuit.branches.filter(
    ({ index, impedance }) => conducts(index) && !(hertz === 0 && impedance.farads !== undefined),
  );
  const nodes = circuit.nodes.length;
  const size = nodes + present.length;
  const rows = Array.from({ length: size }, () => new Array<Complex>(size).fill(math.complex(0, 0)));
  const right = new Array<Complex>(size).fill(math.complex(0, 0));
  const set = (row: number, column: number, re: number, im = 0) => {
    if (column < 0) return;
    rows[row]![column] = math.add(rows[row]![column]!, math.complex(re, im)) as Complex;
  };
  const currentOf = new Map(present.map((branch, index) => [branch.index, nodes + index]));
  for (const branch of present) {
    const row = currentOf.get(branch.index)!;
    const { ohms, reactanceOhms, farads } = branch.impedance;
    if (branch.from >= 0) set(branch.from, row, 1);
    if (branch.to >= 0) set(branch.to, row, -1);
    set(row, branch.from, 1);
    set(row, branch.to, -1);
    const capacitive = farads === undefined ? 0 : 1 / (2 * Math.PI * hertz * farads);
    set(row, row, -ohms, -((own === 0 ? 0 : (reactanceOhms * hertz) / own) - capacitive));
    if (branch.emf !== undefined && branch.emf.hertz === hertz) {
      const angle = (branch.emf.degrees * Math.PI) / 180;
      right[row] = math.complex(-branch.emf.volts * Math.cos(angle), -branch.emf.volts * Math.sin(angle));
    }
    if (branch.winding === undefined || hertz === 0) continue;
    const core = circuit.transformers[branch.winding.transformer]!;
    for (const other of core.windings) {
      const column = currentOf.get(other);
      const turns = circuit.branches[other]!.winding!.turns;
      if (column !== undefined)
        set(row, column, 0, (-branch.winding.turns * turns * core.magnetisingOhms * hertz) / own);
    }
  }
  for (const node of firstNodes(circuit, present)) {
    rows[node] = new Array<Complex>(size).fill(math.complex(0, 0));
    set(node, node, 1);
    right[node] = math.complex(0, 0);
  }
  const solution = (math.lusolve(math.matrix(rows), right) as Matrix).toArray() as (Complex | number)[][];
  return solution.slice(0, nodes).map(([value]) => {
    const { re, im } = math.complex(value!);
    return { re, im };
  });
}

/** The first node of each island that the reference (-1) does not reach. */
function firstNodes(
  circuit: Circuit,
  present: readonly { readonly from: number; readonly to: number }[],
): number[] {
  const label = circuit.nodes.map(({ index }) => index);
  const labelOf = (node: number) => (node < 0 ? -1 : label[node]!);
  for (let changed = true; changed; ) {
    changed = false;
    for (const { from, to } of present) {
      const least = Math.min(labelOf(from), labelOf(to));
      for (const node of [from, to]) {
        if (labelOf(node) === least) continue;
        label[node] = least;
        changed = true;
      }
    }
  }
  return circuit.nodes.map(({ index }) => index).filter((node) => label[node] === node);
}
