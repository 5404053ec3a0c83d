import { admittanceOf } from '../plan.js';
import { type Laid, type LaidChange, noPlace } from './laid-fault.js';
import { mixed, type NodeVolts, type ReadingSpace } from './space.js';

/** One admittance that changes between two positions. */
export interface AdmittanceChange {
  /** -1 where a branch is put in. */
  readonly branch: number;
  readonly a: number;
  readonly b: number;
  readonly frequency: number;
  /** Siemens afterwards, and by how many more or less than before; the branch's own EMF, volts. */
  readonly re: number;
  readonly im: number;
  readonly dyRe: number;
  readonly dyIm: number;
  readonly emfRe: number;
  readonly emfIm: number;
  /** Whether the branch is gone, and the islands then, where it alone joined its ends and so carried nothing. */
  readonly leaves: boolean;
  readonly split: Int32Array | null;
}

/** All that a fault does to a solved network. */
export interface FewChanges {
  /** What is taken away first; none where what the fault changes does not conduct there. */
  readonly changes: readonly AdmittanceChange[];
  /** Branches that conduct no more; ends of what comes to conduct, two and two; and all that it changes or moves. */
  readonly gone: readonly number[];
  readonly joined: readonly number[];
  readonly touched: readonly number[];
}

export const noChanges: FewChanges = { changes: [], gone: [], joined: [], touched: [] };

/** Faults as changes of admittances of one space, each looked at once. */
export class FaultChanges {
  readonly space: ReadingSpace;
  private readonly takenAway: Uint8Array;
  private readonly known: (FewChanges | null | undefined)[] = [];
  private readonly columns = new Map<number, NodeVolts>();
  private most: number | undefined;
  /** Size of each node's impedance to the reference; -1 until it is asked for. */
  private readonly sizes: Float64Array;

  /** `takenAway`: branches that no fault can make conduct. */
  constructor(space: ReadingSpace, takenAway: Uint8Array) {
    this.space = space;
    this.takenAway = takenAway;
    this.sizes = new Float64Array(space.nodeCount + 1).fill(-1);
  }

  /** Null where no admittances stand for it. */
  of(laid: Laid): FewChanges | null {
    const { index } = laid;
    const kept = index === noPlace ? undefined : this.known[index];
    if (kept !== undefined) return kept;
    const made = laid.beyond ? null : this.resolve(laid);
    if (index !== noPlace) this.known[index] = made;
    return made;
  }

  /** Volts of every node for one amp in at a and out at b, of one island. */
  column(frequency: number, a: number, b: number): NodeVolts {
    const { nodeCount } = this.space;
    const key = (frequency * (nodeCount + 1) + a) * (nodeCount + 1) + b;
    const kept = this.columns.get(key);
    if (kept !== undefined) return kept;
    const made = this.space.pairColumn(frequency, a, b);
    this.columns.set(key, made);
    return made;
  }

  /** Size of the impedances of both ends against the reference, ohms: rounding is a share of it. */
  sizeAt({ frequency, a, b }: AdmittanceChange): number {
    return this.sizeOf(frequency, a) + this.sizeOf(frequency, b);
  }

  /** No node of the space has more to the reference, ohms; beyond all bounds where capacitors may resonate. */
  get mostSize(): number {
    this.most ??= this.findMostSize();
    return this.most;
  }

  /** All that conducts in a row, as the widest transformer shows it to its other side. */
  private findMostSize(): number {
    const { point, conducting } = this.space;
    const { branches } = point.plan.circuit;
    let ohms = 0;
    let most = 1;
    let least = 1;
    for (const branch of conducting) {
      const { impedance, winding } = branches[branch]!;
      if (impedance.farads !== undefined) return Number.POSITIVE_INFINITY;
      most = Math.max(most, winding?.turns ?? 1);
      least = Math.min(least, winding?.turns ?? 1);
      let widest = 0;
      for (const { y } of point.phasors) {
        const size = Math.hypot(y.re[branch]!, y.im[branch]!);
        if (size > 0) widest = Math.max(widest, 1 / size);
      }
      ohms += widest;
    }
    return ohms * (most / least) ** 2;
  }

  private sizeOf(frequency: number, node: number): number {
    const kept = this.sizes[node]!;
    if (kept >= 0) return kept;
    const { re, im } = this.space.nodeColumn(frequency, node);
    const size = Math.abs(re[node]!) + Math.abs(im[node]!);
    this.sizes[node] = size;
    return size;
  }

  private resolve({ changes, touchedBranches }: Laid): FewChanges | null {
    const { point } = this.space;
    const found = {
      changes: [] as AdmittanceChange[],
      gone: [] as number[],
      joined: [] as number[],
      touched: touchedBranches,
    };
    for (const change of changes) {
      if (change.kind !== 'absent' && change.kind !== 'moved') continue;
      if (point.present[change.branch] !== 1) continue;
      found.gone.push(change.branch);
      if (!this.alter(found.changes, change.branch, 0, 0, true)) return null;
    }
    for (const change of changes) if (!this.bringIn(change, found)) return null;
    return found;
  }

  /** What a fault changes or puts in; nothing where that is taken away. False where volts of several frequencies stand. */
  private bringIn(
    change: LaidChange,
    { changes, joined }: { readonly changes: AdmittanceChange[]; readonly joined: number[] },
  ): boolean {
    const { space, takenAway } = this;
    const { from, to, point } = space;
    if (!('branch' in change) || change.kind === 'absent') return true;
    const { branch } = change;
    const present = point.present[branch] === 1;
    const a = from[branch]!;
    const b = to[branch]!;
    switch (change.kind) {
      case 'conducts': {
        if (takenAway[branch] === 1) return true;
        joined.push(a, b);
        const siemens = 1 / change.ohms;
        return present
          ? this.alter(changes, branch, siemens, 0, false)
          : this.putIn(changes, a, b, siemens, 0);
      }
      case 'worn': {
        if (!present) return true;
        const frequency = space.frequency[a]!;
        if (frequency === mixed) return false;
        const { re, im } = admittanceOf(point.plan, frequency, branch, { wornOhms: change.ohms });
        return this.alter(changes, branch, re, im, false);
      }
      case 'moved': {
        if (!present) return true;
        const one = space.place(change.from);
        const other = space.place(change.to);
        joined.push(one, other);
        const y = point.phasors[space.frequency[one]!]?.y;
        return y !== undefined && this.putIn(changes, one, other, y.re[branch]!, y.im[branch]!);
      }
      case 'joins': {
        if (takenAway[branch] === 1) return true;
        const one = space.place(change.from);
        const other = space.place(change.to);
        joined.push(one, other);
        return this.putIn(changes, one, other, 1 / change.ohms, 0);
      }
    }
  }

  /** A branch that conducts comes to have these siemens. */
  private alter(into: AdmittanceChange[], branch: number, re: number, im: number, leaves: boolean): boolean {
    const { from, to, point, frequency } = this.space;
    const a = from[branch]!;
    const b = to[branch]!;
    const phasor = point.phasors[frequency[a]!];
    if (phasor === undefined) return false;
    if (a === b) return true;
    const { y, emf } = phasor;
    into.push({
      branch,
      a,
      b,
      frequency: frequency[a]!,
      re,
      im,
      dyRe: re - y.re[branch]!,
      dyIm: im - y.im[branch]!,
      emfRe: emf.re[branch]!,
      emfIm: emf.im[branch]!,
      leaves,
      split: leaves ? this.space.splitBy(branch) : null,
    });
    return true;
  }

  private putIn(into: AdmittanceChange[], a: number, b: number, re: number, im: number): boolean {
    const { frequency } = this.space;
    if (frequency[a] === mixed || frequency[a] !== frequency[b]) return a === b;
    if (a !== b)
      into.push({
        branch: -1,
        a,
        b,
        frequency: frequency[a]!,
        re,
        im,
        dyRe: re,
        dyIm: im,
        emfRe: 0,
        emfIm: 0,
        leaves: false,
        split: null,
      });
    return true;
  }
}
