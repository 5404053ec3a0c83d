import type { Circuit, Minutes, State } from '../../circuit/circuit.js';
import { stateKey } from '../../circuit/circuit.js';
import type { Input, Job, Probe } from '../../meter/meter.js';

/**
 * Minutes of work on an appliance, for want of measured ones: judgement, no source. They only weigh readings against
 * one another; what a cover takes stands in the circuit file.
 */
export const minutes = {
  /** The red lead to another place. */
  lead: 0.5,
  /** The black lead as well: it likes to stay where it is. */
  black: 1,
  clamp: 1,
  /** The meter to its other input. */
  input: 0.25,
  switch: 0.25,
  /** A door, a filter: by hand. */
  byHand: 1,
  /** A temperature or a level has to be waited for. */
  condition: 15,
  /** Leads on live parts: slower, and a reason to do without. */
  live: 1.5,
  /** Nothing bare is touched. */
  liveClamp: 0.5,
  /** Off, locked, and proved dead. */
  isolate: 3,
  restore: 0.5,
  /** Wires off a terminal and marked, or back on. */
  lift: 2,
  unplug: 1,
  /** A part taken out, tested or exchanged, once one has got to it. */
  swap: 8,
} as const;

export type CostKind =
  | 'access'
  | 'red lead'
  | 'black lead'
  | 'clamp'
  | 'input'
  | 'state'
  | 'live work'
  | 'isolate'
  | 'restore'
  | 'lift'
  | 'unplug';

export interface CostPart {
  readonly what: CostKind;
  readonly minutes: Minutes;
  /** The covers that are opened, or what is changed. */
  readonly of?: readonly string[];
}

/** How things stand after the readings so far: what a next one need not do again. */
export interface Standing {
  readonly state: State;
  readonly red: number | undefined;
  readonly black: number | undefined;
  readonly input: Input;
  /** Covers that are open, and places reached by themselves. */
  readonly opened: ReadonlySet<string>;
}

/** After a job's last reading; before the first, in the state of the complaint with both leads in hand. */
export function standingOf(circuit: Circuit, job: Job, rest: State): Standing {
  const last = job.readings.at(-1);
  const complaint = job.symptoms.find((symptom) => !symptom.works) ?? job.symptoms[0];
  const touched = job.readings.flatMap(({ where }) =>
    where.kind === 'between' ? [where.red, where.black] : clampEnd(circuit, where.branch),
  );
  const leads = job.readings.flatMap(({ where }) => (where.kind === 'between' ? [where] : [])).at(-1);
  return {
    state: last?.state ?? complaint?.state ?? rest,
    red: leads?.red,
    black: leads?.black,
    input: last?.meter.input ?? job.meter.input,
    opened: new Set(touched.map((node) => coverOf(circuit, node))),
  };
}

/** The end of a wire that a clamp goes on: the one that is quicker to get at. */
function clampEnd({ branches, nodes }: Circuit, branch: number): number[] {
  const { from, to } = branches[branch] ?? { from: 0, to: 0 };
  const reach = (node: number) =>
    nodes[node]?.reachable === true ? (nodes[node]?.accessMinutes ?? 0) : Number.POSITIVE_INFINITY;
  return [reach(to) < reach(from) ? to : from];
}

function coverOf({ nodes }: Circuit, node: number): string {
  const { behind, name = '' } = nodes[node] ?? {};
  return behind === undefined ? `at ${name}` : `behind ${behind}`;
}

/** What a reading takes beside getting into its state, item by item. */
export function probeCost(circuit: Circuit, at: Standing, state: State, probe: Probe): CostPart[] {
  const { where, meter } = probe;
  const places = where.kind === 'between' ? [where.red, where.black] : clampEnd(circuit, where.branch);
  const parts = accessCost(circuit, at, places);
  const add = (what: CostKind, each: Minutes) => parts.push({ what, minutes: each });
  if (where.kind === 'around') add('clamp', minutes.clamp);
  else {
    if (where.red !== at.red) add('red lead', minutes.lead);
    if (where.black !== at.black) add('black lead', minutes.black);
  }
  if (probe.unit === 'V' && meter.input !== at.input) add('input', minutes.input);
  if (state.power) add('live work', where.kind === 'around' ? minutes.liveClamp : minutes.live);
  return parts;
}

export function totalMinutes(parts: readonly CostPart[]): Minutes {
  // A reading takes a moment even where nothing has to be moved for it.
  return parts.reduce<Minutes>((sum, part) => sum + part.minutes, minutes.lead);
}

/** To take a part out and test it, or put in another: from the quickest of its terminals to get to. */
export function swapMinutes({ parts, branches, nodes }: Circuit, name: string): Minutes {
  const ends = (parts.get(name)?.branches ?? []).flatMap((index) => {
    const { from, to } = branches[index] ?? { from: -1, to: -1 };
    return [from, to];
  });
  const access = ends.map((end) => nodes[end]?.accessMinutes ?? 0);
  return minutes.swap + (access.length === 0 ? 0 : Math.min(...access));
}

/** Each cover once: what earlier readings opened is open. */
function accessCost(circuit: Circuit, at: Standing, places: readonly number[]): CostPart[] {
  const covers: string[] = [];
  const names: string[] = [];
  let sum = 0;
  for (const place of places) {
    const node = circuit.nodes[place];
    const cover = coverOf(circuit, place);
    if (node === undefined || at.opened.has(cover) || covers.includes(cover) || node.accessMinutes === 0)
      continue;
    covers.push(cover);
    names.push(node.behind ?? node.name);
    sum += node.accessMinutes;
  }
  return covers.length === 0 ? [] : [{ what: 'access', minutes: sum, of: names }];
}

/** From one state to another, through what goes before it. */
export function stateCost(circuit: Circuit, from: State, to: State): CostPart[] {
  if (stateKey(from) === stateKey(to)) return [];
  const parts: CostPart[] = [];
  const steps = to.power ? [...to.before, to] : [to];
  const settings = steps.reduce(
    (sum, step, index) =>
      sum + settingMinutes(circuit, index === 0 ? from : (steps[index - 1] ?? from), step),
    0,
  );
  if (settings > 0) parts.push({ what: 'state', minutes: settings });
  if (from.power && !to.power) parts.push({ what: 'isolate', minutes: minutes.isolate });
  if (!from.power && to.power) parts.push({ what: 'restore', minutes: minutes.restore });
  for (const [what, list, each] of [
    ['lift', 'disconnected', minutes.lift],
    ['unplug', 'unplugged', minutes.unplug],
  ] as const) {
    const names = [
      ...[...to[list]].filter((name) => !from[list].has(name)),
      ...[...from[list]].filter((name) => !to[list].has(name)),
    ];
    if (names.length > 0) parts.push({ what, minutes: names.length * each, of: names });
  }
  return parts;
}

/** Switches are turned, doors opened by hand; a temperature is waited for. How a thermostat stands follows from it. */
function settingMinutes({ switches, conditions }: Circuit, from: State, to: State): Minutes {
  let sum = 0;
  for (const name of new Set([...from.settings.keys(), ...to.settings.keys()])) {
    if (from.settings.get(name) === to.settings.get(name)) continue;
    const condition = conditions.get(name);
    if (condition !== undefined) sum += condition.values === undefined ? minutes.condition : minutes.byHand;
    else if (switches.get(name)?.positions !== undefined) sum += minutes.switch;
  }
  return sum;
}
