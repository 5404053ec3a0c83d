/**
 * Labels of the connected components of `count` things joined in pairs, numbered from 0 in the order of their first
 * members.
 */
export function componentsOf(count: number, pairs: Iterable<readonly [number, number]>): readonly number[] {
  const parent = Array.from({ length: count }, (_, index) => index);
  const root = (start: number): number => {
    let at = start;
    for (let up = parent[at] ?? at; up !== at; up = parent[at] ?? at) at = up;
    parent[start] = at;
    return at;
  };
  for (const [a, b] of pairs) {
    const [first, second] = [root(a), root(b)];
    parent[Math.max(first, second)] = Math.min(first, second);
  }
  const labels = new Map<number, number>();
  return parent.map((_, index) => {
    const top = root(index);
    const label = labels.get(top) ?? labels.size;
    labels.set(top, label);
    return label;
  });
}
