import type { Circuit, State } from '../circuit/circuit.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { namedAll } from './phrases.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { wordState } from './word-state.js';

/** What is set at the bench, in a line. */
export function wordSetting(
  state: State,
  setting: {
    readonly red?: string;
    readonly black?: string;
    readonly on?: string;
    readonly function?: string;
    readonly input: 'high' | 'low';
  },
  style: TerminalStyle,
): string {
  const { red, black, on, function: set = 'V', input } = setting;
  const lead = (name: string | undefined) => (name === undefined ? 'free' : `on ${clean(name)}`);
  const leads = on === undefined ? `red ${lead(red)}, black ${lead(black)}` : `clamp around ${clean(on)}`;
  const power = state.power ? 'power on' : 'proved dead';
  const meter = set.startsWith('V') ? `${set}, ${input}-impedance input` : set;
  return `${fold(`${wordState(state)}, ${power}; ${leads}; ${meter}.`, style)}\n`;
}

/** What can be set on this appliance: its states, switches and conditions. */
export function wordStates({ states, switches, conditions }: Circuit): string {
  const positions = [...switches.values()].flatMap(({ name, positions: own }) =>
    own === undefined ? [] : `${clean(name)} (${namedAll(own).join(', ')})`,
  );
  const names = [
    ['States', namedAll([...states.keys()])],
    ['Switches', positions],
    ['Conditions', namedAll([...conditions.keys()])],
  ] as const;
  return names
    .flatMap(([what, each]) => (each.length === 0 ? [] : `${what} here: ${each.join(', ')}.`))
    .join(' ');
}

/** What can be said at the bench, and what there is to set. */
export function benchHelp(
  circuit: Circuit,
  lines: readonly (readonly [line: string, does: string])[],
  style: TerminalStyle,
): string {
  return `${showTable(
    ['say', 'and it is'],
    lines.map((each) => [...each]),
    style,
    [1],
  )}\n${fold(wordStates(circuit), style)}\n`;
}
