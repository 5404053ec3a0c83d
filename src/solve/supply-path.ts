import { type Branch, type Circuit, isConductor, type SupplyLeg } from '../circuit/circuit.js';
import { rootOf } from './kernel/islands.js';
import type { Plan } from './plan.js';
import { firstToOpen } from './protection.js';
import { isPresent, rmsVolts, type View } from './view.js';

/** One part walked through, from `from` to `to` (nodes), going away from the supply. */
export interface Step {
  readonly branch: number;
  readonly from: number;
  readonly to: number;
}

/** The way from a supply terminal to a node. */
export interface SupplyPath {
  /** `line`, `neutral`, `line1`, ... of the supply named; a winding of a transformer, where that is what feeds. */
  readonly leg: string;
  readonly supply: string;
  readonly terminal: number;
  readonly live: boolean;
  readonly steps: readonly Step[];
}

/** Going through a load costs more than any number of conductors: a path runs through wires and contacts if it can. */
const loadCost = 1e6;

/**
 * The ways a pair of places gets its voltage: from one supply leg to `a`, from another to `b`, through what
 * conducts in this view: conductors first, loads only where nothing else leads there, and not through `without`
 * (the load the pair belongs to). The two legs are chosen for the shortest ways together; they may be one and the
 * same only where the pair has no voltage to speak of. Ties go to the earlier leg in the file.
 */
export function pathsToPair(
  view: View,
  a: number,
  b: number,
  without?: number,
): { readonly a?: SupplyPath; readonly b?: SupplyPath } {
  const edges = edgesByNode(view, without);
  const ways = legsOf(view).map((leg) => ({ leg, reach: reachFrom(view, leg.terminal, edges) }));
  const oneLeg = (rmsVolts(view, a, b) ?? 0) < oneLegVolts;
  let best: { cost: number; a?: Way; b?: Way } = { cost: Number.POSITIVE_INFINITY };
  for (const first of ways) {
    for (const second of ways) {
      if (first === second && !oneLeg) continue;
      const cost = first.reach.cost[a]! + second.reach.cost[b]!;
      if (cost < best.cost) best = { cost, a: first, b: second };
    }
  }
  // Where one end is reached by nothing (a dead end), the other's way still counts.
  const alone = (node: number): Way | undefined =>
    ways.reduce<Way | undefined>(
      (kept, way) =>
        way.reach.cost[node]! < (kept?.reach.cost[node] ?? Number.POSITIVE_INFINITY) ? way : kept,
      undefined,
    );
  const wayA = best.a ?? alone(a);
  const wayB = best.b ?? alone(b);
  return {
    ...(wayA === undefined ? {} : { a: walkBack(a, wayA) }),
    ...(wayB === undefined ? {} : { b: walkBack(b, wayB) }),
  };
}

/** Below this two places are on one net, and one leg may well feed both. */
const oneLegVolts = 1;

interface Leg {
  readonly supply: string;
  readonly leg: string;
  readonly terminal: number;
  readonly live: boolean;
}

interface Way {
  readonly leg: Leg;
  readonly reach: Reach;
}

interface Reach {
  readonly cost: readonly number[];
  readonly arrived: readonly (Step | undefined)[];
}

function legsOf(view: View): Leg[] {
  const legs: Leg[] = [];
  for (const supply of view.point.plan.circuit.supplies.values()) {
    for (const { name, node, branch, live } of supply.legs) {
      if (isPresent(view, branch)) legs.push({ supply: supply.name, leg: name, terminal: node, live });
    }
  }
  return [...legs, ...windingLegs(view, legs)];
}

/** What a supply's legs are to the rest, the ends of its secondaries are to an island that only a transformer feeds. */
function windingLegs(view: View, legs: readonly Leg[]): Leg[] {
  const { circuit } = view.point.plan;
  const supplied = new Set(legs.map((leg) => view.island(leg.terminal)));
  return circuit.transformers.flatMap(({ name, windings }) =>
    windings.slice(1).flatMap((index): Leg[] => {
      const { from, to, name: branch } = circuit.branches[index] ?? { from: -1, to: -1, name: '' };
      if (!isPresent(view, index) || supplied.has(view.island(from))) return [];
      const leg = branch.slice(name.length + 1);
      return [
        { supply: name, leg, terminal: from, live: true },
        { supply: name, leg, terminal: to, live: false },
      ];
    }),
  );
}

function reachFrom(view: View, terminal: number, edges: readonly (readonly Edge[])[]): Reach {
  const { nodes } = view.point.plan.circuit;
  const cost = nodes.map(() => Number.POSITIVE_INFINITY);
  const arrived: (Step | undefined)[] = nodes.map(() => undefined);
  const open = new Set([terminal]);
  cost[terminal] = 0;
  while (open.size > 0) {
    const node = cheapest(open, cost);
    open.delete(node);
    for (const { branch, far, weight } of edges[node] ?? []) {
      const through = cost[node]! + weight;
      if (through >= cost[far]!) continue;
      cost[far] = through;
      arrived[far] = { branch, from: node, to: far };
      open.add(far);
    }
  }
  return { cost, arrived };
}

interface Edge {
  readonly branch: number;
  readonly far: number;
  readonly weight: number;
}

function edgesByNode(view: View, without?: number): Edge[][] {
  const { branches, nodes } = view.point.plan.circuit;
  const edges: Edge[][] = nodes.map(() => []);
  for (const { index, role } of branches) {
    if (role === 'source' || role === 'winding' || index === without || !isPresent(view, index)) continue;
    const [from, to] = view.ends(index);
    const weight = isConductor(role) || isDeadJoint(view.point.overlay.branches.get(index)) ? 1 : loadCost;
    edges[from]?.push({ branch: index, far: to, weight });
    edges[to]?.push({ branch: index, far: from, weight });
  }
  return edges;
}

function cheapest(open: ReadonlySet<number>, cost: readonly number[]): number {
  let best = -1;
  for (const node of open) if (best === -1 || cost[node]! < cost[best]!) best = node;
  return best;
}

function walkBack(node: number, { leg, reach }: Way): SupplyPath {
  const steps: Step[] = [];
  for (let step = reach.arrived[node]; step !== undefined; step = reach.arrived[step.from])
    steps.unshift(step);
  return { ...leg, steps };
}

/** A supply that can give less than this into a short is a battery or a small transformer: its volts sag, nothing trips. */
export const trippingAmps = 50;

/** One supply leg tied to another through conductors alone: a fuse or breaker opens, and no number is worth giving. */
export interface ShortCircuit {
  readonly kind: 'short';
  /** The supply whose legs are shorted, to one another or to another's. */
  readonly supply: string;
  /** Branches from leg to leg. */
  readonly path: readonly number[];
  /** What the path would carry until something opens. */
  readonly amps: number;
  /** The protector that opens; absent where only the building's is left. */
  readonly protector?: string;
}

/**
 * A dead short: a way from one supply leg to another through conductors alone (or a part shorted by a fault), with
 * a protector on it to open, or current enough to open the building's (common practice, no source).
 */
export function shortCircuit(view: View): ShortCircuit | undefined {
  const pair = opposingLegs(view);
  if (pair === undefined) return undefined;
  const path = conductorsBetween(view, pair.from.node, pair.to.node);
  const { circuit } = view.point.plan;
  const protects = path.some((branch) => circuit.branches[branch]?.role === 'protector');
  if (!protects && !tripsBuilding(view, pair.from.branch, pair.to.branch)) return undefined;
  const protector = firstToOpen(circuit, path)?.name;
  const amps = prospectiveAmps(view, pair.from.branch, pair.to.branch, path);
  const supply = circuit.branches[pair.from.branch]?.part ?? '';
  return { kind: 'short', supply, path, amps, ...(protector === undefined ? {} : { protector }) };
}

/** Whether two legs give enough between their terminals to open the building's protector, whatever else is on the path. */
export function tripsBuilding(view: View, a: number, b: number): boolean {
  return prospectiveAmps(view, a, b, []) >= trippingAmps;
}

/** Volts between two legs over their own impedances and those of the branches between: what a short there draws. */
function prospectiveAmps(view: View, a: number, b: number, path: readonly number[]): number {
  const ohms = [a, b, ...path].reduce((sum, branch) => {
    const { re, im } = view.admittance(0, branch);
    return sum + 1 / Math.hypot(re, im);
  }, 0);
  const volts = view.point.phasors.map(({ emf }) =>
    Math.hypot(emf.re[a]! - emf.re[b]!, emf.im[a]! - emf.im[b]!),
  );
  return Math.hypot(...volts) / ohms;
}

function conductorsBetween(view: View, from: number, to: number): number[] {
  const { plan, overlay } = view.point;
  const at = conductorsByNode(view);
  const arrived: (Step | undefined)[] = [];
  const queue = [from];
  for (const node of queue) {
    for (const branch of at(node)) {
      if (!isPresent(view, branch)) continue;
      if (!isConductor(plan.circuit.branches[branch]!.role) && !isDeadJoint(overlay.branches.get(branch)))
        continue;
      const [one, other] = view.ends(branch);
      const far = one === node ? other : one;
      if (far < 0 || far === from || arrived[far] !== undefined) continue;
      arrived[far] = { branch, from: node, to: far };
      if (far === to) return branchesBack(to, arrived);
      queue.push(far);
    }
  }
  return branchesBack(to, arrived);
}

const asDrawn = new WeakMap<Plan, readonly (readonly number[])[]>();

/** Branches at each node but sources and windings, in their order. */
function conductorsByNode(view: View): (node: number) => readonly number[] {
  const { plan, overlay } = view.point;
  const drawn = asDrawn.get(plan) ?? branchesByNode(plan.circuit, (branch) => [branch.from, branch.to]);
  asDrawn.set(plan, drawn);
  const { moved } = overlay;
  const now = moved.size === 0 ? drawn : branchesByNode(plan.circuit, ({ index }) => view.ends(index));
  return (node) => now[node] ?? [];
}

function branchesByNode(
  { nodes, branches }: Circuit,
  endsOf: (branch: Branch) => readonly [from: number, to: number],
): number[][] {
  const at: number[][] = nodes.map(() => []);
  for (const branch of branches) {
    if (branch.role === 'source' || branch.role === 'winding') continue;
    for (const end of endsOf(branch)) at[end]?.push(branch.index);
  }
  return at;
}

/** Ohms through which a fault joins places as a conductor does: a part burnt together; a leak through more is a load. */
const deadJointOhms = 1;

export function isDeadJoint(ohms: number | 'absent' | undefined): boolean {
  return typeof ohms === 'number' && ohms <= deadJointOhms;
}

/**
 * The net of each node: those that conductors join (or a part shorted by a fault) have one root. Wires that a fault
 * moves are where it puts them, also in a view of the sound network with the fault laid over it.
 */
function netsOf(view: View): Int32Array {
  const { structure, overlay } = view.point;
  const net = new Int32Array(structure.nodeCount);
  for (let node = 0; node < net.length; node += 1) net[node] = node;
  for (const { index, role } of view.point.plan.circuit.branches) {
    if (role === 'source' || !isPresent(view, index)) continue;
    if (isConductor(role) || isDeadJoint(overlay.branches.get(index))) {
      const moved = overlay.moved.get(index);
      const [from, to] = moved === undefined ? view.ends(index) : [moved.from, moved.to];
      net[rootOf(net, from)] = rootOf(net, to);
    }
  }
  return net;
}

/** Whether joining two nodes would join two supply legs by conductors. */
export function joinsLegs(view: View): (a: number, b: number) => boolean {
  const net = netsOf(view);
  const legsOn = new Map<number, Set<number>>();
  for (const supply of view.point.plan.circuit.supplies.values()) {
    for (const { node, branch } of supply.legs) {
      if (!isPresent(view, branch)) continue;
      const root = rootOf(net, node);
      legsOn.set(root, (legsOn.get(root) ?? new Set()).add(branch));
    }
  }
  return (a, b) => {
    const one = legsOn.get(rootOf(net, a));
    const other = legsOn.get(rootOf(net, b));
    if (one === undefined || other === undefined) return false;
    return one.size > 1 || other.size > 1 || one !== other;
  };
}

/** Whether conductors join two legs that are at different voltages. */
export function areLegsJoined(view: View): boolean {
  return opposingLegs(view) !== undefined;
}

/** Terminals of two legs at different voltages that conductors join. */
function opposingLegs(view: View): { readonly from: SupplyLeg; readonly to: SupplyLeg } | undefined {
  const { circuit } = view.point.plan;
  const net = netsOf(view);
  for (const supply of circuit.supplies.values()) {
    for (const leg of supply.legs) {
      if (!leg.live || !isPresent(view, leg.branch)) continue;
      const other = legJoined(view, leg.branch, rootOf(net, leg.node), net);
      if (other !== undefined) return { from: leg, to: other };
    }
  }
  return undefined;
}

function legJoined(view: View, leg: number, at: number, net: Int32Array): SupplyLeg | undefined {
  for (const supply of view.point.plan.circuit.supplies.values()) {
    for (const each of supply.legs) {
      const { branch, node } = each;
      if (branch === leg || !isPresent(view, branch) || rootOf(net, node) !== at) continue;
      if (opposes(view, branch, leg)) return each;
    }
  }
  return undefined;
}

/** Two legs at different voltages. Legs of supplies with zeros of their own have no voltage to compare. */
export function opposes(view: View, a: number, b: number): boolean {
  const { from } = view.point.structure;
  if (from[a] !== from[b]) return false;
  return view.point.phasors.some(({ emf }) => emf.re[a] !== emf.re[b] || emf.im[a] !== emf.im[b]);
}

function branchesBack(node: number, arrived: readonly (Step | undefined)[]): number[] {
  const branches: number[] = [];
  let at = node;
  for (let step = arrived[at]; step !== undefined; step = arrived[at]) {
    branches.unshift(step.branch);
    at = step.from;
  }
  return branches;
}
