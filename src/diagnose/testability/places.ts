import type { Circuit, CircuitNode } from '../../circuit/circuit.js';
import { usualBlack } from '../expect.js';
import { componentsOf } from './components.js';

/** Where both leads go. */
export interface Place {
  readonly red: number;
  readonly black: number;
  /** A test point against its section's black lead, or across a part. */
  readonly kind: 'point' | 'across';
  /** The one node of the two that nobody reaches. */
  readonly needs?: number;
}

export interface Places {
  readonly places: readonly Place[];
  /** One black lead for each section: nothing joins a transformer's secondary, or a battery, to the mains. */
  readonly blacks: readonly number[];
}

/**
 * Where a technician reads volts: every test point against one black lead, and across every part of which both ends can
 * be reached. Places that one more test point would give come with it in `needs`. Hazardous nodes never occur.
 */
export function placesIn(circuit: Circuit): Places {
  const sections = sectionsOf(circuit);
  const blacks = blacksOf(circuit, sections);
  // A supply's own zero stands inside it, where no probe gets.
  const inside = new Set(circuit.branches.flatMap(({ role, from }) => (role === 'source' ? from : [])));
  const places: Place[] = [];
  const met = new Set<string>();
  const add = (red: CircuitNode | undefined, black: CircuitNode | undefined, kind: Place['kind']) => {
    if (red === undefined || black === undefined || red === black) return;
    if ([red, black].some((node) => node.hazard !== undefined || inside.has(node.index))) return;
    const key = [red.index, black.index].sort((a, b) => a - b).join(' ');
    const [needs, second] = [red, black].filter((node) => !node.reachable);
    if (second !== undefined || met.has(key)) return;
    met.add(key);
    const where = { red: red.index, black: black.index, kind };
    places.push(needs === undefined ? where : { ...where, needs: needs.index });
  };
  for (const node of circuit.nodes) {
    const black = blacks.get(sections[node.index] ?? -1);
    add(node, black === undefined ? undefined : circuit.nodes[black], 'point');
  }
  for (const { role, gate, from, to } of circuit.branches)
    if (role !== 'source' && gate?.kind !== 'fault') add(circuit.nodes[from], circuit.nodes[to], 'across');
  return { places, blacks: [...blacks.values()] };
}

/** What conductors and parts could ever join, with every contact closed; transformers join nothing, nor does what only a fault joins. */
function sectionsOf({ nodes, branches }: Circuit): readonly number[] {
  // The common reference is -1: it takes the place behind the last node.
  const at = (node: number) => (node < 0 ? nodes.length : node);
  return componentsOf(
    nodes.length + 1,
    branches.filter(({ gate }) => gate?.kind !== 'fault').map(({ from, to }) => [at(from), at(to)]),
  );
}

/** By section: the neutral or negative of a supply, else a winding's end, else the first test point. */
function blacksOf(circuit: Circuit, sections: readonly number[]): ReadonlyMap<number, number> {
  const legs = [...circuit.supplies.values()].flatMap((supply) => supply.legs);
  const likely = [
    usualBlack(circuit) ?? -1,
    ...legs.filter((leg) => !leg.live && leg.name !== 'earth').map((leg) => leg.node),
    ...circuit.branches.flatMap(({ winding, to }) => (winding === undefined ? [] : to)),
    ...circuit.nodes.keys(),
  ];
  const blacks = new Map<number, number>();
  for (const index of likely) {
    const node = circuit.nodes[index];
    const section = sections[index];
    if (node === undefined || section === undefined || !node.reachable || node.hazard !== undefined) continue;
    if (!blacks.has(section)) blacks.set(section, index);
  }
  return blacks;
}
