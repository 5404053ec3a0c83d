import { type Fault, listFaults, type Mode, type VariableFault } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
import type { Interval } from '../solve/solve.js';
import type { Group } from './evidence.js';
import { type Explain, explainer } from './explained.js';
import { fittingValues } from './fitting-values.js';
import { priorOf, unknownWeight } from './priors.js';
import { faultOf } from './value-regimes.js';

/** Faults that together explain every reading and symptom. */
export interface Suspect {
  /** One with a range of values stands here with a value from within it. */
  readonly faults: readonly Fault[];
  /** The same at values over the range of those that fit, for predictions; of a definite fault just itself. */
  readonly samples: readonly (readonly Fault[])[];
  /** Share of belief, always below 1: room is kept for a fault nobody modelled. */
  readonly weight: number;
}

interface Fitting {
  readonly faults: readonly Fault[];
  readonly samples: readonly (readonly Fault[])[];
  readonly score: number;
}

/** Every single fault of the circuit that fits the observations, best first; equal weights keep the file's order. */
export function listSuspects(
  stand: TestStand,
  groups: readonly Group[],
): { readonly suspects: readonly Suspect[]; readonly tried: number } {
  const explain = explainer(stand, groups);
  const faults = listFaults(stand.circuit);
  const definite = faults.flatMap((fault) => definiteFitting(stand, explain, fault));
  const variable = [...stand.circuit.parts.values()].flatMap((part) => part.variableFaults ?? []);
  const valued = variable.flatMap((each) => valuedFitting(stand, groups, explain, definite, each));
  const fitting = [...definite, ...valued];
  const total = fitting.reduce((sum, each) => sum + each.score, unknownWeight);
  const suspects = fitting
    .sort((a, b) => b.score - a.score)
    .map(({ score, ...each }) => ({ ...each, weight: score / total }));
  return { suspects, tried: faults.length + variable.length };
}

function definiteFitting(stand: TestStand, explain: Explain, fault: Fault): Fitting[] {
  const share = explain([fault]);
  if (share === undefined) return [];
  return [{ faults: [fault], samples: [[fault]], score: share * priorOf(stand.circuit, fault) }];
}

/** A value that is just so explains less than a fault that is there or not (judgement, no source). */
const valuedShare = 0.5;

/** Each stretch of values that fits, and that is not the tail of an open or a shorted part which fits as well. */
function valuedFitting(
  stand: TestStand,
  groups: readonly Group[],
  explain: Explain,
  definite: readonly Fitting[],
  variable: VariableFault,
): Fitting[] {
  const { range, unit } = variable;
  return fittingValues(stand, groups, variable, []).flatMap((values) => {
    const unbounded = values.high >= range.most;
    if (unbounded && extremeFits(definite, variable, ['open', 'stuck-open', 'missing'])) return [];
    if (values.low <= range.least && extremeFits(definite, variable, ['shorted', 'missing'])) return [];
    const samples = spread(values).map((value) => [faultOf(variable, value)]);
    const shares = samples.map((each) => explain(each));
    const best = Math.max(...shares.map((share) => share ?? 0));
    const [, middle] = samples;
    if (best === 0 || middle === undefined) return [];
    const [fault] = middle as [Fault];
    const value = { low: values.low, high: unbounded ? Number.POSITIVE_INFINITY : values.high, unit };
    return [
      {
        faults: [{ ...fault, value }],
        samples: samples.filter((_, index) => shares[index] !== undefined),
        score: best * valuedShare * priorOf(stand.circuit, fault),
      },
    ];
  });
}

function extremeFits(
  definite: readonly Fitting[],
  { part, at }: VariableFault,
  modes: readonly Mode[],
): boolean {
  return definite.some(
    ({ faults: [fault] }) =>
      fault?.part === part && (fault.at === at || at === undefined) && modes.includes(fault.mode),
  );
}

/** Just inside either end, and between them on a scale of ratios. */
function spread({ low, high }: Interval): readonly number[] {
  const ratio = high / low;
  return [0.05, 0.5, 0.95].map((share) => low * ratio ** share);
}

/** The parts a suspect is about; a crossed pair is about both wires. */
export function partsOf(suspect: Pick<Suspect, 'faults'>): string[] {
  return [
    ...new Set(
      suspect.faults.flatMap((fault) => (fault.with === undefined ? [fault.part] : [fault.part, fault.with])),
    ),
  ];
}

/** Whether all suspects lie in one part (or one crossed pair). */
export function areBounded(suspects: readonly Suspect[]): boolean {
  const keys = new Set(suspects.map((suspect) => partsOf(suspect).sort().join(' + ')));
  return keys.size === 1;
}
