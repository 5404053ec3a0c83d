import { isConductor } from '../circuit/circuit.js';
import { type Element, elementsByNode, farEnd } from './elements.js';
import { type End, Order, symbolsIn } from './left-to-right.js';
import type { Pole, Section } from './sections.js';

/** One line of the ladder, left to right: element k stands between nodes k and k + 1. */
export interface Rung {
  readonly kind: 'feed' | 'path' | 'stub';
  readonly nodes: readonly number[];
  readonly elements: readonly Element[];
  /** How its ends hang on the rest: joined by a line, or only named, where no line could go left to right. */
  readonly starts: End;
  readonly ends: End;
}

/** Elements in a row from one node to another, not yet in a direction. */
interface Way {
  readonly nodes: readonly number[];
  readonly elements: readonly Element[];
}

/** Symbols that stand beside one another on a sheet with readable letters. */
const mostSymbols = 9;

/** Going through a load costs more than any number of conductors. */
const loadCost = 1e4;

/**
 * Every element of a section on exactly one rung. First the supply paths of the loads, those first that conductors
 * alone feed: each rung draws what of its path is new, between two places that are there already. Then what lies on
 * nobody's path, from place to place where it bridges two, else as a stub.
 */
export function findRungs(section: Section): readonly Rung[] {
  return new RungFinder(section).find();
}

class RungFinder {
  private readonly section: Section;
  private readonly byNode: ReadonlyMap<number, readonly Element[]>;
  private readonly drawn = new Set<Element>();
  private readonly placed = new Set<number>();
  private readonly order = new Order();
  private readonly left: ReadonlySet<number>;
  private readonly right: ReadonlySet<number>;
  private readonly rungs: Rung[] = [];

  constructor(section: Section) {
    this.section = section;
    this.byNode = elementsByNode(section.elements);
    this.left = new Set(railsOn(section, 'left'));
    this.right = new Set(railsOn(section, 'right').filter((node) => !this.left.has(node)));
  }

  find(): readonly Rung[] {
    for (const rail of [...this.left, ...this.right]) this.placed.add(rail);
    for (const pole of this.section.poles) this.drawFeed(pole);
    for (const { element, way } of this.loadWays())
      if (!this.drawn.has(element)) this.drawBetween(way, element);
    this.drawRest();
    return this.rungs;
  }

  /** From the left rail the feed runs back to its terminal, so that the terminals meet in the middle. */
  private drawFeed({ node, feed, side }: Pole): void {
    if (feed.length === 0) return;
    const nodes = [node];
    for (const each of feed) nodes.push(farEnd(each, nodes.at(-1) ?? node));
    const outward = { nodes, elements: feed };
    this.add('feed', side === 'left' ? reversed(outward) : outward);
  }

  /** The loads with their supply paths; those that hang on other loads come last. */
  private loadWays(): readonly { readonly element: Element; readonly way: Way }[] {
    const found = this.section.elements
      .filter(({ role }) => !isConductor(role))
      .flatMap((element) => {
        const best = this.supplyPath(element);
        return best === undefined ? [] : [{ element, ...best }];
      });
    return found.sort((a, b) => Math.floor(a.cost / loadCost) - Math.floor(b.cost / loadCost));
  }

  /** From one pole through the load to another, the shortest there is with every contact closed. */
  private supplyPath(load: Element): { readonly way: Way; readonly cost: number } | undefined {
    const { poles } = this.section;
    let best: { way: Way; cost: number } | undefined;
    for (const [index, a] of poles.entries()) {
      for (const b of poles.slice(index + 1)) {
        for (const [from, to] of [
          [load.from, load.to],
          [load.to, load.from],
        ] as const) {
          const near = this.shortest(a.rail, (node) => node === from, new Set([load]), new Set([b.rail]));
          if (near === undefined) continue;
          const far = this.shortest(to, (node) => node === b.rail, new Set([load]), new Set(near.way.nodes));
          if (far === undefined) continue;
          const cost = near.cost + far.cost;
          if (cost >= (best?.cost ?? Number.POSITIVE_INFINITY)) continue;
          const nodes = [...near.way.nodes, ...far.way.nodes];
          best = { way: { nodes, elements: [...near.way.elements, load, ...far.way.elements] }, cost };
        }
      }
    }
    return best;
  }

  /** What of a path is new around an element that is not drawn: from the last place before it to the first behind it. */
  private drawBetween({ nodes, elements }: Way, element: Element): void {
    const at = elements.indexOf(element);
    let first = at;
    while (first > 0 && !this.placed.has(nodes[first] ?? -1)) first -= 1;
    let last = at + 1;
    while (last < nodes.length - 1 && !this.placed.has(nodes[last] ?? -1)) last += 1;
    this.add('path', { nodes: nodes.slice(first, last + 1), elements: elements.slice(first, last) });
  }

  private drawRest(): void {
    const [some] = this.section.nodes;
    if (this.placed.size === 0 && some !== undefined) this.placed.add(some);
    for (let again = true; again; ) {
      again = false;
      for (const element of this.section.elements) {
        if (this.drawn.has(element)) continue;
        const start = [element.from, element.to].find((node) => this.placed.has(node));
        if (start === undefined) continue;
        this.drawFrom(start, element);
        again = true;
      }
    }
  }

  private drawFrom(start: number, element: Element): void {
    const next = farEnd(element, start);
    const first: Way = { nodes: [start, next], elements: [element] };
    if (this.placed.has(next)) {
      this.add('path', first);
      return;
    }
    const without = new Set([...this.drawn, element]);
    const bridge = this.shortest(
      next,
      (node) => this.placed.has(node) && node !== start,
      without,
      new Set([start]),
    );
    const onward = bridge?.way ?? this.longestFrom(next, without, new Set([start]));
    const way = { nodes: [start, ...onward.nodes], elements: [element, ...onward.elements] };
    this.add(bridge === undefined ? 'stub' : 'path', way);
  }

  /** Straight on through what is not drawn, the first way at each fork. */
  private longestFrom(start: number, without: ReadonlySet<Element>, not: ReadonlySet<number>): Way {
    const nodes = [start];
    const elements: Element[] = [];
    const met = new Set([...not, start]);
    for (let node = start; ; ) {
      const next = this.byNode.get(node)?.find((each) => !without.has(each) && !met.has(farEnd(each, node)));
      if (next === undefined) return { nodes, elements };
      node = farEnd(next, node);
      met.add(node);
      nodes.push(node);
      elements.push(next);
    }
  }

  /** The cheapest way to a goal, but not through elements in `without` or nodes in `not`. */
  private shortest(
    start: number,
    isGoal: (node: number) => boolean,
    without: ReadonlySet<Element>,
    not: ReadonlySet<number>,
  ): { readonly way: Way; readonly cost: number } | undefined {
    const open = new Map([[start, 0]]);
    const done = new Map<number, number>();
    const arrived = new Map<number, Element>();
    while (open.size > 0) {
      const [node, cost] = [...open].reduce((best, each) => (each[1] < best[1] ? each : best));
      if (isGoal(node)) return { way: walkBack(node, start, arrived), cost };
      open.delete(node);
      done.set(node, cost);
      for (const each of this.byNode.get(node) ?? []) {
        const far = farEnd(each, node);
        const through = cost + (isConductor(each.role) ? 1 : loadCost);
        const barred = without.has(each) || not.has(far) || done.has(far);
        if (barred || through >= (open.get(far) ?? Number.POSITIVE_INFINITY)) continue;
        open.set(far, through);
        arrived.set(far, each);
      }
    }
    return undefined;
  }

  /** Lays a way down left to right; an end that would have to lie left of where it is gets only its name. */
  private add(kind: Rung['kind'], way: Way): void {
    const { nodes, elements } = this.runsBack(kind, way) ? reversed(way) : way;
    const [start = -1, end = -1] = [nodes[0], nodes.at(-1)];
    // Nothing can stand left of the left rail, or right of the right one.
    const apart = (this.right.has(start) && kind !== 'feed') || this.isTooLong(kind, { nodes, elements });
    const starts: End = apart ? 'named' : 'joined';
    const closes =
      start === end || this.order.isBefore(end, start) || (this.left.has(end) && kind !== 'feed');
    const ends: End = closes && starts === 'joined' ? 'named' : 'joined';
    this.rungs.push({ kind, nodes, elements, starts, ends });
    this.order.lay(nodes, elements, starts, ends);
    for (const each of elements) this.drawn.add(each);
    for (const node of nodes) this.placed.add(node);
  }

  /** Whether a rung that goes on from others would make the ladder wider than a sheet. */
  private isTooLong(kind: Rung['kind'], { nodes, elements }: Way): boolean {
    const [start = -1, end = -1] = [nodes[0], nodes.at(-1)];
    if (kind !== 'path' || this.left.has(start)) return false;
    const before = this.order.symbolsBefore(start);
    return before > 0 && before + symbolsIn(elements) + this.order.symbolsBehind(end) > mostSymbols;
  }

  private runsBack(kind: Rung['kind'], { nodes }: Way): boolean {
    const [start = -1, end = -1] = [nodes[0], nodes.at(-1)];
    if (kind === 'feed') return false;
    if (kind === 'stub') return this.right.has(start);
    if (this.left.has(start) || this.right.has(end)) return false;
    return this.left.has(end) || this.right.has(start) || this.order.isBefore(end, start);
  }
}

function railsOn({ poles }: Section, side: Pole['side']): readonly number[] {
  return poles.filter((pole) => pole.side === side).map(({ rail }) => rail);
}

function reversed({ nodes, elements }: Way): Way {
  return { nodes: [...nodes].reverse(), elements: [...elements].reverse() };
}

function walkBack(node: number, start: number, arrived: ReadonlyMap<number, Element>): Way {
  const nodes = [node];
  const elements: Element[] = [];
  for (let at = node; at !== start; ) {
    const element = arrived.get(at);
    if (element === undefined) break;
    at = farEnd(element, at);
    nodes.unshift(at);
    elements.unshift(element);
  }
  return { nodes, elements };
}
