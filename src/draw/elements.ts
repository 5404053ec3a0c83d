import type { BranchRole, Circuit } from '../circuit/circuit.js';

/** What is drawn once, between two nodes: a wire, a pin, a contact, a winding, an input of a module. */
export interface Element {
  /** Its place in `Ladder.elements`. */
  readonly index: number;
  readonly part: string;
  readonly role: BranchRole;
  readonly from: number;
  readonly to: number;
  /** Absent for an input, or a module's supply, of which the file gives no impedance. */
  readonly branch?: number;
  /** What it is of its part: a contact, an output, inputs that look at one pair of pins. */
  readonly names: readonly string[];
}

type Found = Omit<Element, 'index'>;

/** Everything in the circuit that joins two nodes, in the file's order; supply legs stand at the rails instead. */
export function listElements(circuit: Circuit): readonly Element[] {
  const found: Found[] = [];
  for (const { index, name, part, role, from, to, gate } of circuit.branches) {
    if (role === 'source' || gate?.kind === 'fault' || role === 'input' || role === 'draw') continue;
    const names = name.startsWith(`${part}.`) ? [name.slice(part.length + 1)] : [];
    found.push({ part, role, from, to, branch: index, names });
  }
  return [...found, ...moduleElements(circuit)].map((each, index) => ({ ...each, index }));
}

/** A module's supply, and its inputs by the pins they look at, whether or not they draw anything there. */
function moduleElements(circuit: Circuit): readonly Found[] {
  return [...circuit.modules.values()].flatMap(({ name, supply, inputs }) => {
    const branchOf = (what: string) =>
      circuit.branches.find((branch) => branch.part === name && branch.name === `${name}.${what}`)?.index;
    const byPins = new Map<string, Found>();
    for (const { name: input, between } of inputs) {
      const [from, to] = between;
      const met = byPins.get(`${from} ${to}`);
      const branch = met?.branch ?? branchOf(input);
      const names = [...(met?.names ?? []), input];
      const which = branch === undefined ? {} : { branch };
      byPins.set(`${from} ${to}`, { part: name, role: 'input', from, to, names, ...which });
    }
    const [from, to] = supply.between;
    const drawn = branchOf('supply');
    const own: Found = {
      part: name,
      role: 'draw',
      from,
      to,
      names: ['supply'],
      ...(drawn === undefined ? {} : { branch: drawn }),
    };
    return [own, ...byPins.values()];
  });
}

/** Elements that end at each node. */
export function elementsByNode(elements: readonly Element[]): ReadonlyMap<number, readonly Element[]> {
  const byNode = new Map<number, Element[]>();
  for (const element of elements) {
    for (const node of new Set([element.from, element.to])) {
      const list = byNode.get(node);
      if (list === undefined) byNode.set(node, [element]);
      else list.push(element);
    }
  }
  return byNode;
}

export function farEnd({ from, to }: Element, node: number): number {
  return from === node ? to : from;
}
