import {
  type Circuit,
  type Fault,
  isClosedByState,
  isConductor,
  restState,
  type State,
} from '../circuit/circuit.js';
import { type Expected, instrument, nominalSupplies, nominalVolts, standOf } from '../meter/meter.js';
import { branchFigures, isPresent, type View, type Works, worksIn } from '../solve/solve.js';
import type { Element } from './elements.js';
import type { Ladder, LadderSection } from './ladder.js';

/**
 * How a conductor stands: `plain` where nothing is computed, `neutral` at the voltage of its section's reference, or
 * `live` there as well where that is no neutral but a line: it reads 0 V and kills.
 */
export type Potential = 'plain' | 'live' | 'neutral' | 'earth' | 'floating';

/** What a load gets and does. */
export interface LoadScene {
  /** Absent where it has no job of its own. */
  readonly works?: Works;
  readonly job?: string;
  readonly amps?: number;
}

/** A ladder in one state. */
export interface Scene {
  readonly state: State;
  readonly faults: readonly Fault[];
  /** Without a state asked for: contacts as they rest without power, and nothing computed. */
  readonly outcome: 'not-asked' | 'steady' | 'no-power' | 'chattering' | 'short' | 'overload';
  readonly potential: (node: number) => Potential;
  /** What a meter shows there against the section's reference; undefined where it is no test point, or nothing holds still. */
  readonly expected: (node: number) => Expected | undefined;
  /** By `Element.index`. */
  readonly conducts: ReadonlySet<number>;
  readonly loads: ReadonlyMap<number, LoadScene>;
  /** Loads without a place in the wiring: a module's outputs that are jobs. */
  readonly jobs: ReadonlyMap<string, Works>;
}

/** Where the black lead is for the volts of a section: its neutral, or what stands for one. */
export function referenceOf({ poles }: LadderSection): number | undefined {
  const zero = poles.find(({ live, leg }) => !live && leg !== 'earth') ?? poles.at(-1);
  return poles.length < 2 ? undefined : zero?.node;
}

/** The wiring alone, or, in a state, what it does there. */
export function lookAt(ladder: Ladder, state: State | undefined, faults: readonly Fault[]): Scene {
  const { circuit } = ladder;
  if (state === undefined) return still(ladder, restState(circuit), faults, 'not-asked');
  const sight = standOf(circuit, nominalSupplies(circuit)).look(state, faults);
  if (sight.kind !== 'steady') return still(ladder, state, faults, sight.kind);
  const { view } = sight;
  const expected = state.power ? expectedIn(ladder, view) : new Map<number, NodeExpected>();
  const earthed = earthedNodes(ladder);
  const conducts = new Set<number>();
  const loads = new Map<number, LoadScene>();
  for (const element of ladder.elements) {
    const { index, branch } = element;
    if (branch !== undefined && isPresent(view, branch)) conducts.add(index);
    if (state.power && !isConductor(element.role)) loads.set(index, loadScene(circuit, view, element));
  }
  return {
    state,
    faults,
    outcome: state.power ? 'steady' : 'no-power',
    potential: (node) => potentialOf(expected.get(node), earthed.has(node)),
    expected: (node) => (isTestPoint(circuit, node) ? expected.get(node)?.expected : undefined),
    conducts,
    loads,
    jobs: new Map([...circuit.loads.values()].map((load) => [load.name, worksIn(view, load, 0)])),
  };
}

function isTestPoint({ nodes }: Circuit, node: number): boolean {
  const { reachable = false, hazard } = nodes[node] ?? {};
  return reachable && hazard === undefined;
}

interface NodeExpected {
  readonly expected: Expected;
  /** Of the section. */
  readonly most: number;
  /** Its reference is a line. */
  readonly liveZero: boolean;
}

/** No path ties the place to a supply. */
const nothing: Expected = { kind: 'floating', likely: 0, high: 0, unit: 'V', cause: [] };

function expectedIn(ladder: Ladder, view: View): ReadonlyMap<number, NodeExpected> {
  const meter = instrument('high-impedance');
  const found = new Map<number, NodeExpected>();
  for (const section of ladder.sections) {
    const black = referenceOf(section);
    if (black === undefined || ladder.circuit.nodes[black]?.hazard !== undefined) continue;
    const all = [...section.nodes].map((node) => {
      const driven = view.isDriven(view.island(node));
      return [node, driven ? nominalVolts(view, node, black, meter) : nothing] as const;
    });
    const most = Math.max(0, ...all.map(([, each]) => (each.kind === 'driven' ? Math.abs(each.nominal) : 0)));
    const liveZero = section.poles.some(({ node, live }) => node === black && live);
    for (const [node, expected] of all) found.set(node, { expected, most, liveZero });
  }
  return found;
}

/** Share of a section's highest voltage under which a place counts as at its reference: what conductors drop is less. */
const neutralShare = 0.05;

function potentialOf(found: NodeExpected | undefined, earthed: boolean): Potential {
  if (earthed) return 'earth';
  if (found === undefined) return 'plain';
  const { expected, most, liveZero } = found;
  if (expected.kind === 'floating') return 'floating';
  if (liveZero) return 'live';
  return Math.abs(expected.nominal) <= neutralShare * most ? 'neutral' : 'live';
}

/** Places in sections that hang on an earth alone. */
function earthedNodes({ sections }: Ladder): ReadonlySet<number> {
  return new Set(
    sections.flatMap(({ poles, nodes }) =>
      poles.length > 0 && poles.every(({ leg }) => leg === 'earth') ? [...nodes] : [],
    ),
  );
}

function loadScene(circuit: Circuit, view: View, { part, names, branch, role }: Element): LoadScene {
  const load = [...circuit.loads.values()].find(({ does, part: of }) =>
    does.branch === undefined
      ? of === part && names.some((name) => `${part}.${name}` === name)
      : does.branch === branch,
  );
  const amps = branch === undefined || role === 'input' ? {} : { amps: branchFigures(view, branch).amps };
  if (load === undefined) return amps;
  return { ...amps, works: worksIn(view, load, 0), job: load.job };
}

/** Nothing is computed: every contact as the state sets it, and what actuators move as it is without power. */
function still(ladder: Ladder, state: State, faults: readonly Fault[], outcome: Scene['outcome']): Scene {
  const earthed = earthedNodes(ladder);
  const conducts = ladder.elements.filter(({ branch }) => {
    const gate = ladder.circuit.branches[branch ?? -1]?.gate;
    if (gate === undefined) return true;
    return gate.kind === 'actuator' ? !gate.closedWhen : isClosedByState(state, gate);
  });
  return {
    state,
    faults,
    outcome,
    potential: (node) => (earthed.has(node) ? 'earth' : 'plain'),
    expected: () => undefined,
    conducts: new Set(conducts.map(({ index }) => index)),
    loads: new Map(),
    jobs: new Map(),
  };
}
