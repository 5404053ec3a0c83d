import type { Document, Path } from '../text/text.js';
import { nearestName, problemAt } from '../text/text.js';
import type { Circuit, Condition, Switch } from './model.js';
import { readConditionNumber } from './parts/condition.js';
import type { CircuitProblem, CircuitProblemData } from './problems.js';
import {
  changesOf,
  type ListKey,
  listKeys,
  type MutableState,
  restMutable,
  type State,
  type StateChanges,
  saysClosed,
  standing,
  thresholdContact,
} from './state.js';

/**
 * A state as a file writes it (a map, a named state, or a list merged left to right), laid over rest. Problems
 * are placed in `document`, the file the value stands in.
 */
export function readState(
  circuit: Circuit,
  value: unknown,
  document: Document,
  path: Path,
): { readonly state: State; readonly problems: readonly CircuitProblem[] } {
  const reader = new StateReader(circuit, document);
  reader.merge(value, path);
  const state = reader.finish(path, reader.state.before.at(-1));
  return { state: { ...state, ...namesIn(circuit, value, state) }, problems: reader.problems };
}

function namesIn(circuit: Circuit, value: unknown, state: State): Pick<State, 'name' | 'on'> {
  if (typeof value === 'string') return { name: value };
  const [name] = Array.isArray(value) ? value : [];
  const named = typeof name === 'string' ? circuit.states.get(name) : undefined;
  if (named === undefined) return {};
  const reader = new StateReader(circuit, circuit.document);
  reader.merge(name, named.path);
  const { changes } = reader.finish(named.path, reader.state.before.at(-1));
  const beyond: Record<string, StateChanges[string]> = Object.create(null);
  for (const [key, each] of Object.entries(state.changes))
    if (JSON.stringify(changes[key]) !== JSON.stringify(each)) beyond[key] = each;
  // What was taken back to rest could not be told this way.
  if (Object.keys(changes).some((key) => !(key in state.changes))) return {};
  return Object.keys(beyond).length === 0 ? { name: named.name } : { on: { name: named.name, beyond } };
}

/** Every named state, and rest itself, read once: their problems, at their own places. */
export function stateProblems(circuit: Circuit): readonly CircuitProblem[] {
  const found: CircuitProblem[] = [];
  const seen = new Set<string>();
  const keep = (problems: readonly CircuitProblem[], atRest = false) => {
    for (const problem of problems) {
      const key = `${problem.code} ${problem.at.span.start}`;
      // What is wrong at rest already is no news of a state that leaves it there.
      const said = `${problem.code} ${JSON.stringify(problem.data)}`;
      if (!(seen.has(key) || seen.has(said))) found.push(problem);
      seen.add(atRest ? said : key);
    }
  };
  const rest = new StateReader(circuit, circuit.document);
  rest.finish(['conditions'], undefined);
  keep(rest.problems, true);
  for (const each of circuit.states.values()) {
    keep(readState(circuit, each.value, circuit.document, each.path).problems);
  }
  return found;
}

/** More named and earlier states than any appliance is taken through. */
const mostStates = 500;

/** Collects problems while merging; used once per state. */
class StateReader {
  readonly state: MutableState;
  readonly problems: CircuitProblem[] = [];
  private readonly circuit: Circuit;
  private readonly document: Document;

  /** Named states being read, outermost first: one that comes round to itself never ends. */
  private readonly within: readonly string[];
  /** Conditions told to be out of their range: what hangs on them is not told as well. */
  private readonly outOfRange = new Set<string>();
  /** States read for this one so far, one after the other and one inside another. */
  private readonly read: { states: number };

  constructor(
    circuit: Circuit,
    document: Document,
    within: readonly string[] = [],
    read: { states: number } = { states: 0 },
  ) {
    this.circuit = circuit;
    this.document = document;
    this.within = within;
    this.read = read;
    this.state = restMutable(circuit);
  }

  merge(value: unknown, path: Path): void {
    this.read.states += 1;
    if (this.read.states > mostStates) {
      if (this.read.states === mostStates + 1) this.report('state-long', { limit: mostStates }, path);
      return;
    }
    if (typeof value === 'string') this.mergeNamed(value, path);
    else if (Array.isArray(value)) {
      for (const [index, each] of value.entries()) this.merge(each, [...path, index]);
    } else if (typeof value === 'object' && value !== null) {
      for (const [key, each] of Object.entries(value)) this.assign(key, each, [...path, key]);
    }
  }

  /** The state as read; `earlier` is the one it came from, whose memory it keeps between thresholds. */
  finish(path: Path, earlier: State | undefined): State {
    if (earlier !== undefined) this.remember(earlier);
    this.checkThresholds(path);
    this.checkSensors(path);
    return { ...this.state, changes: changesOf(this.circuit, this.state) };
  }

  /** A contact between its thresholds, of which the state says nothing, stands as it stood. */
  private remember(earlier: State): void {
    for (const { gate } of this.circuit.branches) {
      if (gate?.kind !== 'threshold' || this.state.settings.has(gate.switch)) continue;
      const value = this.state.settings.get(gate.condition);
      if (typeof value !== 'number' || thresholdContact(gate.limits, value) !== undefined) continue;
      this.state.settings.set(gate.switch, standing(earlier, gate));
    }
  }

  /** A sensor tells nothing known beyond what its curve is good for. */
  private checkSensors(path: Path): void {
    for (const { name, sensor } of this.circuit.branches) {
      const value = sensor && this.state.settings.get(sensor.condition);
      if (sensor === undefined || typeof value !== 'number') continue;
      const { from, to } = sensor.curve;
      if ((value >= from && value <= to) || this.outOfRange.has(sensor.condition)) continue;
      const data = { sensor: name, condition: sensor.condition, found: shownNumber(value) };
      this.report('curve-range', { ...data, from: shownNumber(from), to: shownNumber(to) }, path);
    }
  }

  private mergeNamed(name: string, path: Path): void {
    const named = this.circuit.states.get(name);
    if (named === undefined) {
      this.unknown('state', name, [...this.circuit.states.keys()], path);
      return;
    }
    if (this.within.includes(name)) {
      this.report('state-loop', { state: name }, path);
      return;
    }
    const inner = new StateReader(this.circuit, this.circuit.document, [...this.within, name], this.read);
    Object.assign(inner, { state: this.state });
    inner.merge(named.value, named.path);
    if (this.document === this.circuit.document) this.problems.push(...inner.problems);
  }

  private assign(key: string, value: unknown, path: Path): void {
    if (key === 'power') {
      if (value === 'on' || value === 'off') this.state.power = value === 'on';
      else this.report('state-value', { key, found: String(value), expected: 'on or off' }, path);
      return;
    }
    if (key === 'after') {
      this.assignBefore(value, path);
      return;
    }
    if (isListKey(key)) {
      this.assignList(key, value, path);
      return;
    }
    const target = this.circuit.switches.get(key);
    const condition = this.circuit.conditions.get(key);
    if (condition !== undefined) this.assignCondition(condition, value, path);
    else if (target !== undefined) this.assignSwitch(target, value, path);
    else {
      const allowed = [
        ...this.circuit.switches.keys(),
        ...this.circuit.conditions.keys(),
        'power',
        ...listKeys,
        'after',
      ];
      const data = { what: 'switch or condition', found: key, of: undefined, allowed } as const;
      this.report('reference-unknown', { ...data, nearest: nearestName(key, allowed) }, path, 'key');
    }
  }

  /** Each is a whole state over rest; one that went through others itself brings them along. */
  private assignBefore(value: unknown, path: Path): void {
    const list = Array.isArray(value) ? value : [value];
    const before: State[] = [];
    for (const [index, each] of list.entries()) {
      const where = Array.isArray(value) ? [...path, index] : path;
      const reader = new StateReader(this.circuit, this.document, this.within, this.read);
      reader.merge(each, where);
      for (const earlier of reader.state.before) before.push(earlier);
      reader.state.before = [];
      const inner = reader.finish(where, before.at(-1));
      this.problems.push(...reader.problems);
      before.push({ ...inner, ...(typeof each === 'string' ? { name: each } : {}) });
    }
    this.state.before = before;
  }

  private assignSwitch(target: Switch, value: unknown, path: Path): void {
    const position = String(value);
    if (target.followsLoad) {
      const expected = `nothing, for it follows ${target.follows ?? 'a load'}`;
      this.report('state-value', { key: target.name, found: position, expected }, path);
      return;
    }
    const moved = target.throws ? ['tripped', 'reset'] : ['open', 'closed', 'tripped', 'reset'];
    const allowed = target.positions ?? moved;
    if (allowed.includes(position)) this.state.settings.set(target.name, position);
    else this.unknown('position', position, allowed, path, target.name);
  }

  private assignCondition(condition: Condition, value: unknown, path: Path): void {
    const { name, values, unit, from, to } = condition;
    if (values !== undefined) {
      const word = String(value);
      if (values.includes(word)) this.state.settings.set(name, word);
      else this.unknown('value', word, values, path, name);
      return;
    }
    const number = readConditionNumber(value, unit);
    if (number === undefined) {
      const expected = unit === undefined ? 'a number' : `a number in ${unit}`;
      this.report('state-value', { key: name, found: String(value), expected }, path);
      return;
    }
    if ((from !== undefined && number < from) || (to !== undefined && number > to)) {
      const range = { from: String(from ?? 'any'), to: String(to ?? 'any') };
      this.outOfRange.add(name);
      this.report('condition-range', { condition: name, found: shownNumber(number), ...range }, path);
    }
    this.state.settings.set(name, number);
  }

  private assignList(key: ListKey, value: unknown, path: Path): void {
    const list = Array.isArray(value) ? value : [value];
    for (const [index, each] of list.entries()) {
      const name = String(each);
      const where = Array.isArray(value) ? [...path, index] : path;
      if (this.isListable(key, name, where)) this.state[key].add(name);
    }
  }

  private isListable(key: ListKey, name: string, path: Path): boolean {
    const { connectors, parts, nodeByName, branches } = this.circuit;
    if (key === 'unplugged') {
      if (!connectors.has(name)) this.unknown('connector', name, [...connectors.keys()], path);
      return connectors.has(name);
    }
    if (key === 'removed') {
      if (!parts.has(name)) this.unknown('part', name, [...parts.keys()], path);
      return parts.has(name);
    }
    const node = nodeByName.get(name);
    if (node === undefined) this.unknown('node', name, [...nodeByName.keys()], path);
    else if (
      branches.some((branch) => branch.role === 'wire' && (branch.from === node || branch.to === node))
    )
      return true;
    else this.report('wire-none', { node: name }, path);
    return false;
  }

  /** Between its thresholds a contact holds what it was: unless the state says which, nothing is known. */
  checkThresholds(path: Path): void {
    const told = new Set<string>();
    for (const branch of this.circuit.branches) {
      const gate = branch.gate;
      if (gate?.kind !== 'threshold' || told.has(branch.name)) continue;
      const value = this.state.settings.get(gate.condition);
      if (typeof value !== 'number') continue;
      const natural = thresholdContact(gate.limits, value);
      const said = this.state.settings.get(gate.switch);
      const shown = shownNumber(value);
      if (natural === undefined && said === undefined) {
        told.add(branch.name);
        const data = { switch: gate.switch, condition: gate.condition, value: shown, contact: branch.name };
        this.report('state-undecided', data, path);
      } else if (natural !== undefined && said !== undefined && saysClosed(said, gate.limits) !== natural) {
        const data = { switch: gate.switch, said: String(said), condition: gate.condition, value: shown };
        this.report('state-contradiction', data, path);
      }
    }
  }

  private unknown(
    what: CircuitProblemData['reference-unknown']['what'],
    found: string,
    allowed: readonly string[],
    path: Path,
    of?: string,
  ): void {
    this.report(
      'reference-unknown',
      { what, found, of, nearest: nearestName(found, allowed), allowed },
      path,
    );
  }

  private report<Code extends keyof CircuitProblemData>(
    code: Code,
    data: CircuitProblemData[Code],
    path: Path,
    part: 'key' | 'value' = 'value',
  ): void {
    this.problems.push(problemAt(this.document, code, data, path, part) as CircuitProblem);
  }
}

/** As a person reads it: converted from degF, a number may have digits nobody wrote. */
function shownNumber(value: number): string {
  return String(Number(value.toPrecision(5)));
}

function isListKey(key: string): key is ListKey {
  return (listKeys as readonly string[]).includes(key);
}
