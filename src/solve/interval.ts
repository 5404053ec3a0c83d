/** Values from `low` to `high`, which may be infinite. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** In order and apart from one another; empty where nothing fits. */
export type Intervals = readonly Interval[];

export const everything: Intervals = [{ low: 0, high: Number.POSITIVE_INFINITY }];

export function intersect(a: Intervals, b: Intervals): Intervals {
  const both: Interval[] = [];
  for (const first of a) {
    for (const second of b) {
      const low = Math.max(first.low, second.low);
      const high = Math.min(first.high, second.high);
      if (low <= high) both.push({ low, high });
    }
  }
  return both;
}

/** Those that touch or overlap made one. */
export function unite(all: Intervals): Intervals {
  const united: Interval[] = [];
  for (const each of [...all].sort((a, b) => a.low - b.low)) {
    const last = united.at(-1);
    if (last !== undefined && each.low <= last.high)
      united[united.length - 1] = { low: last.low, high: Math.max(last.high, each.high) };
    else united.push(each);
  }
  return united;
}

/** Where a x^2 + b x + c is at most 0, for x from 0 on. */
export function quadraticAtMostZero(a: number, b: number, c: number): Intervals {
  const roots = positiveRoots(a, b, c);
  const ends = [0, ...roots, Number.POSITIVE_INFINITY];
  const found: Interval[] = [];
  for (let k = 0; k + 1 < ends.length; k += 1) {
    const [low, high] = [ends[k]!, ends[k + 1]!];
    const inside = high === Number.POSITIVE_INFINITY ? 2 * low + 1 : low / 2 + high / 2;
    if ((a * inside + b) * inside + c <= 0) found.push({ low, high });
  }
  // A double root is a point of its own.
  for (const root of roots)
    if (!found.some(({ low, high }) => root >= low && root <= high)) found.push({ low: root, high: root });
  return unite(found);
}

/** In order; without cancellation where b is large. */
function positiveRoots(a: number, b: number, c: number): number[] {
  if (a === 0) return b === 0 ? [] : [-c / b].filter((x) => x > 0);
  const square = b * b - 4 * a * c;
  if (square < 0) return [];
  const q = -(b + Math.sign(b || 1) * Math.sqrt(square)) / 2;
  return [...new Set([q / a, q === 0 ? 0 : c / q])]
    .filter((x) => x > 0 && Number.isFinite(x))
    .sort((x, y) => x - y);
}
