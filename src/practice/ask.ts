import type { State } from '../circuit/circuit.js';
import type { Probe } from '../meter/meter.js';

/** Where a technician puts the leads, and in which state. */
export interface Ask {
  readonly state: State;
  readonly probe: Probe;
}
