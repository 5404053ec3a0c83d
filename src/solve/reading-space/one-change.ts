import { admittanceOf } from '../plan.js';
import type { Laid, LaidChange } from './laid-fault.js';
import { mixed, type NodeVolts, type ReadingSpace } from './space.js';

/** An admittance that changes between two positions of one island. */
export interface Stroke {
  /** -1 where a branch is put in. */
  readonly branch: number;
  readonly a: number;
  readonly b: number;
  readonly frequency: number;
  /** Siemens more or less, and how many; the branch's own EMF, volts; and the impedance across it, ohms. */
  readonly dyRe: number;
  readonly dyIm: number;
  readonly dy: number;
  readonly emfRe: number;
  readonly emfIm: number;
  readonly ohmsRe: number;
  readonly ohmsIm: number;
  /** Islands without the branch, where it is gone and alone joined its ends: it then carried nothing. */
  readonly split: Int32Array | null;
  readonly leaves: boolean;
}

/** All that a fault does to a solved network, where that is one change of one admittance or none. */
export interface OneChange {
  /** Undefined where what the fault changes does not conduct there. */
  readonly stroke: Stroke | undefined;
  /** Branches that conduct no more; ends of what comes to conduct, two and two; and all that it changes or moves. */
  readonly gone: readonly number[];
  readonly joined: readonly number[];
  readonly touched: readonly number[];
}

export const noChange: OneChange = { stroke: undefined, gone: [], joined: [], touched: [] };

/** Faults as changes of one space, each looked at once. */
export class OneChanges {
  readonly space: ReadingSpace;
  private readonly takenAway: Uint8Array;
  private readonly known: (OneChange | null | undefined)[] = [];
  private readonly columns = new Map<number, NodeVolts>();
  /** Size of each node's impedance to the reference; -1 until it is asked for. */
  private readonly sizes: Float64Array;

  /** `takenAway`: branches that no fault can make conduct. */
  constructor(space: ReadingSpace, takenAway: Uint8Array) {
    this.space = space;
    this.takenAway = takenAway;
    this.sizes = new Float64Array(space.nodeCount + 1).fill(-1);
  }

  /** Null where a fault is more than that. */
  of(laid: Laid): OneChange | null {
    const kept = this.known[laid.index];
    if (kept !== undefined) return kept;
    const made = this.resolve(laid);
    this.known[laid.index] = made;
    return made;
  }

  /** Volts of every node for one amp in at a and out at b, of one island. */
  column(frequency: number, a: number, b: number): NodeVolts {
    const key = a * (this.space.nodeCount + 1) + b;
    const kept = this.columns.get(key);
    if (kept !== undefined) return kept;
    const made = this.space.pairColumn(frequency, a, b);
    this.columns.set(key, made);
    return made;
  }

  /** Size of the impedances of both ends against the reference, ohms: rounding is a share of it. */
  sizeAt({ frequency, a, b }: Stroke): number {
    return this.sizeOf(frequency, a) + this.sizeOf(frequency, b);
  }

  private sizeOf(frequency: number, node: number): number {
    const kept = this.sizes[node]!;
    if (kept >= 0) return kept;
    const { re, im } = this.space.nodeColumn(frequency, node);
    const size = Math.abs(re[node]!) + Math.abs(im[node]!);
    this.sizes[node] = size;
    return size;
  }

  private resolve({ changes, touchedBranches, beyond }: Laid): OneChange | null {
    if (beyond) return null;
    const { point } = this.space;
    const gone: number[] = [];
    const joined: number[] = [];
    const strokes: (Stroke | null)[] = [];
    for (const change of changes) {
      if (change.kind !== 'absent' && change.kind !== 'moved') continue;
      if (point.present[change.branch] !== 1) continue;
      gone.push(change.branch);
      strokes.push(...this.altered(change.branch, 0, 0, true));
    }
    for (const change of changes) strokes.push(...this.broughtIn(change, joined));
    const [stroke] = strokes;
    if (strokes.length > 1 || stroke === null) return null;
    return { stroke, gone, joined, touched: touchedBranches };
  }

  /** What a fault changes or puts in; nothing where that is taken away. Ends of what then conducts are added to `joined`. */
  private broughtIn(change: LaidChange, joined: number[]): readonly (Stroke | null)[] {
    const { space, takenAway } = this;
    const { from, to, point } = space;
    if (!('branch' in change) || change.kind === 'absent') return [];
    const { branch } = change;
    const present = point.present[branch] === 1;
    const a = from[branch]!;
    const b = to[branch]!;
    switch (change.kind) {
      case 'conducts': {
        if (takenAway[branch] === 1) return [];
        joined.push(a, b);
        return present
          ? this.altered(branch, 1 / change.ohms, 0, false)
          : this.putIn(a, b, 1 / change.ohms, 0);
      }
      case 'worn': {
        const frequency = space.frequency[a]!;
        if (!present || frequency === mixed) return present ? [null] : [];
        const { re, im } = admittanceOf(point.plan, frequency, branch, { wornOhms: change.ohms });
        return this.altered(branch, re, im, false);
      }
      case 'moved': {
        if (!present) return [];
        const y = point.phasors[space.frequency[a]!]?.y;
        const one = space.place(change.from);
        const other = space.place(change.to);
        joined.push(one, other);
        return y === undefined ? [null] : this.putIn(one, other, y.re[branch]!, y.im[branch]!);
      }
      case 'joins': {
        if (takenAway[branch] === 1) return [];
        const one = space.place(change.from);
        const other = space.place(change.to);
        joined.push(one, other);
        return this.putIn(one, other, 1 / change.ohms, 0);
      }
    }
  }

  /** A branch that conducts comes to have these siemens. */
  private altered(branch: number, re: number, im: number, leaves: boolean): readonly (Stroke | null)[] {
    const { from, to, point, frequency, across } = this.space;
    const a = from[branch]!;
    const b = to[branch]!;
    const phasor = point.phasors[frequency[a]!];
    if (phasor === undefined) return [null];
    if (a === b) return [];
    const { y, emf } = phasor;
    const dyRe = re - y.re[branch]!;
    const dyIm = im - y.im[branch]!;
    const stroke = {
      branch,
      a,
      b,
      frequency: frequency[a]!,
      dyRe,
      dyIm,
      dy: Math.hypot(dyRe, dyIm),
      emfRe: emf.re[branch]!,
      emfIm: emf.im[branch]!,
      ohmsRe: across[2 * branch]!,
      ohmsIm: across[2 * branch + 1]!,
      leaves,
      split: leaves ? this.space.splitBy(branch) : null,
    };
    return [stroke];
  }

  private putIn(a: number, b: number, re: number, im: number): readonly (Stroke | null)[] {
    const { island, frequency } = this.space;
    if (a === b) return [];
    if (island[a] !== island[b] || frequency[a] === mixed) return [null];
    const column = this.column(frequency[a]!, a, b);
    const stroke = {
      branch: -1,
      a,
      b,
      frequency: frequency[a]!,
      dyRe: re,
      dyIm: im,
      dy: Math.hypot(re, im),
      emfRe: 0,
      emfIm: 0,
      ohmsRe: column.re[a]! - column.re[b]!,
      ohmsIm: column.im[a]! - column.im[b]!,
      leaves: false,
      split: null,
    };
    return [stroke];
  }
}
