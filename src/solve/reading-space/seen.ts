import type { NetsBySpace, Shorts } from './leg-nets.js';
import type { ReadingSpace } from './space.js';

/** What is known of a pair: its volts, that no path joins its ends, or nothing. */
export type Seen = 'known' | 'floating' | 'unknown';

/** Volts that all tolerances move a place by with no meter there, and so many more for each amp that one draws. */
export interface Sums {
  readonly volts: number;
  readonly ohms: number;
}

/** A network with faults laid over it, as it is seen from the pairs of a reading space. */
export interface SeenNetwork {
  readonly space: ReadingSpace;
  /** Sums by place that whoever makes them keeps here; absent where another fault is laid into it next. */
  readonly sums?: (Sums | undefined)[];
  /** Of the pair looked at last: volts, and ohms where they were asked for. */
  readonly re: number;
  readonly im: number;
  readonly ohmsRe: number;
  readonly ohmsIm: number;
  /** And their frequency; `mixed` where there are several. */
  readonly seenAt: number;
  conducts(branch: number): boolean;
  /** Whether supply legs that were apart in the space are shorted here. */
  shorts(nets: NetsBySpace): Shorts;
  /** Size of a branch's admittance as it was solved, at the frequency of the pair looked at last. */
  siemens(branch: number): number;
  look(index: number): Seen;
  lookOhms(index: number): void;
  fix(index: number): void;
  transferToFixed(index: number): number;
  /** The most volts of any node against a position; once there are `enough`, what was met so far. */
  highestVolts(position: number, enough: number): number;
}
