import { type Circuit, isConductor } from '../circuit/circuit.js';
import { type Element, elementsByNode, farEnd } from './elements.js';

/** Where a section gets its voltage: a terminal of a supply, or an end of a transformer's winding. */
export interface Pole {
  readonly node: number;
  /** The supply, or the transformer. */
  readonly source: string;
  /** As the file names the leg; of a winding its name. */
  readonly leg: string;
  readonly live: boolean;
  /** On which side of the ladder its rail stands. */
  readonly side: 'left' | 'right';
  /** What becomes the rail: the first node from the terminal on at which the wiring branches. */
  readonly rail: number;
  /** From the terminal to the rail; empty where the rail is the terminal itself. */
  readonly feed: readonly Element[];
}

/** A piece of the wiring that nothing joins to the rest but a transformer's core: a ladder of its own. */
export interface Section {
  readonly nodes: ReadonlySet<number>;
  readonly elements: readonly Element[];
  /** Left ones first; none where nothing feeds the section. */
  readonly poles: readonly Pole[];
}

/** The sections of a circuit: those of supplies in the file's order, then of windings, then earth, then what nothing feeds. */
export function findSections(circuit: Circuit, elements: readonly Element[]): readonly Section[] {
  const pieces = piecesOf(circuit, elements);
  const sections = pieces.map((nodes): Section => {
    const own = elements.filter(({ from }) => nodes.has(from));
    return { nodes, elements: own, poles: polesOf(circuit, nodes, own) };
  });
  const windings = circuit.transformers.flatMap((each) => each.windings);
  const rank = ({ poles }: Section) => {
    const [pole] = poles;
    if (pole === undefined) return windings.length + 2;
    if (poles.every(({ leg }) => leg === 'earth')) return windings.length + 1;
    const isOf = (index: number) => circuit.branches[index]?.name === `${pole.source}.${pole.leg}`;
    return circuit.supplies.has(pole.source) ? 0 : 1 + windings.findIndex(isOf);
  };
  return sections
    .filter(({ elements: own, poles }) => own.length > 0 || poles.length > 0)
    .sort((a, b) => rank(a) - rank(b));
}

function piecesOf(circuit: Circuit, elements: readonly Element[]): readonly ReadonlySet<number>[] {
  const byNode = elementsByNode(elements);
  const terminals = [...circuit.supplies.values()].flatMap(({ legs }) => legs.map(({ node }) => node));
  const met = new Set<number>();
  const pieces: Set<number>[] = [];
  for (const start of [...terminals, ...byNode.keys()]) {
    if (met.has(start)) continue;
    const piece = new Set([start]);
    for (const node of piece) for (const each of byNode.get(node) ?? []) piece.add(farEnd(each, node));
    for (const node of piece) met.add(node);
    pieces.push(piece);
  }
  return pieces;
}

function polesOf(
  circuit: Circuit,
  nodes: ReadonlySet<number>,
  elements: readonly Element[],
): readonly Pole[] {
  const legs = legsIn(circuit, nodes);
  const byNode = elementsByNode(elements);
  const terminals = new Set(legs.map(({ node }) => node));
  const poles = legs.map((leg) => ({ ...leg, ...feedOf(leg.node, byNode, terminals) }));
  return [...poles.filter(({ side }) => side === 'left'), ...poles.filter(({ side }) => side === 'right')];
}

type Leg = Omit<Pole, 'rail' | 'feed'>;

/** The first live leg goes left, the others right; a section without a supply hangs on its first secondary winding. */
function legsIn(circuit: Circuit, nodes: ReadonlySet<number>): readonly Leg[] {
  const legs: Leg[] = [];
  for (const { name, legs: own } of circuit.supplies.values()) {
    const here = own.filter(({ node }) => nodes.has(node));
    const first = here.find(({ live }) => live) ?? here[0];
    for (const { name: leg, node, live } of here) {
      // Two supplies with a common negative have one pole there.
      if (legs.some((each) => each.node === node)) continue;
      legs.push({ node, source: name, leg, live, side: leg === first?.name ? 'left' : 'right' });
    }
  }
  if (legs.length > 0) return legs;
  for (const { name, windings } of circuit.transformers) {
    for (const index of windings.slice(1)) {
      const { from, to, name: branch } = circuit.branches[index] ?? { from: -1, to: -1, name: '' };
      if (!nodes.has(from)) continue;
      const leg = { source: name, leg: branch.slice(name.length + 1) };
      return [
        { ...leg, node: from, live: true, side: 'left' },
        { ...leg, node: to, live: false, side: 'right' },
      ];
    }
  }
  return [];
}

/** From a terminal along conductors until the wiring branches; nothing where it never does. */
function feedOf(
  terminal: number,
  byNode: ReadonlyMap<number, readonly Element[]>,
  terminals: ReadonlySet<number>,
): Pick<Pole, 'rail' | 'feed'> {
  const feed: Element[] = [];
  const none = { rail: terminal, feed: [] };
  for (let node = terminal; ; ) {
    const onward = (byNode.get(node) ?? []).filter((each) => !feed.includes(each));
    if (onward.length > 1) return { rail: node, feed };
    const [next] = onward;
    if (next === undefined || !isConductor(next.role)) return none;
    feed.push(next);
    node = farEnd(next, node);
    if (terminals.has(node)) return none;
  }
}

/** Whether a contact stands in the feed: the rail is then at its leg's voltage in some states only. */
export function isSwitched({ feed }: Pole): boolean {
  return feed.some(({ role }) => role === 'contact');
}
