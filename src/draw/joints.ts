import type { PlacedNode } from './placed.js';

interface Point {
  readonly node: number;
  readonly x: number;
  readonly y: number;
  readonly ways: Set<'left' | 'right' | 'up' | 'down'>;
  named: boolean;
  /** A wire is looped from here: the only place where this terminal is to be seen. */
  looped: boolean;
}

/** What comes together at each point: three lines make a junction. */
export class Joints {
  private readonly points = new Map<string, Point>();

  /** A rung's line goes off to one side; `named` where nothing else is joined there. */
  join(node: number, x: number, y: number, way: 'left' | 'right', named: boolean): void {
    const key = `${node} ${x} ${y}`;
    const met = this.points.get(key);
    if (met !== undefined) met.ways.add(way);
    else this.points.set(key, { node, x, y, ways: new Set([way]), named, looped: false });
  }

  /** A node's line from row to row. */
  upright(node: number, x: number, y1: number, y2: number): void {
    for (const point of this.points.values()) {
      if (point.node !== node || point.x !== x || point.named || point.y < y1 || point.y > y2) continue;
      if (point.y > y1) point.ways.add('up');
      if (point.y < y2) point.ways.add('down');
    }
  }

  /** A wire from one node straight down to another. */
  loop(nodes: readonly number[], x: number, y1: number, y2: number): void {
    for (const point of this.points.values()) {
      if (!nodes.includes(point.node) || point.x !== x || (point.y !== y1 && point.y !== y2)) continue;
      point.ways.add(point.y === y1 ? 'down' : 'up');
      point.looped = true;
    }
  }

  /** Every place to mark; a mere corner of a line that is marked elsewhere is none. */
  list(terminals: ReadonlySet<number>): readonly PlacedNode[] {
    const places = new Map<number, number>();
    for (const { node } of this.points.values()) places.set(node, (places.get(node) ?? 0) + 1);
    return [...this.points.values()].flatMap(({ node, x, y, ways, named, looped }): PlacedNode[] => {
      if (named) return [{ node, x, y, kind: 'elsewhere' }];
      if (ways.size > 2) return [{ node, x, y, kind: 'junction' }];
      if (terminals.has(node) && (places.get(node) === 1 || ways.size === 1))
        return [{ node, x, y, kind: 'pole' }];
      const corner = ways.has('up') !== ways.has('down');
      return corner && !looped && (places.get(node) ?? 0) > 1 ? [] : [{ node, x, y, kind: 'terminal' }];
    });
  }
}
