import { type Circuit, restState, type State, withSetting } from '../circuit/circuit.js';

/** Something a person or the appliance sets: a switch with its positions, a condition with the values that matter. */
export interface Control {
  readonly name: string;
  readonly rest: string | number;
  /** Rest first; of positions in which every contact stands the same, the first stands for all. */
  readonly values: readonly (string | number)[];
  /** The other positions that a value stands for, with itself. */
  readonly alike: ReadonlyMap<string | number, readonly (string | number)[]>;
}

export interface Sweep {
  /** States by number of changes from rest, fewest first; ties in file order. */
  readonly states: readonly State[];
  /** False when there are more combinations than were listed. */
  readonly complete: boolean;
  readonly controls: readonly Control[];
}

/** Combinations looked at before a sweep is cut short, so that many switches do not keep a person waiting. */
export const sweepLimit = 4096;

/** Every combination of positions and of the condition values on either side of each threshold, up to a limit. */
export function sweepStates(circuit: Circuit, limit: number = sweepLimit): Sweep {
  const controls = controlsOf(circuit);
  const states: State[] = [];
  const rest = restState(circuit);
  for (let changes = 0; changes <= controls.length && states.length < limit; changes += 1) {
    addStates(states, rest, controls, 0, changes, limit);
  }
  const all = controls.reduce((product, control) => product * control.values.length, 1);
  return { states, complete: all <= limit, controls };
}

function addStates(
  states: State[],
  state: State,
  controls: readonly Control[],
  from: number,
  changes: number,
  limit: number,
): void {
  if (states.length >= limit) return;
  if (changes === 0) {
    states.push(state);
    return;
  }
  for (let index = from; index <= controls.length - changes; index += 1) {
    const { name, values } = controls[index]!;
    for (const value of values.slice(1)) {
      addStates(states, withSetting(state, name, value), controls, index + 1, changes - 1, limit);
    }
  }
}

function controlsOf(circuit: Circuit): Control[] {
  const controls: Control[] = [];
  for (const { name, positions, rest } of circuit.switches.values()) {
    if (positions === undefined || rest === undefined) continue;
    const alike = alikePositions(circuit, name, [rest, ...positions.filter((position) => position !== rest)]);
    controls.push({ name, rest, values: [...alike.keys()], alike });
  }
  for (const { name, rest, values } of circuit.conditions.values()) {
    const telling = values ?? telltaleNumbers(circuit, name);
    const all = [rest, ...telling.filter((value) => value !== rest)];
    controls.push({ name, rest, values: all, alike: new Map(all.map((value) => [value, [value]])) });
  }
  return controls;
}

/** Positions by which of the switch's contacts they close: a timer of sixty steps has a handful of those. */
function alikePositions(circuit: Circuit, name: string, positions: readonly string[]): Map<string, string[]> {
  const gates = circuit.branches.flatMap(({ gate }) =>
    gate?.kind === 'position' && gate.switch === name ? [gate] : [],
  );
  const first = new Map<string, string>();
  const alike = new Map<string, string[]>();
  for (const position of positions) {
    const key = gates.map(({ closedIn }) => (closedIn.has(position) ? 'X' : 'O')).join('');
    const stands = first.get(key) ?? position;
    first.set(key, stands);
    alike.set(stands, [...(alike.get(stands) ?? []), position]);
  }
  return alike;
}

/** One whole number clear of each threshold on either side: enough to put every contact in both of its positions. */
function telltaleNumbers(circuit: Circuit, condition: string): number[] {
  const { rest, from, to } = circuit.conditions.get(condition) ?? { rest: 0 };
  const numbers = new Set<number>();
  for (const { gate } of circuit.branches) {
    if (gate?.kind !== 'threshold' || gate.condition !== condition) continue;
    const { opensAbove, closesBelow, closesAbove, opensBelow } = gate.limits;
    const upper = opensAbove ?? closesAbove ?? 0;
    const lower = closesBelow ?? opensBelow ?? upper;
    const margin = Math.max(1, Math.abs(upper) / 100);
    const [above, below] = [Math.ceil(upper + margin), Math.floor(lower - margin)];
    if (to === undefined || above <= to) numbers.add(above);
    if ((from === undefined || below >= from) && typeof rest === 'number' && rest > lower) numbers.add(below);
  }
  // A value that clears one contact's thresholds may lie between another's: it is of no use here.
  const undecided = (value: number) =>
    circuit.branches.some(({ gate }) => {
      if (gate?.kind !== 'threshold' || gate.condition !== condition) return false;
      const { opensAbove, closesBelow, closesAbove, opensBelow } = gate.limits;
      const upper = opensAbove ?? closesAbove ?? 0;
      return value <= upper && value > (closesBelow ?? opensBelow ?? upper);
    });
  // Beyond its curve nothing is known of a sensor.
  const beyond = (value: number) =>
    circuit.branches.some(
      ({ sensor }) =>
        sensor?.condition === condition && (value < sensor.curve.from || value > sensor.curve.to),
    );
  return [...numbers].filter((value) => !(undecided(value) || beyond(value))).sort((a, b) => a - b);
}
