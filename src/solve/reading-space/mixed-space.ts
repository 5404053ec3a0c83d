import type { Conduct } from '../plan.js';
import { AlteredSpace } from './altered-space.js';
import type { LaidChange } from './laid-fault.js';
import type { NetsBySpace, Shorts } from './leg-nets.js';
import type { Seen, SeenNetwork } from './seen.js';
import { mixed, type ReadingSpace } from './space.js';

/** Volts of a frequency below which it is taken not to be there. */
const absentVolts = 1e-6;

/**
 * The same where a fault brings volts of several frequencies together (a 5 V rail on a mains wire): each frequency is
 * gone through for itself. A pair with volts of one alone is seen as such; of others the RMS volts are known, and no ohms.
 */
export class MixedSpace implements SeenNetwork {
  space: ReadingSpace;
  re = 0;
  im = 0;
  seenAt = 0;
  private fixedAt = 0;
  private readonly each: readonly AlteredSpace[];

  constructor(space: ReadingSpace) {
    this.space = space;
    this.each = space.point.phasors.map((_, frequency) => new AlteredSpace(space.at(frequency)));
  }

  begin(space: ReadingSpace): void {
    this.space = space;
    for (const [frequency, one] of this.each.entries()) one.begin(space.at(frequency));
  }

  lay(changes: readonly LaidChange[], takenAway: Uint8Array): boolean {
    return this.each.every((one) => one.lay(changes, takenAway));
  }

  move(branch: number, conduct: Conduct): boolean {
    return this.each.every((one) => one.move(branch, conduct));
  }

  shorts(nets: NetsBySpace): Shorts {
    return this.each[0]!.shorts(nets);
  }

  get ohmsRe(): number {
    return this.seenAt === mixed ? Number.NaN : this.each[this.seenAt]!.ohmsRe;
  }

  get ohmsIm(): number {
    return this.seenAt === mixed ? Number.NaN : this.each[this.seenAt]!.ohmsIm;
  }

  conducts(branch: number): boolean {
    return this.each[0]!.conducts(branch);
  }

  siemens(branch: number): number {
    return this.space.siemens(this.seenAt, branch);
  }

  look(index: number): Seen {
    let alive = 0;
    let square = 0;
    this.seenAt = 0;
    for (const [frequency, one] of this.each.entries()) {
      const seen = one.look(index);
      if (seen !== 'known') return seen;
      const volts = Math.hypot(one.re, one.im);
      square += volts * volts;
      if (volts < absentVolts) continue;
      alive += 1;
      this.seenAt = frequency;
    }
    if (alive > 1) this.seenAt = mixed;
    this.re = alive > 1 ? Math.sqrt(square) : this.each[this.seenAt]!.re;
    this.im = alive > 1 ? 0 : this.each[this.seenAt]!.im;
    return 'known';
  }

  lookOhms(index: number): void {
    if (this.seenAt !== mixed) this.each[this.seenAt]!.lookOhms(index);
  }

  fix(index: number): void {
    this.fixedAt = this.seenAt;
    if (this.fixedAt !== mixed) this.each[this.fixedAt]!.fix(index);
  }

  transferToFixed(index: number): number {
    return this.fixedAt === mixed ? Number.NaN : this.each[this.fixedAt]!.transferToFixed(index);
  }

  highestVolts(position: number, enough: number): number {
    return this.each.reduce((sum, one) => sum + one.highestVolts(position, enough), 0);
  }
}
