import type { Circuit, State } from '../../circuit/circuit.js';

/** Where leads may go, and which states are never asked for. */
export interface SafePlaces {
  /** Reachable, without a hazard, and not to be left out. */
  isTestPoint(node: number): boolean;
  /** Neither a protector taken out nor an earth wire off. */
  isAllowed(state: State): boolean;
  /** A low-impedance input loads it as nothing there is meant to be loaded: signals of modules, sensors. */
  isDelicate(node: number): boolean;
  /** On the earth net: wires and pins lead to a supply's earth. */
  isEarth(node: number): boolean;
  /** Joined by wires and pins alone to this node. */
  sameNet(a: number, b: number): boolean;
}

export function safePlaces(circuit: Circuit, skip: ReadonlySet<number>): SafePlaces {
  const { nodes, branches, parts, connectors, nodeByName } = circuit;
  const net = wiredNets(circuit);
  const earths = new Set(
    [...circuit.supplies.values()].flatMap(({ legs }) =>
      legs.filter(({ name }) => name === 'earth').map(({ node }) => net[node]),
    ),
  );
  const delicate = delicateNets(circuit, net);
  const isEarth = (node: number) => earths.has(net[node]);
  const lifts = (name: string) => {
    const node = nodeByName.get(name);
    return node !== undefined && isEarth(node);
  };
  const parted = (name: string) =>
    (connectors.get(name)?.pins ?? []).some(({ branch }) => {
      const { from = 0, to = 0 } = branches[branch] ?? {};
      return isEarth(from) || isEarth(to);
    });
  return {
    isTestPoint: (node) =>
      nodes[node]?.reachable === true && nodes[node]?.hazard === undefined && !skip.has(node),
    isAllowed: ({ removed, disconnected, unplugged }) =>
      ![...removed].some((name) => parts.get(name)?.kind === 'protector') &&
      ![...disconnected].some(lifts) &&
      ![...unplugged].some(parted),
    isDelicate: (node) => delicate.has(net[node] ?? -1),
    isEarth,
    sameNet: (a, b) => net[a] === net[b],
  };
}

/** Nodes that wires and pins join, whatever the state: a number for each net. */
function wiredNets({ nodes, branches }: Circuit): readonly number[] {
  const net = nodes.map(({ index }) => index);
  const root = (node: number): number => {
    let at = node;
    while (net[at] !== undefined && net[at] !== at) at = net[at] ?? at;
    return at;
  };
  for (const { role, from, to } of branches)
    if (role === 'wire' || role === 'pin') net[root(from)] = root(to);
  return nodes.map(({ index }) => root(index));
}

/** Of signals into and out of modules, and of sensors; what feeds a module is meant to carry current. */
function delicateNets(
  { branches, modules, actuators }: Circuit,
  net: readonly number[],
): ReadonlySet<number> {
  const fed = new Set<number | undefined>();
  for (const { supply } of modules.values()) for (const node of supply.between) fed.add(net[node]);
  const signals = [...modules.values()].flatMap(({ inputs, outputs }) => [
    ...inputs.flatMap(({ between }) => between),
    ...outputs.flatMap((index) => {
      const actuator = actuators[index];
      const branch = actuator?.kind === 'output' ? branches[actuator.branch ?? -1] : undefined;
      return branch === undefined ? [] : [branch.from, branch.to];
    }),
  ]);
  const sensors = branches.flatMap(({ sensor, from, to }) => (sensor === undefined ? [] : [from, to]));
  return new Set([...signals, ...sensors].map((node) => net[node] ?? -1).filter((each) => !fed.has(each)));
}
