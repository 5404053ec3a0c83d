import type { Fault, State, VariableFault } from '../../circuit/circuit.js';
import type { TestStand } from '../../meter/meter.js';

/** Where a fault of unknown value is looked for: a state, with power or dead for ohms, other faults being there too. */
export interface Setting {
  readonly stand: TestStand;
  readonly state: State;
  readonly dead: boolean;
  readonly variable: VariableFault;
  readonly others: readonly Fault[];
}

/** A fault of unknown value with one: `value` in its unit. */
export function faultOf({ part, mode, at, unit, changes }: VariableFault, value: number): Fault {
  const where = at === undefined ? {} : { at };
  return { part, mode, ...where, value: { low: value, high: value, unit }, changes: changes(value) };
}
