import type { Element } from './elements.js';

/** How an end of a rung hangs on the rest of the ladder. */
export type End = 'joined' | 'named';

/** Which nodes stand left of which, as the rungs laid so far demand, and how many symbols there are between them. */
export class Order {
  private readonly after = new Map<number, Map<number, number>>();
  private readonly before = new Map<number, Map<number, number>>();

  lay(nodes: readonly number[], elements: readonly Element[], starts: End, ends: End): void {
    for (const [index, element] of elements.entries()) {
      const [a = -1, b = -1] = [nodes[index], nodes[index + 1]];
      if ((index === 0 && starts === 'named') || (index === elements.length - 1 && ends === 'named'))
        continue;
      const symbols = symbolsIn([element]);
      join(this.after, a, b, symbols);
      join(this.before, b, a, symbols);
    }
  }

  isBefore(a: number, b: number): boolean {
    const met = new Set([a]);
    for (const node of met) {
      for (const next of this.after.get(node)?.keys() ?? []) {
        if (next === b) return true;
        met.add(next);
      }
    }
    return false;
  }

  /** Symbols beside one another on the longest way to, and on from, a node. */
  symbolsBefore(node: number): number {
    return longest(this.before, node);
  }

  symbolsBehind(node: number): number {
    return longest(this.after, node);
  }
}

export function symbolsIn(elements: readonly Element[]): number {
  return elements.filter(({ role }) => role !== 'wire').length;
}

type Ways = Map<number, Map<number, number>>;

function join(ways: Ways, a: number, b: number, symbols: number): void {
  const list = ways.get(a) ?? new Map<number, number>();
  list.set(b, Math.max(symbols, list.get(b) ?? 0));
  ways.set(a, list);
}

/** What is laid has no rings, so that every way ends. */
function longest(ways: Ways, start: number): number {
  const known = new Map<number, number>();
  const from = (node: number): number => {
    const met = known.get(node);
    if (met !== undefined) return met;
    const most = Math.max(0, ...[...(ways.get(node) ?? [])].map(([next, symbols]) => symbols + from(next)));
    known.set(node, most);
    return most;
  };
  return from(start);
}
