import type { Rung } from './rungs.js';

/** A rung with its place: what stands in one line of the sheet, and how its ends reach the rest. */
export interface Laid {
  readonly rung: Rung;
  /** Its first wire comes down (or up) from the node it starts at: the way wires are looped from part to part. */
  readonly dropsIn: boolean;
  /** Its last wire does. */
  readonly dropsOut: boolean;
}

/** The lines of a section from the top down. */
export type Rows = readonly (readonly Laid[])[];
