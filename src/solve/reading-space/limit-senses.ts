import type { Limit } from '../limits.js';
import type { Plan } from '../plan.js';
import type { Pair } from './pair-list.js';
import type { SeenNetwork } from './seen.js';
import { mixed } from './space.js';

/** Share of the current that opens something for certain, from which on it is left to be solved for. */
const nearlyOpens = 0.999;

interface WindingSense {
  readonly branch: number;
  readonly pair: number;
  readonly turns: number;
}

interface Watched extends Limit {
  readonly pair: number;
  /** Of a transformer's primary. */
  readonly core:
    | { readonly index: number; readonly turns: number; readonly windings: readonly WindingSense[] }
    | undefined;
}

/** What opens on too much current, watched in reading spaces as `findOverload` does it in a view. */
export class LimitSenses {
  private readonly plan: Plan;
  private readonly watched: readonly Watched[];

  constructor(plan: Plan, pairOf: (pair: Pair) => number) {
    const { branches, transformers } = plan.circuit;
    const across = (branch: number) => pairOf([branches[branch]!.from, branches[branch]!.to]);
    this.plan = plan;
    this.watched = plan.limits.map((limit) => {
      const { winding } = branches[limit.branch]!;
      const windings = (winding && transformers[winding.transformer]?.windings) ?? [];
      return {
        ...limit,
        pair: across(limit.branch),
        core: winding && {
          index: winding.transformer,
          turns: winding.turns,
          windings: windings.map((branch) => ({
            branch,
            pair: across(branch),
            turns: branches[branch]!.winding!.turns,
          })),
        },
      };
    });
  }

  /** Whether anything carries what opens it, or nearly so; also where that is not known. */
  mayOpen(altered: SeenNetwork, faults: { touches(branch: number): boolean }): boolean {
    for (const each of this.watched) {
      if (!altered.conducts(each.branch)) continue;
      if (faults.touches(each.branch) || !(this.amps(altered, each) < nearlyOpens * each.opensAt))
        return true;
    }
    return false;
  }

  /** NaN where it is not known. */
  private amps(altered: SeenNetwork, { branch, pair, core }: Watched): number {
    const { point } = altered.space;
    if (altered.look(pair) !== 'known' || altered.seenAt === mixed) return Number.NaN;
    const frequency = altered.seenAt;
    const { y } = point.phasors[frequency]!;
    const size = altered.space.siemens(frequency, branch);
    const vRe = altered.re;
    const vIm = altered.im;
    if (core === undefined) return size * Math.sqrt(vRe * vRe + vIm * vIm);
    const own = this.plan.magnetising[frequency]!;
    if (!Number.isFinite(own.im[core.index]!)) return size * Math.sqrt(vRe * vRe + vIm * vIm);
    // Its flux F = sum of n y v / (Ym + sum of n^2 y), as `fluxOf` has it; the current is y (v - n F).
    let driveRe = 0;
    let driveIm = 0;
    let drawsRe = own.re[core.index]!;
    let drawsIm = own.im[core.index]!;
    for (const winding of core.windings) {
      if (point.conducts[winding.branch] !== 'own') continue;
      if (altered.look(winding.pair) !== 'known') return Number.NaN;
      const volts = Math.abs(altered.re) + Math.abs(altered.im);
      if (altered.seenAt !== frequency && volts > 0) return Number.NaN;
      const yRe = winding.turns * y.re[winding.branch]!;
      const yIm = winding.turns * y.im[winding.branch]!;
      driveRe += yRe * altered.re - yIm * altered.im;
      driveIm += yRe * altered.im + yIm * altered.re;
      drawsRe += winding.turns * yRe;
      drawsIm += winding.turns * yIm;
    }
    const square = drawsRe * drawsRe + drawsIm * drawsIm;
    const fluxRe = (driveRe * drawsRe + driveIm * drawsIm) / square;
    const fluxIm = (driveIm * drawsRe - driveRe * drawsIm) / square;
    const re = vRe - core.turns * fluxRe;
    const im = vIm - core.turns * fluxIm;
    return size * Math.sqrt(re * re + im * im);
  }
}
