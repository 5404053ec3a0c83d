import type { Gate, Thresholds } from './branch.js';
import type { Circuit } from './model.js';

/**
 * A full assignment: every switch's position and every condition's value (`settings`, by name), power, and what
 * is unplugged, lifted or taken out. A switch between its thresholds has its own word here: open or closed.
 */
export interface State {
  readonly power: boolean;
  readonly settings: ReadonlyMap<string, string | number>;
  readonly unplugged: ReadonlySet<string>;
  readonly disconnected: ReadonlySet<string>;
  readonly removed: ReadonlySet<string>;
  /** The states it went through before, in order: what they left pulled in stays so where nothing drops it. */
  readonly before: readonly State[];
  /** What differs from rest, in the circuit's order; two states are one when these are equal. */
  readonly changes: StateChanges;
  /** The named state it was given as. */
  readonly name?: string;
  /** The named state it was built on, and what it says beyond that. */
  readonly on?: { readonly name: string; readonly beyond: StateChanges };
}

/** What a state says beyond rest, as a file would write it. */
export type StateChanges = {
  readonly [name: string]: string | number | readonly string[] | readonly StateChanges[];
};

/** What a state lists by name. */
export const listKeys: readonly ['unplugged', 'disconnected', 'removed'] = [
  'unplugged',
  'disconnected',
  'removed',
];
export type ListKey = (typeof listKeys)[number];

/** A state while it is put together. */
export interface MutableState {
  power: boolean;
  settings: Map<string, string | number>;
  unplugged: Set<string>;
  disconnected: Set<string>;
  removed: Set<string>;
  before: readonly State[];
}

/** Nobody touches the appliance, and it is plugged in. */
export function restState(circuit: Circuit): State {
  return { ...restMutable(circuit), changes: Object.freeze(Object.create(null)) };
}

export function restMutable(circuit: Circuit): MutableState {
  const settings = new Map<string, string | number>();
  for (const each of circuit.switches.values())
    if (each.rest !== undefined) settings.set(each.name, each.rest);
  for (const each of circuit.conditions.values()) settings.set(each.name, each.rest);
  return {
    power: true,
    settings,
    unplugged: new Set(),
    disconnected: new Set(),
    removed: new Set(),
    before: [],
  };
}

/** The state with one switch or condition moved off its rest; names and values must be valid already. */
export function withSetting(state: State, name: string, value: string | number): State {
  const changes = Object.assign(Object.create(null), state.changes, { [name]: value });
  // It is no longer the state that has the name.
  const { name: _, on: __, ...rest } = state;
  return { ...rest, settings: new Map(state.settings).set(name, value), changes };
}

/** The state with terminals lifted and connectors unplugged besides; names must be valid already. */
export function withLoose(
  state: State,
  disconnected: ReadonlySet<string>,
  unplugged: ReadonlySet<string>,
): State {
  const all = {
    disconnected: new Set([...state.disconnected, ...disconnected]),
    unplugged: new Set([...state.unplugged, ...unplugged]),
  };
  const changes = Object.assign(Object.create(null), state.changes);
  for (const key of ['unplugged', 'disconnected'] as const)
    if (all[key].size > 0) changes[key] = [...all[key]].sort();
  const { name: _, on: __, ...rest } = state;
  return { ...rest, ...all, changes };
}

/** The state with the power off, and so with nothing left of what went before but how contacts stand. */
export function withPowerOff(state: State): State {
  const { name, on, changes, ...rest } = state;
  const { unplugged, disconnected, removed, after: _, power: __, ...settings } = changes;
  const lists = Object.entries({ unplugged, disconnected, removed }).filter(([, list]) => list !== undefined);
  const off = Object.assign(Object.create(null), settings, { power: 'off' }, Object.fromEntries(lists));
  const called = state.before.length === 0 && name !== undefined && !('power' in changes);
  const onto = called ? { on: { name, beyond: { power: 'off' } } } : {};
  return { ...rest, power: false, before: [], changes: off, ...onto };
}

/** Closed, open, or (between the thresholds) whatever it was. */
export function thresholdContact(limits: Thresholds, value: number): boolean | undefined {
  const { opensAbove, closesBelow, closesAbove, opensBelow } = limits;
  if (opensAbove !== undefined) {
    if (value > opensAbove) return false;
    return value <= (closesBelow ?? opensAbove) ? true : undefined;
  }
  if (closesAbove !== undefined) {
    if (value > closesAbove) return true;
    return value <= (opensBelow ?? closesAbove) ? false : undefined;
  }
  return undefined;
}

/** How a contact between its thresholds stands, in the state's words: tripped is as it is above both of them. */
export function saysClosed(said: string | number, { closesAbove }: Thresholds): boolean {
  return said === 'closed' || said === (closesAbove === undefined ? 'reset' : 'tripped');
}

/** The word for how a switch stood in a state. */
export function standing(state: State, gate: Extract<Gate, { kind: 'threshold' }>): string {
  return isClosedByState(state, gate) === (gate.limits.closesAbove !== undefined) ? 'tripped' : 'reset';
}

/** Whether a gate that hangs on the state alone lets its branch conduct; what actuators move is not the state's to say. */
export function isClosedByState(state: State, gate: Exclude<Gate, { kind: 'actuator' }>): boolean {
  if (gate.kind === 'fault') return false;
  const value = state.settings.get(gate.kind === 'position' ? gate.switch : gate.condition);
  if (gate.kind !== 'threshold') return value !== undefined && gate.closedIn.has(String(value));
  const natural = typeof value === 'number' ? thresholdContact(gate.limits, value) : undefined;
  return natural ?? saysClosed(state.settings.get(gate.switch) ?? '', gate.limits);
}

export function changesOf(circuit: Circuit, state: MutableState): StateChanges {
  const changes: Record<string, StateChanges[string]> = Object.create(null);
  const rest = restMutable(circuit).settings;
  for (const [name, value] of state.settings) if (rest.get(name) !== value) changes[name] = value;
  if (!state.power) changes['power'] = 'off';
  for (const key of listKeys) if (state[key].size > 0) changes[key] = [...state[key]].sort();
  if (state.before.length > 0) changes['after'] = state.before.map((each) => each.changes);
  return changes;
}

/** The state with every switch that a person sets back at rest, and conditions (a level, a temperature) as they are. */
export function withSwitchesAtRest(circuit: Circuit, state: State): State {
  const { name: _, on: __, ...kept } = state;
  const settings = new Map(state.settings);
  for (const { name, rest } of circuit.switches.values()) if (rest !== undefined) settings.set(name, rest);
  const { unplugged, disconnected, removed } = state;
  const lists = {
    unplugged: new Set(unplugged),
    disconnected: new Set(disconnected),
    removed: new Set(removed),
  };
  const changes = changesOf(circuit, { power: state.power, settings, ...lists, before: [] });
  return { ...kept, settings, before: [], changes };
}

const keys = new WeakMap<State, string>();

/** Two states are one when their keys are equal. */
export function stateKey(state: State): string {
  const kept = keys.get(state);
  if (kept !== undefined) return kept;
  const key = JSON.stringify(state.changes);
  keys.set(state, key);
  return key;
}
