import { branchColumn } from './column.js';
import type { Factor } from './factor.js';

/** Columns kept at once: every branch's on a small circuit, as many as fill 64 MB on a large one, and eight at least. */
const keptNumbers = 4_000_000;
const fewestColumns = 8;

/**
 * The columns z_b of one factor, each made when first asked for and shared by all changes of branch b until the
 * factor is loaded anew. When there is no room for more, the one unused for longest goes.
 */
export class BranchColumns {
  readonly factor: Factor;
  /** Column b lies from `at(b)` on, by node (ohms). */
  readonly re: Float64Array;
  readonly im: Float64Array;
  private readonly placeOf: Int32Array;
  private readonly ownerOf: Int32Array;
  private readonly lastUse: Float64Array;
  private used = 0;
  private clock = 0;
  private generation = -1;

  constructor(factor: Factor) {
    const { nodeCount, branchCount } = factor.structure;
    const places = Math.min(
      branchCount,
      Math.max(fewestColumns, Math.floor(keptNumbers / Math.max(nodeCount, 1))),
    );
    this.factor = factor;
    this.re = new Float64Array(places * nodeCount);
    this.im = new Float64Array(places * nodeCount);
    this.placeOf = new Int32Array(branchCount).fill(-1);
    this.ownerOf = new Int32Array(places);
    this.lastUse = new Float64Array(places);
  }

  /** Where column b starts in `re` and `im`; -1 where the ends of b lie in different islands and it has none. */
  at(b: number): number {
    const { factor } = this;
    const { from, to, nodeCount } = factor.structure;
    if (this.generation !== factor.generation) this.forget();
    let place = this.placeOf[b]!;
    if (place === -1) {
      if (!factor.isJoined(from[b]!, to[b]!)) return -1;
      place = this.freePlace();
      branchColumn(factor, b, this.re, this.im, place * nodeCount);
      this.ownerOf[place] = b;
      this.placeOf[b] = place;
    }
    this.lastUse[place] = ++this.clock;
    return place * nodeCount;
  }

  private freePlace(): number {
    if (this.used < this.ownerOf.length) return this.used++;
    let oldest = 0;
    for (let place = 1; place < this.used; place += 1) {
      if (this.lastUse[place]! < this.lastUse[oldest]!) oldest = place;
    }
    this.placeOf[this.ownerOf[oldest]!] = -1;
    return oldest;
  }

  private forget(): void {
    this.placeOf.fill(-1);
    this.used = 0;
    this.generation = this.factor.generation;
  }
}
