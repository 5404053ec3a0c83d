import { type Opened, rate } from '../answer/answer.js';
import { type Circuit, readState, type State } from '../circuit/circuit.js';
import { type Document, settingOf } from '../text/text.js';

/**
 * `--state speed-1 --state B1=in --state unplugged=J3+J4`, merged left to right like a list in a file. Problems
 * are placed in the words of the option.
 */
export function stateFromOptions(
  circuit: Circuit,
  options: readonly string[],
): { readonly state: State } & Pick<Opened<never>, 'problems'> {
  const text = options.join(' ');
  const values = options.map(optionValue);
  const starts = options.map((_, index) => options.slice(0, index).join(' ').length + (index === 0 ? 0 : 1));
  const source = { name: 'command line', text };
  const document: Document = {
    source,
    data: values,
    locate: (path) => {
      const index = path.find((step) => typeof step === 'number') ?? 0;
      const start = starts[index] ?? 0;
      return { source, span: { start, end: start + (options[index]?.length ?? text.length) } };
    },
  };
  const [only] = values;
  const { state, problems } = readState(circuit, values.length === 1 ? only : values, document, []);
  return { state, problems: rate(problems) };
}

function optionValue(option: string): unknown {
  const equals = option.indexOf('=');
  if (equals === -1) return option;
  const name = option.slice(0, equals).trim();
  const map: Record<string, unknown> = Object.create(null);
  map[name] = settingOf(name, option.slice(equals + 1).trim());
  return map;
}

/** A state as the option would be given, once for each; undefined where what went before takes more than it can say. */
export function stateOptions({ name, changes, before }: State): readonly string[] | undefined {
  if (name !== undefined) return [name];
  const earlier: string[] = [];
  for (const each of before) {
    const [only, second] = stateOptions(each) ?? [];
    if (only === undefined || second !== undefined) return undefined;
    earlier.push(only);
  }
  const own = Object.entries(changes).flatMap(([key, value]) =>
    key === 'after' ? [] : `${key}=${Array.isArray(value) ? value.join('+') : String(value)}`,
  );
  return earlier.length === 0 ? own : [...own, `after=${earlier.join('+')}`];
}
