/** Something that keeps clear of uprights in some rows: a symbol with its lettering, or a piece of text. */
interface Block {
  readonly at: number;
  /** Its extent left and right of where `at` stands. */
  readonly low: number;
  readonly high: number;
  readonly first: number;
  readonly last: number;
}

/** Clear width between an upright and anything else. */
const clearance = 5;

/**
 * Places along one axis that keep least distances, found by longest paths. What clashes is put apart one pair after the
 * other: left of it where it stands further left already, so that nothing turns round and it always ends.
 */
export class Places {
  private readonly ahead: Map<number, number>[] = [];
  private readonly late = new Set<number>();
  private readonly blocks: Block[] = [];
  private readonly uprights: Block[] = [];

  /** A new place, as far left as it can be, or (`late`) as far right. */
  add(late: boolean): number {
    this.ahead.push(new Map());
    const place = this.ahead.length - 1;
    if (late) this.late.add(place);
    return place;
  }

  /** `b` stands right of `a` by at least this. */
  keep(a: number, b: number, distance: number): void {
    const ahead = this.ahead[a];
    ahead?.set(b, Math.max(distance, ahead.get(b) ?? 0));
  }

  /** Text or a symbol that no upright may run through. */
  block(at: number, low: number, high: number, first: number, last: number = first): void {
    this.blocks.push({ at, low, high, first, last });
  }

  /** A line from one row to another. */
  upright(at: number, first: number, last: number): void {
    this.uprights.push({ at, low: 0, high: 0, first, last });
  }

  /** Where everything stands, clear of one another; from 0. `width` is the least there is between left and right end. */
  solve(width: number): readonly number[] {
    for (let round = 0; ; round += 1) {
      const found = this.positions(width);
      if (!this.separate(found)) return found;
      if (round > 4 * (this.blocks.length + this.uprights.length) ** 2)
        throw new Error('the ladder can not be put in order');
    }
  }

  /** Sets apart what clashes; false when nothing does. */
  private separate(found: readonly number[]): boolean {
    let any = false;
    for (const [index, a] of this.uprights.entries()) {
      for (const b of [...this.blocks, ...this.uprights.slice(index + 1)]) {
        if (a.at === b.at || a.last < b.first || b.last < a.first) continue;
        const [x, y] = [found[a.at] ?? 0, found[b.at] ?? 0];
        if (x + clearance <= y - b.low + 1e-6 || y + b.high + clearance <= x + 1e-6) continue;
        const middle = y + (b.high - b.low) / 2;
        if (this.isAhead(a.at, b.at) || (x < middle && !this.isAhead(b.at, a.at)))
          this.keep(a.at, b.at, b.low + clearance);
        else this.keep(b.at, a.at, b.high + clearance);
        any = true;
      }
    }
    return any;
  }

  private isAhead(a: number, b: number): boolean {
    const met = new Set([a]);
    for (const place of met) {
      for (const next of this.ahead[place]?.keys() ?? []) {
        if (next === b) return true;
        met.add(next);
      }
    }
    return false;
  }

  private positions(width: number): number[] {
    const order = this.inOrder();
    const early = this.ahead.map(() => 0);
    for (const a of order)
      for (const [b, distance] of this.ahead[a] ?? [])
        early[b] = Math.max(early[b] ?? 0, (early[a] ?? 0) + distance);
    const end = Math.max(width, ...early);
    const latest = this.ahead.map(() => end);
    for (const a of order.reverse())
      for (const [b, distance] of this.ahead[a] ?? [])
        latest[a] = Math.min(latest[a] ?? end, (latest[b] ?? end) - distance);
    // Whatever stands behind something late is late too, or the two could change places.
    const late = new Set(this.late);
    for (const place of late) for (const next of this.ahead[place]?.keys() ?? []) late.add(next);
    return early.map((x, place) => (late.has(place) ? (latest[place] ?? x) : x));
  }

  /** Every place before those that stand right of it. */
  private inOrder(): number[] {
    const waiting = this.ahead.map(() => 0);
    for (const ahead of this.ahead) for (const b of ahead.keys()) waiting[b] = (waiting[b] ?? 0) + 1;
    const order = waiting.flatMap((count, place) => (count === 0 ? [place] : []));
    for (const a of order) {
      for (const b of this.ahead[a]?.keys() ?? []) {
        waiting[b] = (waiting[b] ?? 0) - 1;
        if (waiting[b] === 0) order.push(b);
      }
    }
    if (order.length < this.ahead.length) throw new Error('places in a circle');
    return order;
  }
}
