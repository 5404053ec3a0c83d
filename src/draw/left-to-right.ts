/** How an end of a rung hangs on the rest of the ladder. */
export type End = 'joined' | 'named';

/** Which nodes stand left of which, as the rungs laid so far demand. */
export class Order {
  private readonly after = new Map<number, Set<number>>();

  lay(nodes: readonly number[], starts: End, ends: End): void {
    for (let index = 1; index < nodes.length; index += 1) {
      const [a = -1, b = -1] = [nodes[index - 1], nodes[index]];
      if ((index === 1 && starts === 'named') || (index === nodes.length - 1 && ends === 'named')) continue;
      const list = this.after.get(a);
      if (list === undefined) this.after.set(a, new Set([b]));
      else list.add(b);
    }
  }

  isBefore(a: number, b: number): boolean {
    const met = new Set([a]);
    for (const node of met) {
      for (const next of this.after.get(node) ?? []) {
        if (next === b) return true;
        met.add(next);
      }
    }
    return false;
  }
}
