import {
  type BranchRole,
  type Circuit,
  isConductor,
  readState,
  restState,
  type State,
  stateKey,
  withLoose,
  withPowerOff,
  withSwitchesAtRest,
} from '../../circuit/circuit.js';
import { type Job, type Probe, probeOf } from '../../meter/meter.js';
import type { Standing } from './costs.js';
import type { Hypothesis } from './hypotheses.js';
import type { SafePlaces } from './safe-places.js';

/** Where the two leads go. */
export type Pair = readonly [red: number, black: number];

/** The states thought of: where things stand, the job's, switches back at rest, rest itself, the named ones; each once. */
export function knownStates(circuit: Circuit, job: Job, standing: Standing, places: SafePlaces): State[] {
  const named = [...circuit.states.values()].map(
    ({ name, path }) => readState(circuit, name, circuit.document, path).state,
  );
  const jobs = [...job.symptoms, ...job.readings].map(({ state }) => state);
  const idle = withSwitchesAtRest(circuit, standing.state);
  const all = [standing.state, ...jobs, idle, restState(circuit), ...named];
  return distinct(all.filter(places.isAllowed));
}

function distinct(states: readonly State[]): State[] {
  const byKey = new Map<string, State>();
  for (const state of states) if (!byKey.has(stateKey(state))) byKey.set(stateKey(state), state);
  return [...byKey.values()];
}

/** The same with the power off, for dead readings. */
export function deadStates(known: readonly State[]): State[] {
  return distinct(known.map((state) => (state.power ? withPowerOff(state) : state)));
}

/** A dead state in which a part is read by itself, and the part's ends. */
export interface Loosened {
  readonly state: State;
  readonly across: Pair;
}

/** More parts than this are not thought of as taken out of their circuit: it is work. */
const mostLoosened = 3;

/**
 * Loads, coils and the like are read with a way for current beside them, until one of their terminals is lifted or a
 * connector they hang on is unplugged. The likeliest of those suspected, never where that takes an earth wire off.
 */
export function loosened(
  circuit: Circuit,
  state: State,
  hypotheses: readonly Hypothesis[],
  places: SafePlaces,
): Loosened[] {
  const parts = [...new Set(hypotheses.flatMap((each) => each.parts))];
  const branches = parts.flatMap((name) =>
    (circuit.parts.get(name)?.branches ?? []).flatMap((index) => circuit.branches[index] ?? []),
  );
  return branches
    .filter(({ role, from, to }) => isOwnLoad(role) && places.isTestPoint(from) && places.isTestPoint(to))
    .slice(0, mostLoosened)
    .flatMap(({ from, to }): Loosened[] =>
      looseStates(circuit, state, [from, to], places).map((each) => ({ state: each, across: [from, to] })),
    );
}

function isOwnLoad(role: BranchRole): boolean {
  return role === 'load' || role === 'coil' || role === 'passive' || role === 'winding';
}

function looseStates(circuit: Circuit, state: State, [from, to]: Pair, places: SafePlaces): State[] {
  const { nodes, branches, connectors } = circuit;
  const plugs = [...connectors.values()].filter(({ pins }) =>
    pins.some(({ branch }) => {
      const pin = branches[branch]?.from ?? -1;
      return places.sameNet(pin, from) || places.sameNet(pin, to);
    }),
  );
  const terminal = nodes[from]?.name ?? '';
  return [
    withLoose(state, new Set([terminal]), new Set()),
    ...plugs.map(({ name }) => withLoose(state, new Set(), new Set([name]))),
  ].filter(places.isAllowed);
}

/** Pairs of leads for volts: every test point against a usual black lead, and across what is suspected. */
export function liveLeads(
  circuit: Circuit,
  standing: Standing,
  places: SafePlaces,
  across: readonly Pair[],
): Pair[] {
  const fixed = fixedBlacks(circuit, standing, places);
  const pairs: Pair[] = [];
  for (const { index: red, behind } of circuit.nodes) {
    if (!places.isTestPoint(red)) continue;
    const near = behind === undefined ? [] : blacksBehind(circuit, places, behind);
    for (const black of [...fixed, ...near]) pairs.push([red, black]);
  }
  return distinctPairs([...pairs, ...across], places);
}

/** The lead in use, each supply's zero, and the chassis. */
function fixedBlacks(circuit: Circuit, standing: Standing, places: SafePlaces): number[] {
  const zeros = [...circuit.supplies.values()].flatMap(({ legs }) =>
    legs.filter(({ live, name }) => !live && name !== 'earth').map(({ node }) => node),
  );
  const chassis = circuit.nodes
    .filter(({ index }) => places.isEarth(index) && places.isTestPoint(index))
    .sort((a, b) => a.accessMinutes - b.accessMinutes)[0]?.index;
  const all = [standing.black, ...zeros, chassis].flatMap((node) => node ?? []);
  return [...new Set(all)].filter(places.isTestPoint);
}

/**
 * Places behind the same cover to hold the others against, where the black lead need not go far: on a supply's zero, and
 * on each live leg where there are several. What is fed from two legs reads the far leg through its load where the near
 * one fails; against that leg it reads what is lost on the way.
 */
function blacksBehind(circuit: Circuit, places: SafePlaces, behind: string): number[] {
  const homes = [...circuit.supplies.values()].flatMap(({ legs }) => {
    const zeros = legs.filter(({ live, name }) => !live && name !== 'earth');
    const live = legs.filter((leg) => leg.live);
    return [zeros, ...(live.length < 2 ? [] : live.map((leg) => [leg]))].map((each) =>
      each.map(({ node }) => node),
    );
  });
  const near = circuit.nodes.filter((node) => node.behind === behind && places.isTestPoint(node.index));
  return homes.flatMap(
    (nodes) => near.find(({ index }) => nodes.some((home) => places.sameNet(home, index)))?.index ?? [],
  );
}

export function distinctPairs(pairs: readonly Pair[], { isTestPoint }: SafePlaces): Pair[] {
  const byKey = new Map<string, Pair>();
  for (const [a, b] of pairs) {
    if (a === b || !isTestPoint(a) || !isTestPoint(b)) continue;
    const key = a < b ? `${a} ${b}` : `${b} ${a}`;
    if (!byKey.has(key)) byKey.set(key, [a, b]);
  }
  return [...byKey.values()];
}

/** The two ends of every branch of the suspected parts. */
export function acrossSuspects(circuit: Circuit, hypotheses: readonly Hypothesis[]): Pair[] {
  const parts = new Set(hypotheses.flatMap(({ parts: each }) => each));
  return [...parts].flatMap((name) =>
    (circuit.parts.get(name)?.branches ?? []).flatMap((index): Pair[] => {
      const branch = circuit.branches[index];
      return branch === undefined || branch.role === 'source' ? [] : [[branch.from, branch.to]];
    }),
  );
}

/** From where something suspected would leak, to the metal it would leak to: with the power off, for ohms. */
export function leakPairs(hypotheses: readonly Hypothesis[]): Pair[] {
  const faults = hypotheses.flatMap(({ suspect }) => suspect.faults);
  return faults
    .filter(({ mode }) => mode === 'leaks-to-earth')
    .flatMap(({ changes }) =>
      changes.flatMap((change): Pair[] => (change.kind === 'moved' ? [[change.from, change.to]] : [])),
    );
}

/**
 * All that conducts to one place leaks there alike, until wires are lifted: off that place, and what is left of it leaks
 * or they do; or off the far end of a wire, which is then read with what it leads to. The likeliest of those suspected,
 * never where that takes an earth wire off.
 */
export function loosenedLeaks(
  circuit: Circuit,
  state: State,
  hypotheses: readonly Hypothesis[],
  places: SafePlaces,
): Loosened[] {
  const { nodes, branches } = circuit;
  const wires = branches.filter(({ role }) => role === 'wire');
  const across = distinctPairs(leakPairs(hypotheses), places).filter(([place]) =>
    wires.some(({ from, to }) => from === place || to === place),
  );
  const lifted = (node: number, pair: Pair): Loosened => ({
    state: withLoose(state, new Set([nodes[node]?.name ?? '']), new Set()),
    across: pair,
  });
  const suspected = new Set(hypotheses.flatMap(({ parts }) => parts));
  const far = across.flatMap((pair) =>
    wires
      .filter(({ part, from, to }) => suspected.has(part) && to === pair[0] && places.isTestPoint(from))
      .map(({ from }) => lifted(from, pair)),
  );
  const near = across.map((pair) => lifted(pair[0], pair));
  return [...near.slice(0, mostLoosened), ...far.slice(0, mostLoosened)].filter((each) =>
    places.isAllowed(each.state),
  );
}

/**
 * From where a lead is already, or from a supply terminal, to the ends of what is suspected: whether all between them
 * conducts, with the power off.
 */
export function spans(circuit: Circuit, { red, black }: Standing, across: readonly Pair[]): Pair[] {
  const legs = [...circuit.supplies.values()].flatMap((supply) => supply.legs);
  const terminals = legs.filter(({ name }) => name !== 'earth').map(({ node }) => node);
  const homes = new Set([red, black, ...terminals].flatMap((node) => node ?? []));
  const ends = new Set(across.flat());
  return [...homes].flatMap((home) => [...ends].map((end): Pair => [end, home]));
}

/** Single wires that a clamp can be put around: not those of the cord, which lie together. */
export function clampable(circuit: Circuit, { isTestPoint }: SafePlaces): number[] {
  const terminals = new Set(
    [...circuit.supplies.values()].flatMap(({ legs }) => legs.map(({ node }) => node)),
  );
  const { nodes } = circuit;
  const safe = (node: number) => nodes[node]?.hazard === undefined && !terminals.has(node);
  return circuit.branches
    .filter(
      ({ role, from, to }) =>
        role === 'wire' && safe(from) && safe(to) && (isTestPoint(from) || isTestPoint(to)),
    )
    .map(({ index }) => index);
}

/** Branches that join a pair of places directly, as a contact or a wire does. */
export function directConductors({ branches }: Circuit): (a: number, b: number) => readonly number[] {
  const byKey = new Map<string, number[]>();
  const key = (a: number, b: number) => (a < b ? `${a} ${b}` : `${b} ${a}`);
  for (const { role, from, to, index } of branches) {
    if (!isConductor(role)) continue;
    const at = key(from, to);
    byKey.set(at, [...(byKey.get(at) ?? []), index]);
  }
  return (a, b) => byKey.get(key(a, b)) ?? [];
}

/** The readings a job holds already: taken again they tell nothing new. */
export function takenIn(job: Job): (state: State, probe: Probe) => boolean {
  const taken = new Set(
    job.readings
      .filter(({ shown }) => shown.kind !== 'blank')
      .map((reading) => readingKey(reading.state, probeOf(reading))),
  );
  return (state, probe) => taken.has(readingKey(state, probe));
}

/** Leads either way round are one reading. */
export function readingKey(state: State, { where, unit, meter }: Probe): string {
  const place =
    where.kind === 'around'
      ? `${where.branch}`
      : `${Math.min(where.red, where.black)} ${Math.max(where.red, where.black)}`;
  return `${stateKey(state)} ${unit} ${unit === 'V' ? meter.input : ''} ${place}`;
}
