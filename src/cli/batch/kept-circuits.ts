import type { OpenedCircuit } from '../../answer/answer.js';
import type { Loaded } from '../load.js';

/** Circuits one worker keeps. A job of another one reads it again; a library's jobs mostly come circuit by circuit. */
const mostKept = 16;

type LoadedCircuit = Loaded<OpenedCircuit>;

/** Circuits that were read, by path or text, the longest unused given up first. One that is wrong is as wrong each time. */
export class KeptCircuits {
  private readonly kept = new Map<string, Promise<LoadedCircuit>>();

  get(key: string, load: () => Promise<LoadedCircuit>): Promise<LoadedCircuit> {
    const circuit = this.kept.get(key) ?? load();
    this.kept.delete(key);
    this.kept.set(key, circuit);
    const [oldest] = this.kept.keys();
    if (this.kept.size > mostKept && oldest !== undefined) this.kept.delete(oldest);
    return circuit;
  }
}
