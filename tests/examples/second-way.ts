/**
 * What a meter shows in an example, found a second way that shares nothing with the solver or the reasoning: gates are
 * read anew, coils and modules followed one round after the other, each network solved as a dense matrix. It says nothing
 * where that does not come to rest, nor of places that float.
 */
import type { Branch, Impedance } from '../../src/circuit/branch.js';
import type { Circuit, Fault, State } from '../../src/circuit/circuit.js';
import { curveOhms, isClosedByState } from '../../src/circuit/circuit.js';
import type { Rule } from '../../src/circuit/model.js';
import type { Probe } from '../../src/meter/meter.js';
import { denseCircuit, islandLabels } from '../solve/dense-circuit.js';
import { solveDense } from '../solve/dense-lu.js';

/** What is where leads or clamp are; `floats` where nothing joins the leads. */
export type Met =
  | { readonly kind: 'shows'; readonly value: number }
  | { readonly kind: 'floats' }
  | { readonly kind: 'never rests' };

export interface Appliance {
  readonly circuit: Circuit;
  readonly faults: readonly Fault[];
  /** Supply name to what it gives, as a share of nominal. */
  readonly scale: ReadonlyMap<string, number>;
}

export function metBy(appliance: Appliance, state: State, probe: Probe): Met {
  const dead = probe.unit === 'ohm';
  const on = restingOn(appliance, state, dead);
  if (on === undefined) return { kind: 'never rests' };
  const branches = conducting(appliance, state, on, dead);
  return dead ? ohmsMet(appliance.circuit, branches, probe) : liveMet(appliance.circuit, branches, probe);
}

/** The volts of all nodes at each frequency, and the amps of branches. */
interface Solved {
  readonly hertz: number;
  readonly labels: readonly number[];
  readonly across: (a: number, b: number) => { readonly re: number; readonly im: number } | undefined;
  readonly amps: (branch: number) => number;
}

function solvedAt(circuit: Circuit, branches: readonly Branch[], hertz: number): Solved {
  const own = ownHertz(circuit);
  const there = branches.filter(({ impedance }) => !(hertz === 0 && impedance.farads !== undefined));
  const nodes = circuit.nodes.length;
  const x = solveDense(denseCircuit(nodes, there, circuit.transformers, hertz, own));
  const labels = islandLabels(nodes, there);
  const part = (node: number, at: 0 | 1) => (node < 0 ? 0 : x[2 * node + at]!);
  return {
    hertz,
    labels,
    across: (a, b) =>
      (labels[a] ?? -1) === (labels[b] ?? -1)
        ? { re: part(a, 0) - part(b, 0), im: part(a, 1) - part(b, 1) }
        : undefined,
    amps: (branch) => {
      const at = there.findIndex(({ index }) => index === branch);
      return at === -1 ? 0 : Math.hypot(x[2 * (nodes + at)]!, x[2 * (nodes + at) + 1]!);
    },
  };
}

function ownHertz({ supplies }: Circuit): number {
  return [...supplies.values()].find(({ hertz }) => hertz > 0)?.hertz ?? 0;
}

function frequenciesOf({ supplies }: Circuit): number[] {
  return [...new Set([...supplies.values()].map(({ hertz }) => hertz))];
}

/** Which actuators are on where all have come to rest, from all off and gone through the states before. */
function restingOn(appliance: Appliance, state: State, dead: boolean): readonly boolean[] | undefined {
  const { circuit, faults } = appliance;
  const held = new Map(
    faults.flatMap(({ changes }) =>
      changes.flatMap((change) => (change.kind === 'held' ? [[change.actuator, change.on] as const] : [])),
    ),
  );
  let on: readonly boolean[] = circuit.actuators.map(({ index }) => held.get(index) ?? false);
  if (dead || !state.power) return on;
  for (const each of [...state.before, state]) {
    let rounds = 0;
    for (;;) {
      const next = followed(appliance, each, on).map((value, index) => held.get(index) ?? value);
      if (next.every((value, index) => value === on[index])) break;
      on = next;
      rounds += 1;
      if (rounds > 4 * on.length + 4) return undefined;
    }
  }
  return on;
}

function followed(appliance: Appliance, state: State, on: readonly boolean[]): boolean[] {
  const { circuit, faults } = appliance;
  const branches = conducting(appliance, state, on, false);
  const solved = frequenciesOf(circuit).map((hertz) => solvedAt(circuit, branches, hertz));
  const rms = (a: number, b: number) =>
    Math.hypot(
      ...solved
        .map(({ across }) => across(a, b))
        .map((volts) => (volts ? Math.hypot(volts.re, volts.im) : 0)),
    );
  const forced = new Set(
    faults.flatMap(({ changes }) =>
      changes.flatMap((change) =>
        change.kind === 'absent' || change.kind === 'conducts' ? change.branch : [],
      ),
    ),
  );
  const volts = (index: number) => {
    const branch = branches.find((each) => each.index === index);
    return branch === undefined || forced.has(index) ? 0 : rms(branch.from, branch.to);
  };
  return circuit.actuators.map((actuator) => {
    const was = on[actuator.index] === true;
    if (actuator.kind === 'relay')
      return volts(actuator.branch) >= (was ? actuator.dropsOutBelow : actuator.picksUpAt);
    if (actuator.kind === 'load') {
      const starts =
        was || actuator.start === undefined || volts(actuator.start.branch) >= actuator.start.atLeast;
      return starts && volts(actuator.branch) >= actuator.atLeast;
    }
    const module = circuit.modules.get(actuator.part);
    if (module === undefined || state.removed.has(module.name)) return false;
    if (rms(...module.supply.between) < module.supply.atLeast) return false;
    const active = new Set(
      module.inputs.flatMap(({ name, between, atLeast }) => (rms(...between) >= atLeast ? name : [])),
    );
    return isMet(actuator.when, active);
  });
}

function isMet(rule: Rule, active: ReadonlySet<string>): boolean {
  if (rule.kind === 'input') return active.has(rule.input);
  if (rule.kind === 'not') return !isMet(rule.of, active);
  return rule.kind === 'all'
    ? rule.of.every((each) => isMet(each, active))
    : rule.of.some((each) => isMet(each, active));
}

type Changes = readonly Fault['changes'][number][];

/** Branches as they are with the faults, in this state, with these actuators on. */
function conducting(
  { circuit, faults, scale }: Appliance,
  state: State,
  on: readonly boolean[],
  dead: boolean,
): Branch[] {
  const changes = faults.flatMap((fault) => fault.changes);
  const lifted = new Set([...state.disconnected].map((name) => circuit.nodeByName.get(name)));
  return circuit.branches.flatMap((built): Branch[] => {
    if (built.role === 'source' && (!state.power || dead)) return [];
    if (isOff(built, state, lifted)) return [];
    const mine = changes.filter((change) => 'branch' in change && change.branch === built.index);
    const forced = mine.some(({ kind }) => kind === 'conducts');
    if (mine.some(({ kind }) => kind === 'absent') || !(forced || isClosed(built, state, on))) return [];
    const moved = mine.findLast((change) => change.kind === 'moved');
    const ends = moved?.kind === 'moved' ? { from: moved.from, to: moved.to } : {};
    const impedance = impedanceIn(built, mine, state, on, dead);
    return [{ ...built, ...ends, impedance, ...emfOf(built, changes, scale) }];
  });
}

/** Taken out, unplugged, or a wire off its terminal. */
function isOff(
  { role, part, from, to }: Branch,
  state: State,
  lifted: ReadonlySet<number | undefined>,
): boolean {
  if (state.removed.has(part)) return true;
  if (role === 'pin') return state.unplugged.has(part.slice(0, part.lastIndexOf(':')));
  return role === 'wire' && (lifted.has(from) || lifted.has(to));
}

function isClosed({ gate }: Branch, state: State, on: readonly boolean[]): boolean {
  if (gate === undefined) return true;
  return gate.kind === 'actuator' ? on[gate.actuator] === gate.closedWhen : isClosedByState(state, gate);
}

function impedanceIn(
  { impedance: running, atRest, sensor }: Branch,
  mine: Changes,
  state: State,
  on: readonly boolean[],
  dead: boolean,
): Impedance {
  const conducts = mine.findLast((change) => change.kind === 'conducts');
  if (conducts?.kind === 'conducts') return resistance(conducts.ohms);
  const own = atRest !== undefined && on[atRest.actuator] !== true ? atRest.impedance : running;
  const worn = mine.findLast((change) => change.kind === 'worn');
  if (worn?.kind === 'worn') return { ...own, ohms: worn.ohms };
  const felt = sensor && state.settings.get(sensor.condition);
  if (sensor !== undefined && typeof felt === 'number') return resistance(curveOhms(sensor.curve, felt));
  return dead && own.dead !== undefined ? { ...own, ohms: own.dead.ohms } : own;
}

function resistance(ohms: number): Impedance {
  return { ohms, reactanceOhms: 0, tolerance: 0 };
}

function emfOf({ emf }: Branch, changes: Changes, scale: ReadonlyMap<string, number>): Pick<Branch, 'emf'> {
  if (emf === undefined) return {};
  const lowered = changes.findLast((change) => change.kind === 'scaled' && change.supply === emf.supply);
  const share = (lowered?.kind === 'scaled' ? lowered.share : undefined) ?? scale.get(emf.supply) ?? 1;
  return { emf: { ...emf, volts: emf.volts * share } };
}

function liveMet(circuit: Circuit, branches: readonly Branch[], { where, meter, current }: Probe): Met {
  if (where.kind === 'around') {
    const solved = frequenciesOf(circuit).map((hertz) => solvedAt(circuit, branches, hertz));
    return { kind: 'shows', value: Math.hypot(...solved.map(({ amps }) => amps(where.branch))) };
  }
  const { red, black } = where;
  const metered = [...branches, between(circuit, red, black, meter.inputOhms)];
  const live = frequenciesOf(circuit).flatMap((hertz) => {
    const joined = solvedAt(circuit, branches, hertz).across(red, black) !== undefined;
    return joined ? [solvedAt(circuit, metered, hertz)] : [];
  });
  if (live.length === 0) return { kind: 'floats' };
  const [ac, dc] = [live.filter(({ hertz }) => hertz > 0), live.find(({ hertz }) => hertz === 0)];
  const size = Math.hypot(...ac.map(({ across }) => across(red, black)).map((v) => Math.hypot(v!.re, v!.im)));
  const level = dc?.across(red, black)?.re ?? 0;
  const asDc = current === undefined ? dc !== undefined && size < 1e-6 : current === 'dc';
  return { kind: 'shows', value: asDc ? level : size };
}

/** One ampere through the leads, and the volts that takes. */
function ohmsMet(circuit: Circuit, branches: readonly Branch[], { where }: Probe): Met {
  if (where.kind === 'around') return { kind: 'floats' };
  const { red, black } = where;
  const labels = islandLabels(
    circuit.nodes.length,
    branches.filter(({ impedance }) => impedance.farads === undefined),
  );
  if (labels[red] !== labels[black]) return { kind: 'floats' };
  // A source of 1 V behind 1 ohm: with R between the leads they have R / (R + 1) of it.
  const source: Branch = {
    ...between(circuit, red, black, 1),
    role: 'source',
    from: black,
    to: red,
    emf: { volts: 1, degrees: 0, hertz: 0, supply: '' },
  };
  const volts = solvedAt(circuit, [...branches, source], 0).across(red, black)!.re;
  const ohms = volts / (1 - volts);
  return ohms > 40e6 ? { kind: 'floats' } : { kind: 'shows', value: ohms };
}

function between({ branches }: Circuit, from: number, to: number, ohms: number): Branch {
  return {
    index: branches.length,
    name: 'meter',
    part: 'meter',
    role: 'input',
    from,
    to,
    impedance: resistance(ohms),
  };
}
