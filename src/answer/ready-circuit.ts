/** A circuit that was read and is sound as far as a file can be. It never changes. */
export interface ReadyCircuit {
  readonly title: string;
  /** Nodes that a lead can be put on: within reach and without a hazard. */
  readonly testPoints: readonly string[];
  readonly parts: readonly string[];
  /** Loads, a module's outputs among them as MODULE.OUTPUT. */
  readonly loads: readonly string[];
  /** Names of its named states. */
  readonly states: readonly string[];
  /** Every definite single fault, as `expect` takes them: PART[.CONTACT]:MODE. */
  readonly faults: readonly string[];
}
