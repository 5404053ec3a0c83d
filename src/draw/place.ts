/** Something that keeps clear of uprights in some rows: a symbol with its lettering, or a piece of text. */
interface Block {
  readonly at: number;
  /** Its extent left and right of where `at` stands. */
  readonly low: number;
  readonly high: number;
  readonly first: number;
  readonly last: number;
}

/** Each round sets something apart for good; far fewer are ever needed. */
const mostRounds = 10_000;

/** Clear width between an upright and anything else. */
const clearance = 5;

/**
 * Places along one axis that keep least distances, found by longest paths. What clashes is put apart one pair after the
 * other: left of it where it stands further left already, so that nothing turns round and it always ends.
 */
export class Places {
  private readonly ahead: Map<number, number>[] = [];
  private readonly late = new Set<number>();
  private readonly middle = new Set<number>();
  private readonly blocks: Block[] = [];
  private readonly uprights: Block[] = [];
  private readonly lanes: Block[] = [];

  /** A new place: as far left as it can be, as far right, or between the two. */
  add(tends: 'left' | 'right' | 'middle'): number {
    this.ahead.push(new Map());
    const place = this.ahead.length - 1;
    if (tends === 'right') this.late.add(place);
    if (tends === 'middle') this.middle.add(place);
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

  /** Text between two rows, beside an upright: other such text and uprights keep clear of it. */
  lane(at: number, low: number, high: number, row: number): void {
    this.lanes.push({ at, low, high, first: row, last: row });
  }

  /** Where everything stands, clear of one another; from 0. `width` is the least there is between left and right end. */
  solve(width: number): readonly number[] {
    for (let round = 0; ; round += 1) {
      const found = this.positions(width);
      if (!this.separate(found)) return found;
      if (round > mostRounds) throw new Error('the ladder can not be put in order');
    }
  }

  /** Sets apart what clashes; false when nothing does. */
  private separate(found: readonly number[]): boolean {
    let any = false;
    const apart = (a: Block, b: Block) => {
      if (this.setApart(a, b, found)) any = true;
    };
    for (const [index, a] of this.uprights.entries())
      for (const b of [...this.blocks, ...this.lanes, ...this.uprights.slice(index + 1)]) apart(a, b);
    for (const [index, a] of this.lanes.entries()) for (const b of this.lanes.slice(index + 1)) apart(a, b);
    return any;
  }

  private setApart(a: Block, b: Block, found: readonly number[]): boolean {
    if (a.at === b.at || a.last < b.first || b.last < a.first) return false;
    const [x, y] = [found[a.at] ?? 0, found[b.at] ?? 0];
    const [aBefore, bBefore] = [a.high + b.low + clearance, b.high + a.low + clearance];
    if (x + aBefore <= y + 1e-6 || y + bBefore <= x + 1e-6) return false;
    const leftOf = x + (a.high - a.low) / 2 < y + (b.high - b.low) / 2;
    if (this.isAhead(a.at, b.at) || (leftOf && !this.isAhead(b.at, a.at))) this.keep(a.at, b.at, aBefore);
    else this.keep(b.at, a.at, bBefore);
    return true;
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
    return early.map((x, place) => {
      const far = latest[place] ?? x;
      if (late.has(place)) return far;
      return this.middle.has(place) ? (x + far) / 2 : x;
    });
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
