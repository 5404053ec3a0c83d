import type { Branch, Module, Rule } from '../circuit/circuit.js';
import { rootOf } from './kernel/islands.js';
import type { Overlay } from './overlay.js';
import { conductOf, type Plan, type StateConducts, type SupplyScale } from './plan.js';
import { trippingAmps } from './supply-path.js';

/** What is certain without solving. */
export interface Tied {
  readonly volts: TiedVolts;
  /** Actuators that are on whatever the others do. */
  readonly on: readonly boolean[];
}

/**
 * RMS volts between two places tied to supply legs by conductors, or, where no meter loads them, one of them by
 * whatever leads to one leg alone; undefined for any other pair.
 */
export type TiedVolts = (a: number, b: number, loaded: boolean) => number | undefined;

/** The same by conductors alone. */
type ConductorVolts = (a: number, b: number) => number | undefined;

/** Through more than this a meter's own input drops what matters. */
const mostLoneOhms = 1e6;

interface Tie {
  readonly re: number;
  readonly im: number;
  readonly hertz: number;
  readonly zero: number;
}

/**
 * A first look that solves nothing: places that conductors join to a supply leg are at that leg's voltage, give or
 * take the drop in good conductors, whatever happens elsewhere short of a short circuit; so are places that nothing
 * but that leg is joined to at all. Module outputs that are
 * certain to be on are followed; the others, relays among them, could only add conductors. Undefined for a supply that
 * gives way under load, and for a fault that makes a branch conduct (it may load a supply down) unless it is known to
 * short none (`shortFree`).
 */
export function tiedVolts(
  plan: Plan,
  conducts: StateConducts,
  overlay: Overlay,
  scale: SupplyScale,
  shortFree: boolean,
): Tied | undefined {
  const { circuit } = plan;
  if (!shortFree && [...overlay.branches.values()].some((ohms) => ohms !== 'absent')) return undefined;
  if (overlay.supplies.size > 0) return undefined;
  const net = new Int32Array(circuit.nodes.length);
  for (let node = 0; node < net.length; node += 1) net[node] = node;
  const on = circuit.actuators.map(({ index }) => overlay.held.get(index) === true);
  for (const branch of plan.ties) {
    if (!isCertain(branch, overlay) || conductOf(conducts, branch, overlay, on) === null) continue;
    const { from, to } = overlay.moved.get(branch.index) ?? branch;
    net[rootOf(net, from)] = rootOf(net, to);
  }
  const legs = legTies(plan, conducts, overlay, on, scale);
  if (legs === undefined) return undefined;
  const byConductors = (node: number): Tie | undefined => {
    const root = rootOf(net, node);
    return legs.find((leg) => rootOf(net, leg.node) === root)?.tie;
  };
  const certainVolts: ConductorVolts = (a, b) => between(byConductors(a), byConductors(b));
  for (
    let round = 0;
    round < circuit.actuators.length && closeCertain(plan, conducts.removed, overlay, certainVolts, on, net);
    round += 1
  );
  const lone = loneLegs(plan, conducts, overlay, on, legs);
  // Where conductors tie neither, the rest is rarely worth looking at.
  const volts: TiedVolts = (a, b, loaded) => {
    const [tieA, tieB] = [byConductors(a), byConductors(b)];
    if (tieA === undefined && tieB === undefined) return undefined;
    if (loaded || plan.widestOhms > mostLoneOhms) return between(tieA, tieB);
    return between(tieA ?? lone(a)?.tie, tieB ?? lone(b)?.tie);
  };
  return { volts, on };
}

function between(a: Tie | undefined, b: Tie | undefined): number | undefined {
  if (a === undefined || b === undefined || a.zero !== b.zero) return undefined;
  if (a === b) return 0;
  if (a.hertz !== b.hertz && a.hertz !== -1 && b.hertz !== -1) return undefined;
  return Math.hypot(a.re - b.re, a.im - b.im);
}

interface LegTie {
  readonly node: number;
  readonly tie: Tie;
}

/** What each supply leg holds its terminal at; undefined where one gives way under load, or a fault changed one. */
function legTies(
  plan: Plan,
  conducts: StateConducts,
  overlay: Overlay,
  on: readonly boolean[],
  scale: SupplyScale,
): readonly LegTie[] | undefined {
  const legs: LegTie[] = [];
  for (const branch of plan.legs) {
    const { emf, index, impedance, from, to } = branch;
    if (emf === undefined || conductOf(conducts, branch, overlay, on) === null) continue;
    if (emf.volts !== 0 && emf.volts / impedance.ohms < trippingAmps) return undefined;
    const volts = emf.volts * (scale.get(emf.supply) ?? 1);
    const angle = (emf.degrees * Math.PI) / 180;
    const hertz = emf.volts === 0 ? -1 : emf.hertz;
    legs.push({
      node: to,
      tie: { re: volts * Math.cos(angle), im: volts * Math.sin(angle), hertz, zero: from },
    });
    if (overlay.branches.has(index) || overlay.moved.has(index) || overlay.worn.has(index)) return undefined;
  }
  return legs;
}

/**
 * Places from which paths lead to one supply leg, and none to another: no current flows there, and they are at that
 * leg's voltage, whatever lies between. Contacts of which nothing is certain are no path to it, and one to any other.
 */
function loneLegs(
  plan: Plan,
  conducts: StateConducts,
  overlay: Overlay,
  on: readonly boolean[],
  legs: readonly LegTie[],
): (node: number) => LegTie | undefined {
  const surely = (branch: Branch) =>
    isCertain(branch, overlay) && conductOf(conducts, branch, overlay, on) !== null;
  const maybe = (branch: Branch) =>
    branch.gate?.kind === 'actuator' && !overlay.held.has(branch.gate.actuator)
      ? conducts.takenAway[branch.index] !== 1 && overlay.branches.get(branch.index) !== 'absent'
      : conductOf(conducts, branch, overlay, on) !== null;
  const windings = plan.circuit.branches.filter((branch) => branch.winding !== undefined && maybe(branch));
  const wound = (most: Int32Array, node: number) =>
    windings.some((winding) => rootOf(most, winding.from) === rootOf(most, node));
  let reach: { readonly sure: Int32Array; readonly most: Int32Array } | undefined;
  return (node) => {
    reach ??= { sure: joinedBy(plan, overlay, surely), most: joinedBy(plan, overlay, maybe) };
    const { sure, most } = reach;
    const [only, second] = legs.filter((leg) => rootOf(most, leg.node) === rootOf(most, node));
    // A transformer may drive what no leg does.
    if (only === undefined || second !== undefined || wound(most, node)) return undefined;
    return rootOf(sure, only.node) === rootOf(sure, node) ? only : undefined;
  };
}

/** Nodes joined by branches that conduct, supply legs aside, as a forest. */
function joinedBy({ circuit }: Plan, overlay: Overlay, conducts: (branch: Branch) => boolean): Int32Array {
  const net = Int32Array.from(circuit.nodes, (node) => node.index);
  for (const branch of circuit.branches) {
    if (branch.role === 'source' || !conducts(branch)) continue;
    const { from, to } = overlay.moved.get(branch.index) ?? branch;
    net[rootOf(net, from)] = rootOf(net, to);
  }
  return net;
}

/** A contact that is closed while something is off may open any moment; a burnt one, or a bridge, drops volts. */
function isCertain({ gate, index }: Branch, { held, worn, branches }: Overlay): boolean {
  if (worn.has(index) || branches.has(index)) return false;
  return gate?.kind !== 'actuator' || gate.closedWhen || held.has(gate.actuator);
}

/** Volts clear of a threshold by more than any drop: certainly enough, certainly not, or unknown. */
const clear = 1.25;

function seen(volts: number | undefined, atLeast: number): boolean | undefined {
  if (volts === undefined) return undefined;
  if (volts >= atLeast * clear) return true;
  return volts * clear < atLeast ? false : undefined;
}

/** Closes the contacts of outputs that are now certain; false when nothing changed. */
function closeCertain(
  plan: Plan,
  removed: ReadonlySet<string>,
  overlay: Overlay,
  volts: ConductorVolts,
  on: boolean[],
  net: Int32Array,
): boolean {
  const { circuit } = plan;
  let changed = false;
  for (const output of circuit.actuators) {
    if (output.kind !== 'output') continue;
    const module = circuit.modules.get(output.part);
    if (
      on[output.index] === true ||
      overlay.held.has(output.index) ||
      module === undefined ||
      removed.has(module.name)
    )
      continue;
    if (seen(volts(...module.supply.between), module.supply.atLeast) !== true) continue;
    if (certain(output.when, module, volts) !== true) continue;
    on[output.index] = true;
    const branch = output.branch === undefined ? undefined : circuit.branches[output.branch];
    if (branch === undefined || overlay.branches.has(branch.index) || overlay.worn.has(branch.index))
      continue;
    net[rootOf(net, branch.from)] = rootOf(net, branch.to);
    changed = true;
  }
  return changed;
}

/** A rule over inputs of which some are unknown. */
function certain(rule: Rule, module: Module, volts: ConductorVolts): boolean | undefined {
  switch (rule.kind) {
    case 'input': {
      const input = module.inputs.find((each) => each.name === rule.input);
      return input === undefined ? undefined : seen(volts(...input.between), input.atLeast);
    }
    case 'not': {
      const inner = certain(rule.of, module, volts);
      return inner === undefined ? undefined : !inner;
    }
    case 'all': {
      const each = rule.of.map((one) => certain(one, module, volts));
      return each.includes(false) ? false : each.includes(undefined) ? undefined : true;
    }
    case 'any': {
      const each = rule.of.map((one) => certain(one, module, volts));
      return each.includes(true) ? true : each.includes(undefined) ? undefined : false;
    }
  }
}
