/** Two places between which something is read, sensed by an actuator, or driven: nodes, -1 for the common reference. */
export type Pair = readonly [a: number, b: number];

/** The pairs that are looked at in a state's networks, each by its index. They grow as more is asked for. */
export class PairList {
  /** Positions in arrays by node. */
  readonly a: number[] = [];
  readonly b: number[] = [];
  private readonly nodeCount: number;
  private readonly known = new Map<number, number>();

  constructor(nodeCount: number) {
    this.nodeCount = nodeCount;
  }

  get count(): number {
    return this.a.length;
  }

  /** The index of a pair, that is listed if it was not yet. */
  indexOf([one, other]: Pair): number {
    const { nodeCount, known } = this;
    const a = one < 0 ? nodeCount : one;
    const b = other < 0 ? nodeCount : other;
    const key = a * (nodeCount + 1) + b;
    const kept = known.get(key);
    if (kept !== undefined) return kept;
    known.set(key, this.a.length);
    this.a.push(a);
    this.b.push(b);
    return this.a.length - 1;
  }
}
