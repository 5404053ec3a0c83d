import { type Circuit, stateKey } from '../circuit/circuit.js';
import { type CheckAnswer, suspectsIn } from '../diagnose/diagnose.js';
import type { Job } from '../meter/meter.js';
import type { Ask } from './ask.js';

/** A way to choose the next reading; undefined where it has none. */
export type Strategy = (desk: Desk, job: Job) => Ask | undefined;

/** One circuit's jobs, each looked at once: many faults begin with the same complaint, and read alike for a while. */
export class Desk {
  readonly circuit: Circuit;
  private readonly checked = new Map<string, CheckAnswer>();
  private readonly asked = new Map<Strategy, Map<string, Ask | undefined>>();

  constructor(circuit: Circuit) {
    this.circuit = circuit;
  }

  check(job: Job): CheckAnswer {
    return remembered(this.checked, keyOf(job), () => suspectsIn(this.circuit, job));
  }

  /** Where this strategy puts the leads next. */
  next(strategy: Strategy, job: Job): Ask | undefined {
    const asked = remembered(this.asked, strategy, () => new Map<string, Ask | undefined>());
    return remembered(asked, keyOf(job), () => strategy(this, job));
  }
}

function remembered<K, V>(known: Map<K, V>, key: K, make: () => V): V {
  if (!known.has(key)) known.set(key, make());
  return known.get(key) as V;
}

/** Two jobs are one when their keys are equal. */
function keyOf({ meter, supply, symptoms, readings }: Job): string {
  return JSON.stringify([
    meter,
    [...supply],
    symptoms.map(({ state, load, works }) => [stateKey(state), load.name, works]),
    readings.map(({ state, where, shown, meter: each }) => [stateKey(state), where, shown, each.input]),
  ]);
}
