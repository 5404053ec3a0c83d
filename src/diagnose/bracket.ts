import { type Circuit, type Fault, isConductor } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
import { pathsToPair, type SupplyPath, type View } from '../solve/solve.js';
import type { ReadingEvidence, SymptomEvidence, TripEvidence } from './suspects/evidence.js';
import { partsOf, type Suspect } from './suspects/suspects.js';

/** The first reading (or, when all readings agree, symptom) that is not as it should be, and what bounds it. */
export interface Discrepancy {
  readonly kind: 'reading' | 'symptom';
  readonly index: number;
  /** Line or neutral side, when the suspects stand on one supply path; `leg` names it. */
  readonly side?: { readonly live: boolean; readonly leg: string; readonly supply: string };
  readonly lastGood?: string;
  readonly firstBad?: string;
  /** The suspected parts that stand between the two; none where they are ends of no one stretch. */
  readonly between: readonly string[];
  /** The parts that bound the fault, from the supply on. */
  readonly bounds: readonly string[];
}

/**
 * Between the last good and the first bad place on the supply path stand the parts that no reading has cleared.
 * The path is the sound circuit's, in the state of the discrepancy; everything before the first remaining
 * suspect on it is good (a reading there agrees, or every way it could be bad contradicts some reading).
 */
export function bracketReading(
  stand: TestStand,
  evidence: ReadingEvidence,
  suspects: readonly Suspect[],
): Discrepancy {
  const { index, state, where } = evidence.reading;
  const sight = stand.look(state, []);
  const found = { kind: 'reading', index } as const;
  if (sight.kind !== 'steady') return { ...found, between: [], bounds: boundsOf(suspects, []) };
  const [a, b] = where.kind === 'between' ? [where.red, where.black] : endsOf(stand.circuit, where.branch);
  const paths = pathsToPair(sight.view, a, b);
  return { ...found, ...section(sight.view, [paths.a, paths.b], suspects) };
}

/** A load that has all it needs and does not do its job is what is bounded; else its supply path is looked at. */
export function bracketSymptom(
  stand: TestStand,
  evidence: SymptomEvidence,
  suspects: readonly Suspect[],
): Discrepancy {
  const { index, state, load } = evidence.symptom;
  const sight = stand.look(state, []);
  const found = { kind: 'symptom', index } as const;
  const branch = load.does.kind === 'volts' ? load.does.branch : undefined;
  if (sight.kind !== 'steady' || branch === undefined)
    return { ...found, between: [], bounds: boundsOf(suspects, []) };
  const paths = pathsToPair(sight.view, ...endsOf(stand.circuit, branch), branch);
  return { ...found, ...section(sight.view, [paths.a, paths.b], suspects) };
}

/** What a protector opens on is any of the suspects: its place on a path says nothing of which. */
export function bracketTrip({ trip }: TripEvidence, suspects: readonly Suspect[]): Discrepancy {
  return { kind: 'symptom', index: trip.index, bounds: boundsOf(suspects, []), between: [] };
}

function endsOf(circuit: Circuit, branch: number): [number, number] {
  const { from, to } = circuit.branches[branch] ?? { from: 0, to: 0 };
  return [from, to];
}

type Section = Pick<Discrepancy, 'side' | 'lastGood' | 'firstBad' | 'between' | 'bounds'>;

function section(
  view: View,
  paths: readonly (SupplyPath | undefined)[],
  suspects: readonly Suspect[],
): Section {
  const { circuit } = view.point.plan;
  const branches = new Set(
    suspects.flatMap((suspect) => suspect.faults.flatMap((fault) => changedBranches(circuit, fault))),
  );
  const stretches = paths.flatMap((path) =>
    path === undefined ? [] : (stretchOf(circuit, path, branches) ?? []),
  );
  const bounds = boundsOf(
    suspects,
    stretches.flatMap((stretch) => stretch.parts),
  );
  const [only] = stretches;
  if (only === undefined || stretches.some((each) => each.leg !== only.leg))
    return { bounds, ...acrossFault(view, branches) };
  const { live, leg, supply, lastGood, firstBad } = only;
  const between = [...new Set(only.parts)];
  return {
    side: { live, leg, supply },
    ...(lastGood === undefined ? {} : { lastGood }),
    firstBad,
    between,
    bounds,
  };
}

interface Stretch {
  readonly live: boolean;
  readonly leg: string;
  readonly supply: string;
  /** Absent when the supply itself is suspected: nothing before it is known good. */
  readonly lastGood: string | undefined;
  readonly firstBad: string;
  readonly parts: readonly string[];
}

/** From before the first suspected branch on the path to behind the last. */
function stretchOf(circuit: Circuit, path: SupplyPath, suspected: ReadonlySet<number>): Stretch | undefined {
  const { live, leg, supply, terminal } = path;
  const source = circuit.supplies.get(supply)?.legs.find((each) => each.name === leg)?.branch ?? -1;
  const hits = path.steps.filter((step) => suspected.has(step.branch));
  const [first] = hits;
  const end = hits.at(-1)?.to ?? terminal;
  if (first === undefined && !suspected.has(source)) return undefined;
  const lastGood = first === undefined || suspected.has(source) ? undefined : circuit.nodes[first.from]?.name;
  const parts = [
    ...(suspected.has(source) ? [supply] : []),
    ...hits.map((step) => circuit.branches[step.branch]?.part ?? ''),
  ];
  return { live, leg, supply, lastGood, firstBad: circuit.nodes[end]?.name ?? '', parts };
}

/**
 * Off every path (a contact that should be open, a load itself): the two ends of the one branch that all suspects
 * change, the one that a supply reaches with the fewest parts between first.
 */
function acrossFault(view: View, branches: ReadonlySet<number>): Omit<Section, 'bounds'> {
  const { circuit } = view.point.plan;
  const [only] = branches;
  if (only === undefined || branches.size > 1) return { between: [] };
  const [from, to] = endsOf(circuit, only);
  const [near, far] = [from, to].map((node) => ({ node, path: pathsToPair(view, node, node, only).a }));
  if (near === undefined || far === undefined) return { between: [] };
  const [good, bad] = distance(circuit, far.path) < distance(circuit, near.path) ? [far, near] : [near, far];
  const lastGood = circuit.nodes[good.node]?.name;
  const firstBad = circuit.nodes[bad.node]?.name;
  if (lastGood === undefined || firstBad === undefined) return { between: [] };
  const between = [circuit.branches[only]?.part ?? ''];
  // A load has a side of its own at either end.
  const isLoad = !isConductor(circuit.branches[only]?.role ?? 'load');
  if (isLoad || good.path === undefined) return { lastGood, firstBad, between };
  const { live, leg, supply } = good.path;
  return { side: { live, leg, supply }, lastGood, firstBad, between };
}

/** Parts walked through, loads counting for more than any number of conductors. */
function distance(circuit: Circuit, path: SupplyPath | undefined): number {
  if (path === undefined) return Number.POSITIVE_INFINITY;
  const loads = path.steps.filter((step) => !isConductor(circuit.branches[step.branch]?.role ?? 'load'));
  return path.steps.length + 1e6 * loads.length;
}

/** The branches a fault is about; an actuator's are its contacts, an idle load's the load, a low supply's its live legs. */
function changedBranches(circuit: Circuit, fault: Fault): number[] {
  return fault.changes.flatMap((change) => {
    switch (change.kind) {
      case 'held':
        return circuit.branches.flatMap(({ gate, index }) =>
          gate?.kind === 'actuator' && gate.actuator === change.actuator ? index : [],
        );
      case 'idle':
        return circuit.loads.get(change.load)?.does.branch ?? [];
      case 'scaled': {
        const legs = circuit.supplies.get(change.supply)?.legs ?? [];
        return legs.flatMap((leg) => (leg.live ? leg.branch : []));
      }
      default:
        // A leak is through a branch that stands for any of them: what leaks is the part.
        return circuit.branches[change.branch]?.gate?.kind === 'fault'
          ? (circuit.parts.get(fault.part)?.branches ?? [])
          : change.branch;
    }
  });
}

/** Every suspected part: those on the path in its order, then the others by weight. */
function boundsOf(suspects: readonly Suspect[], onPath: readonly string[]): string[] {
  return [...new Set([...onPath, ...suspects.flatMap(partsOf)])];
}
