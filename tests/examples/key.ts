import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';

/** What is the matter in a readings file of an example, and what is to be found; it stands in `NAME.key.yaml`. */
export interface KeyEntry {
  /** Faults the readings were taken with, as the command line writes them; none where all is well. */
  readonly planted: readonly string[];
  readonly answer: {
    readonly verdict: string;
    /** As the command line writes them, best first; two at once are joined by ` and `. */
    readonly suspects: readonly string[];
  };
  /** The class of fault: for whoever picks files to practise with. */
  readonly class: string;
  /** The classic mistake with this machine, where this file repeats it. */
  readonly mistake?: string;
  /** Readings by number that were not worked out: a stray voltage, an overload that comes and goes. */
  readonly asWritten?: readonly number[];
}

export interface Example {
  readonly name: string;
  readonly circuitPath: string;
  /** Facts of the trade that the circuit rests on, each with its source in brackets at its end. */
  readonly facts: readonly string[];
  /** Which faults no reading tells apart, and why. */
  readonly alike: string;
  /** By the name of the readings file. */
  readonly files: Readonly<Record<string, KeyEntry>>;
}

export const examples: readonly Example[] = readdirSync('examples', { withFileTypes: true })
  .filter((each) => each.isDirectory())
  .map(({ name }) => name)
  .sort()
  .map((name) => {
    const text = readFileSync(`examples/${name}/${name}.key.yaml`, 'utf8');
    const { facts, alike, files } = parse(text) as Pick<Example, 'facts' | 'alike' | 'files'>;
    return { name, circuitPath: `examples/${name}/${name}.circuit.yaml`, facts, alike, files };
  });
