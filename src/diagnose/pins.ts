import type { Circuit, ModuleInput, PinMapEntry, State } from '../circuit/circuit.js';
import { nominalSupplies, standOf } from '../meter/meter.js';
import { type Control, rmsVolts, sweepStates, type View } from '../solve/solve.js';

/** Control name to the values it must have, all together, for the pin to be live. */
export type Requirement = Readonly<Record<string, readonly string[]>>;

/** What the wiring says of one pin. */
export interface Pin {
  readonly node: string;
  readonly part: string;
  /** The module input the pin is, where it is one. */
  readonly input?: string;
  readonly live: 'never' | 'always' | 'sometimes';
  /** Empty unless `sometimes`. */
  readonly requires: Requirement;
  readonly declared?: { readonly label?: string; readonly switch: string; readonly position: string };
  /** Whether the pin map agrees with the wiring; absent where there is no entry. */
  readonly agrees?: boolean;
}

export interface PinsAnswer {
  readonly circuit: Circuit;
  /** The one part asked for, if any. */
  readonly part?: string;
  readonly pins: readonly Pin[];
  readonly states: number;
  readonly complete: boolean;
}

interface Candidate {
  readonly node: number;
  readonly part: string;
  readonly input: ModuleInput | undefined;
  readonly entry: PinMapEntry | undefined;
}

/**
 * Which pin belongs to which switch position: every state is solved, and a pin belongs to the positions without
 * which it is never live. Derived from the wiring alone; the declared pin map is only held against it.
 */
export function derivePins(circuit: Circuit, part?: string): PinsAnswer {
  const stand = standOf(circuit, nominalSupplies(circuit));
  const { states, complete, controls } = sweepStates(circuit);
  const candidates = candidatesOf(circuit).filter((each) => part === undefined || each.part === part);
  const liveIn: State[][] = candidates.map(() => []);
  for (const state of states) {
    const sight = stand.look(state, []);
    if (sight.kind !== 'steady') continue;
    for (const [index, candidate] of candidates.entries()) {
      if (isLive(sight.view, candidate)) liveIn[index]?.push(state);
    }
  }
  const pins = candidates.map((candidate, index) =>
    pinOf(circuit, candidate, liveIn[index] ?? [], states, controls),
  );
  return { circuit, ...(part === undefined ? {} : { part }), pins, states: states.length, complete };
}

function candidatesOf(circuit: Circuit): Candidate[] {
  const found: Candidate[] = [];
  for (const module of circuit.modules.values()) {
    for (const input of module.inputs) {
      const [node] = input.between;
      found.push({
        node,
        part: module.name,
        input,
        entry: circuit.pinMap.find((each) => each.node === node),
      });
    }
  }
  for (const entry of circuit.pinMap) {
    if (found.some((each) => each.node === entry.node)) continue;
    const name = circuit.nodes[entry.node]?.name ?? '';
    found.push({ node: entry.node, part: name.split('.')[0] ?? name, input: undefined, entry });
  }
  return found;
}

/** A module input sees enough volts; any other pin carries at least half of the highest voltage there is. */
function isLive(view: View, { node, input }: Candidate): boolean {
  if (input !== undefined) return (rmsVolts(view, ...input.between) ?? 0) >= input.atLeast;
  const { circuit } = view.point.plan;
  const highest = Math.max(0, ...[...circuit.supplies.values()].map((supply) => supply.volts));
  const zero = [...circuit.supplies.values()].flatMap((supply) => supply.legs).find((leg) => !leg.live);
  return zero !== undefined && (rmsVolts(view, node, zero.node) ?? 0) >= highest / 2;
}

function pinOf(
  circuit: Circuit,
  { node, part, input, entry }: Candidate,
  liveIn: readonly State[],
  states: readonly State[],
  controls: readonly Control[],
): Pin {
  const live = liveIn.length === 0 ? 'never' : liveIn.length === states.length ? 'always' : 'sometimes';
  const requires = live === 'sometimes' ? requirementOf(liveIn, controls) : {};
  return {
    node: circuit.nodes[node]?.name ?? '',
    part,
    ...(input === undefined ? {} : { input: input.name }),
    live,
    requires,
    ...(entry === undefined ? {} : declaredIn(entry, requires)),
  };
}

function declaredIn(
  { label, switch: name, position }: PinMapEntry,
  requires: Requirement,
): Pick<Pin, 'declared' | 'agrees'> {
  const agrees = Object.hasOwn(requires, name) && requires[name]?.includes(position) === true;
  return { declared: { ...(label === undefined ? {} : { label }), switch: name, position }, agrees };
}

/** The controls that are not free while the pin is live, with the values they then have. */
function requirementOf(liveIn: readonly State[], controls: readonly Control[]): Requirement {
  const requires: Record<string, readonly string[]> = Object.create(null);
  for (const { name, values, alike } of controls) {
    const seen = values.filter((value) => liveIn.some((state) => state.settings.get(name) === value));
    if (seen.length < values.length)
      requires[name] = seen.flatMap((value) => alike.get(value) ?? []).map(String);
  }
  return requires;
}
