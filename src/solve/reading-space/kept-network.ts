import type { NetsBySpace, Shorts } from './leg-nets.js';
import type { Seen, SeenNetwork, Sums } from './seen.js';
import type { OnBits } from './sensed.js';
import type { Step } from './sound-way.js';
import type { ReadingSpace } from './space.js';

/** What a pair was found to have; its ohms once they were asked for. */
interface Look {
  readonly seen: Seen;
  readonly re: number;
  readonly im: number;
  readonly seenAt: number;
  ohms: { readonly re: number; readonly im: number } | undefined;
}

/**
 * What came of a fault: where a walk ended, and the network there, kept from the second time on that it is looked at: many
 * never are again. `unknown` where it can't be told after all.
 */
export interface Outcome {
  readonly walk: Walk;
  readonly start: OnBits;
  readonly walked: Walked;
  readonly on: OnBits;
  readonly rest: Step | undefined;
  seen: KeptNetwork | 'once' | 'unknown' | undefined;
  /** The same from another start. */
  readonly other: Outcome | undefined;
}

/**
 * What comes of a state: it stands still, contacts never settle, legs of a supply are shorted, something may blow, or it
 * can't be told from here.
 */
export type Walked = 'steady' | 'chattering' | 'shorts' | 'blows' | 'unknown';

interface Walk {
  /** What its networks keep so far. */
  looks: number;
  /** The network of an outcome, if it is that of the last walk; throws if it is not. */
  networkOf(outcome: Outcome): SeenNetwork;
}

interface Highest {
  readonly volts: number;
  readonly enough: number;
}

/**
 * A network with a fault laid over it, whose looks are kept: jobs look at the same places of the same states over and
 * over, and only the first has the fault laid for it.
 */
export class KeptNetwork implements SeenNetwork {
  readonly space: ReadingSpace;
  readonly sums: (Sums | undefined)[] = [];
  re = 0;
  im = 0;
  ohmsRe = 0;
  ohmsIm = 0;
  seenAt = 0;
  /** The network as it is laid, which others are laid over in turn: to be asked for each time. */
  private readonly outcome: Outcome;
  private readonly looks: Look[] = [];
  private readonly highest: Highest[] = [];

  constructor(space: ReadingSpace, outcome: Outcome) {
    this.space = space;
    this.outcome = outcome;
  }

  private laid(): SeenNetwork {
    return this.outcome.walk.networkOf(this.outcome);
  }

  look(index: number): Seen {
    const look = this.looks[index] ?? this.lookAnew(index);
    this.re = look.re;
    this.im = look.im;
    this.seenAt = look.seenAt;
    return look.seen;
  }

  private lookAnew(index: number): Look {
    const network = this.laid();
    this.outcome.walk.looks += 1;
    const seen = network.look(index);
    const { re, im, seenAt } = network;
    const look = { seen, re, im, seenAt, ohms: undefined };
    this.looks[index] = look;
    return look;
  }

  lookOhms(index: number): void {
    const look = this.looks[index] ?? this.lookAnew(index);
    look.ohms ??= this.ohmsAnew(index);
    this.ohmsRe = look.ohms.re;
    this.ohmsIm = look.ohms.im;
  }

  private ohmsAnew(index: number): { readonly re: number; readonly im: number } {
    const network = this.laid();
    network.look(index);
    network.lookOhms(index);
    return { re: network.ohmsRe, im: network.ohmsIm };
  }

  conducts(branch: number): boolean {
    return this.laid().conducts(branch);
  }

  shorts(nets: NetsBySpace): Shorts {
    return this.laid().shorts(nets);
  }

  siemens(branch: number): number {
    return this.space.siemens(this.seenAt, branch);
  }

  fix(index: number): void {
    const network = this.laid();
    network.look(index);
    network.fix(index);
  }

  transferToFixed(index: number): number {
    const network = this.laid();
    network.look(index);
    return network.transferToFixed(index);
  }

  highestVolts(position: number, enough: number): number {
    const kept = this.highest[position];
    if (kept !== undefined && (kept.volts >= enough || kept.enough >= enough)) return kept.volts;
    const volts = this.laid().highestVolts(position, enough);
    this.highest[position] = { volts, enough };
    return volts;
  }
}
