import type { Branch } from '../../src/circuit/branch.js';
import type { Transformer } from '../../src/circuit/model.js';
import { type DenseSystem, denseSystem } from './dense-lu.js';

/**
 * A second way to the volts of a circuit, which shares nothing with the solver: every branch current is an unknown,
 * and the windings of a core are coupled coils with an impedance matrix, to be solved by a dense matrix.
 *
 *   at each node           sum of currents = 0
 *   at each plain branch   v_from - v_to - z i = -e
 *   at each winding k      v_from - v_to - z_k i_k - n_k j Xm sum of n_m i_m = 0
 *
 * The first node of an island that the common reference does not reach is at 0 V. Unknowns are the volts of nodes, then
 * the amps of branches in the order given.
 */
export function denseCircuit(
  nodes: number,
  branches: readonly Branch[],
  transformers: readonly Transformer[],
  hertz: number,
  own: number,
): DenseSystem {
  const system = denseSystem(nodes + branches.length);
  const { rows, right } = system;
  const add = (row: number, column: number, re: number, im = 0) => {
    if (row < 0 || column < 0) return;
    rows[row]![2 * column]! += re;
    rows[row]![2 * column + 1]! += im;
  };
  const currentOf = new Map(branches.map((branch, index) => [branch.index, nodes + index]));
  for (const [index, branch] of branches.entries()) {
    const row = nodes + index;
    const { ohms, reactanceOhms, farads } = branch.impedance;
    add(branch.from, row, 1);
    add(branch.to, row, -1);
    add(row, branch.from, 1);
    add(row, branch.to, -1);
    const capacitive = farads === undefined ? 0 : 1 / (2 * Math.PI * hertz * farads);
    add(row, row, -ohms, -((own === 0 ? 0 : (reactanceOhms * hertz) / own) - capacitive));
    if (branch.emf !== undefined && branch.emf.hertz === hertz) {
      const angle = (branch.emf.degrees * Math.PI) / 180;
      right[2 * row] = -branch.emf.volts * Math.cos(angle);
      right[2 * row + 1] = -branch.emf.volts * Math.sin(angle);
    }
    if (branch.winding === undefined || hertz === 0) continue;
    const core = transformers[branch.winding.transformer]!;
    for (const other of branches) {
      if (other.winding?.transformer !== branch.winding.transformer) continue;
      const coupled = (-branch.winding.turns * other.winding.turns * core.magnetisingOhms * hertz) / own;
      add(row, currentOf.get(other.index)!, 0, coupled);
    }
  }
  for (const node of firstNodes(nodes, branches)) {
    rows[node]!.fill(0);
    rows[node]![2 * node] = 1;
    right[2 * node] = 0;
    right[2 * node + 1] = 0;
  }
  return system;
}

/** For each node the first node of its island; -1 where the common reference reaches it. */
export function islandLabels(
  nodes: number,
  branches: readonly { readonly from: number; readonly to: number }[],
): number[] {
  const label = Array.from({ length: nodes }, (_, index) => index);
  const labelOf = (node: number) => (node < 0 ? -1 : label[node]!);
  for (let changed = true; changed; ) {
    changed = false;
    for (const { from, to } of branches) {
      const least = Math.min(labelOf(from), labelOf(to));
      for (const node of [from, to]) {
        if (labelOf(node) === least) continue;
        label[node] = least;
        changed = true;
      }
    }
  }
  return label;
}

function firstNodes(nodes: number, branches: readonly Branch[]): number[] {
  return islandLabels(nodes, branches).flatMap((label, node) => (label === node ? node : []));
}
