import type { Circuit, Load, ModuleInput, State } from '../circuit/circuit.js';
import { nominalSupplies, standOf } from '../meter/meter.js';
import {
  loadFigures,
  pathsToPair,
  rmsVolts,
  type SupplyPath,
  sweepStates,
  type View,
  worksIn,
} from '../solve/solve.js';

/** One way from a supply terminal to a place the load needs. */
export interface TracedSide {
  /** What the load gets there: one end of its supply, or a start signal. */
  readonly what: 'supply' | 'signal';
  /** A transformer on the way, whose own feed this is. */
  readonly feeds?: string;
  readonly input?: string;
  readonly end: number;
  readonly path: SupplyPath | undefined;
}

/** A module output that must close for the path to be whole, and the signals that make it. */
export interface TracedOutput {
  readonly output: string;
  readonly inputs: readonly TracedInput[];
}

export interface TracedInput {
  readonly name: string;
  readonly node: number;
  /** The place it is measured against. */
  readonly other: number;
  readonly volts: number;
}

export interface TraceAnswer {
  readonly circuit: Circuit;
  readonly load: Load;
  /** The state with the fewest changes from rest in which the load works; undefined when no state does it. */
  readonly state: State | undefined;
  /** Whether the load does its job in that state; a state that was given may be one in which it does not. */
  readonly works: boolean;
  readonly states: number;
  readonly complete: boolean;
  readonly volts: number | undefined;
  readonly sides: readonly TracedSide[];
  readonly outputs: readonly TracedOutput[];
}

/** The load of interest's supply path, both sides of it, and the state it needs. */
export function traceLoad(circuit: Circuit, load: Load, given?: State): TraceAnswer {
  const stand = standOf(circuit, nominalSupplies(circuit));
  const sweep = given === undefined ? sweepStates(circuit) : { states: [given], complete: false };
  const answer = { circuit, load, states: sweep.states.length, complete: sweep.complete };
  for (const state of sweep.states) {
    const sight = stand.look(state, []);
    if (sight.kind !== 'steady') continue;
    const works = worksIn(sight.view, load, 0) === 'yes';
    if (!works && given === undefined) continue;
    return { ...answer, state, works, ...traced(circuit, load, sight.view) };
  }
  return { ...answer, state: undefined, works: false, volts: undefined, sides: [], outputs: [] };
}

function traced(circuit: Circuit, load: Load, view: View): Pick<TraceAnswer, 'volts' | 'sides' | 'outputs'> {
  const { branch } = load.does;
  if (branch !== undefined) {
    const { from, to } = circuit.branches[branch] ?? { from: 0, to: 0 };
    const own = supplySides(view, from, to, branch);
    const sides = [...own, ...feedsOf(circuit, own, view)];
    return { volts: loadFigures(view, load).volts, sides, outputs: outputsOn(circuit, sides, view) };
  }
  const module = circuit.modules.get(load.part);
  if (module === undefined) return { volts: undefined, sides: [], outputs: [] };
  const signals = module.inputs.filter((input) => (rmsVolts(view, ...input.between) ?? 0) >= input.atLeast);
  const sides = [
    ...supplySides(view, ...module.supply.between),
    ...signals.map(
      ({ between: [pin, other], name }): TracedSide => ({
        what: 'signal',
        input: name,
        end: pin,
        path: pathsToPair(view, pin, other).a,
      }),
    ),
  ];
  return { volts: rmsVolts(view, ...module.supply.between), sides, outputs: [] };
}

function supplySides(view: View, a: number, b: number, without?: number): TracedSide[] {
  const paths = pathsToPair(view, a, b, without);
  const sides: TracedSide[] = [
    { what: 'supply', end: a, path: paths.a },
    { what: 'supply', end: b, path: paths.b },
  ];
  return sides.sort(lineFirst);
}

/** The feeds of the transformers that the sides come from, one after the other until a supply is reached. */
function feedsOf(circuit: Circuit, sides: readonly TracedSide[], view: View): TracedSide[] {
  const found: TracedSide[] = [];
  const met = new Set<string>();
  for (let at = sides; at.length > 0; ) {
    const names = new Set(at.flatMap((side) => side.path?.supply ?? []));
    const cores = circuit.transformers.filter(({ name }) => names.has(name) && !met.has(name));
    at = cores.flatMap(({ name, windings: [primary = -1] }) => {
      met.add(name);
      const { from, to } = circuit.branches[primary] ?? { from: 0, to: 0 };
      return supplySides(view, from, to, primary).map((side) => ({ ...side, feeds: name }));
    });
    found.push(...at);
  }
  return found;
}

function lineFirst(a: TracedSide, b: TracedSide): number {
  return Number(b.path?.live ?? false) - Number(a.path?.live ?? false);
}

/** Output contacts on the way, with the inputs that are live and so may have closed them; relay contacts with their coil. */
export function outputsOn(
  circuit: Circuit,
  sides: readonly { readonly path: SupplyPath | undefined }[],
  view: View,
): TracedOutput[] {
  const branches = new Set(sides.flatMap((each) => each.path?.steps.map((step) => step.branch) ?? []));
  const actuators = new Set(
    [...branches].flatMap((index) => {
      const gate = circuit.branches[index]?.gate;
      return gate?.kind === 'actuator' && gate.closedWhen ? gate.actuator : [];
    }),
  );
  return circuit.actuators.flatMap((actuator) => {
    if (!actuators.has(actuator.index) || actuator.kind === 'load') return [];
    const inputs =
      actuator.kind === 'relay'
        ? coilOf(circuit, actuator.branch)
        : (circuit.modules.get(actuator.part)?.inputs ?? []);
    const live = inputs
      .map((input) => ({
        name: input.name,
        node: input.between[0],
        other: input.between[1],
        volts: rmsVolts(view, ...input.between) ?? 0,
        least: input.atLeast,
      }))
      .filter((input) => input.volts >= input.least)
      .map(({ name, node, other, volts }) => ({ name, node, other, volts }));
    return [{ output: actuator.name, inputs: live }];
  });
}

/** A relay closes its contacts for the sake of its coil, as a module does for its inputs. */
function coilOf(circuit: Circuit, branch: number): readonly ModuleInput[] {
  const { from, to } = circuit.branches[branch] ?? { from: 0, to: 0 };
  return [{ name: 'coil', between: [from, to], atLeast: 0 }];
}
