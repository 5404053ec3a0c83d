/** What a workload came to: how often a reference run beside it in the same call would have fitted, or been beaten. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Ratio {
  readonly what: string;
  /** What it is a multiple of, as `x node -e 0`. */
  readonly of: string;
  readonly median: number;
  readonly least: number;
  readonly most: number;
  readonly bar?: number;
  /** Whether less or more is better. */
  readonly better: 'less' | 'more';
}

/** Median, least and most of figures of one thing. */
export function spreadOf(figures: readonly number[]): Pick<Ratio, 'median' | 'least' | 'most'> {
  const sorted = [...figures].sort((a, b) => a - b);
  return {
    median: sorted[sorted.length >> 1] ?? Number.NaN,
    least: sorted[0] ?? Number.NaN,
    most: sorted.at(-1) ?? Number.NaN,
  };
}

export function isMet({ median, bar, better }: Ratio): boolean | undefined {
  if (bar === undefined) return undefined;
  return better === 'less' ? median <= bar : median >= bar;
}

/** Three digits: more would be noise. */
export function figure(value: number): string {
  return value >= 100 ? value.toFixed(0) : value.toPrecision(3);
}

/** Prints them, and leaves them to `npm run bench` where that is who runs it. */
export function report(workload: string, ratios: readonly Ratio[]): void {
  for (const each of ratios) {
    const met = isMet(each);
    const verdict =
      met === undefined
        ? ''
        : `, bar ${each.better === 'less' ? 'at most' : 'at least'} ${each.bar}: ${met ? 'met' : 'missed'}`;
    const [median, least, most] = [each.median, each.least, each.most].map(figure);
    console.log(`${each.what}: ${median} ${each.of} (${least} to ${most})${verdict}`);
  }
  const folder = process.env['LOADSIDE_RATIOS'];
  if (folder === undefined) return;
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, `${workload}.json`), JSON.stringify(ratios));
}
