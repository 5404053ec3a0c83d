import type { Circuit } from '../../src/circuit/circuit.js';
import { examples } from '../examples/key.js';
import { circuitOf } from '../examples/taken.js';

/** Every circuit of the examples, or the one that is named, from the package's root. */
export function exampleCircuits(only?: string): [name: string, circuit: Circuit][] {
  const wanted = examples.filter(({ name }) => only === undefined || name === only);
  return wanted.map((each) => [each.name, circuitOf(each)]);
}

/** `dryer TF:open every=3 seed=2` of a command line: an example's name, what of it, and numbers by name. */
export function readArguments(usual: Readonly<Record<string, number>>): {
  readonly only: string | undefined;
  readonly what: string | undefined;
  readonly numbers: Readonly<Record<string, number>>;
} {
  const given = process.argv.slice(2);
  const numbers = { ...usual };
  const isNumber = (text: string) => /^[a-z]+=/.test(text);
  for (const each of given.filter(isNumber)) {
    const [name = '', value] = each.split('=');
    if (!Object.hasOwn(usual, name) || !Number.isFinite(Number(value))) throw new Error(`not known: ${each}`);
    numbers[name] = Number(value);
  }
  const [only, what] = given.filter((text) => !isNumber(text));
  return { only, what, numbers };
}
