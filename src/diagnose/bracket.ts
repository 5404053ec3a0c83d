import type { Circuit, Fault } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
import { type SupplyPath, supplyPaths } from '../solve/solve.js';
import type { ReadingEvidence, SymptomEvidence } from './evidence.js';
import { partsOf, type Suspect } from './suspects.js';

/** The first reading (or, when all readings agree, symptom) that is not as it should be, and what bounds it. */
export interface Discrepancy {
  readonly kind: 'reading' | 'symptom';
  readonly index: number;
  /** Line or neutral side, when the suspects stand on one supply path; `leg` names it. */
  readonly side?: { readonly live: boolean; readonly leg: string; readonly supply: string };
  readonly lastGood?: string;
  readonly firstBad?: string;
  /** The parts that bound the fault, from the supply on. */
  readonly bounds: readonly string[];
}

/**
 * Between the last good and the first bad place on the supply path stand the parts that no reading has cleared.
 * The path is the sound circuit's, in the state of the discrepancy; everything before the first remaining
 * suspect on it is good (a reading there agrees, or every way it could be bad contradicts some reading).
 */
export function bracketReading(stand: TestStand, evidence: ReadingEvidence, suspects: readonly Suspect[]): Discrepancy {
  const { index, state, where } = evidence.reading;
  const sight = stand.look(state, []);
  const found = { kind: 'reading', index } as const;
  if (sight.kind !== 'steady') return { ...found, bounds: boundsOf(suspects, []) };
  const paths = supplyPaths(sight.view);
  const ends = where.kind === 'between' ? [where.red, where.black] : endsOf(stand.circuit, where.branch);
  return { ...found, ...section(stand.circuit, ends.map((end) => paths[end]), suspects) };
}

/** A load that has all it needs and does not do its job is what is bounded; else its supply path is looked at. */
export function bracketSymptom(stand: TestStand, evidence: SymptomEvidence, suspects: readonly Suspect[]): Discrepancy {
  const { index, state, load } = evidence.symptom;
  const sight = stand.look(state, []);
  const found = { kind: 'symptom', index } as const;
  const branch = load.does.kind === 'volts' ? load.does.branch : undefined;
  if (sight.kind !== 'steady' || branch === undefined) return { ...found, bounds: boundsOf(suspects, []) };
  const paths = supplyPaths(sight.view);
  return { ...found, ...section(stand.circuit, endsOf(stand.circuit, branch).map((end) => paths[end]), suspects) };
}

function endsOf(circuit: Circuit, branch: number): number[] {
  const { from, to } = circuit.branches[branch] ?? { from: 0, to: 0 };
  return [from, to];
}

type Section = Pick<Discrepancy, 'side' | 'lastGood' | 'firstBad' | 'bounds'>;

function section(circuit: Circuit, paths: readonly (SupplyPath | undefined)[], suspects: readonly Suspect[]): Section {
  const known = paths.filter((path) => path !== undefined);
  const stretches = known.flatMap((path) => stretchOf(circuit, path, suspects) ?? []);
  const bounds = boundsOf(suspects, stretches.flatMap((stretch) => stretch.parts));
  const [only] = stretches;
  if (only === undefined || stretches.some((each) => each.leg !== only.leg)) return { bounds, ...acrossFault(circuit, suspects) };
  const { live, leg, supply } = only;
  return { side: { live, leg, supply }, lastGood: only.lastGood, firstBad: only.firstBad, bounds };
}

interface Stretch {
  readonly live: boolean;
  readonly leg: string;
  readonly supply: string;
  readonly lastGood: string;
  readonly firstBad: string;
  readonly parts: readonly string[];
}

/** From before the first suspected part on the path to behind the last. */
function stretchOf(circuit: Circuit, path: SupplyPath, suspects: readonly Suspect[]): Stretch | undefined {
  const suspected = new Set(suspects.flatMap(partsOf));
  const partAt = (branch: number) => circuit.branches[branch]?.part ?? '';
  const hits = path.steps.filter((step) => suspected.has(partAt(step.branch)));
  const [first] = hits;
  const last = hits.at(-1);
  if (first === undefined || last === undefined) return undefined;
  return {
    live: path.live,
    leg: path.leg,
    supply: path.supply,
    lastGood: circuit.nodes[first.from]?.name ?? '',
    firstBad: circuit.nodes[last.to]?.name ?? '',
    parts: hits.map((step) => partAt(step.branch)),
  };
}

/** Off every path (a contact that should be open): the two ends of the one branch that all suspects change. */
function acrossFault(circuit: Circuit, suspects: readonly Suspect[]): Pick<Section, 'lastGood' | 'firstBad'> {
  const branches = new Set(suspects.flatMap((suspect) => suspect.faults.flatMap(changedBranches)));
  const [only] = branches;
  if (only === undefined || branches.size > 1) return {};
  const { from, to } = circuit.branches[only] ?? { from: -1, to: -1 };
  const lastGood = circuit.nodes[from]?.name;
  const firstBad = circuit.nodes[to]?.name;
  return lastGood === undefined || firstBad === undefined ? {} : { lastGood, firstBad };
}

function changedBranches(fault: Fault): number[] {
  return fault.changes.flatMap((change) => ('branch' in change ? [change.branch] : []));
}

/** Every suspected part: those on the path in its order, then the others by weight. */
function boundsOf(suspects: readonly Suspect[], onPath: readonly string[]): string[] {
  return [...new Set([...onPath, ...suspects.flatMap(partsOf)])];
}
