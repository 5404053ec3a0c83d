import { type Fault, listFaults, type Mode, type VariableFault } from '../../circuit/circuit.js';
import type { TestStand, Trip } from '../../meter/meter.js';
import { branchFigures, type Interval } from '../../solve/solve.js';
import { fittingValues, huntFor, likeliest } from '../values/fitting-values.js';
import type { Widths } from '../values/loose-band.js';
import { faultOf } from '../values/setting.js';
import type { Group } from './evidence.js';
import { type Explain, type Explanation, explainer } from './explained.js';
import { explainerAtTimes } from './intermittent.js';
import { listPairs } from './pairs.js';
import { priorOf, unknownWeight } from './priors.js';
import { screenOf } from './screen.js';

/** Faults that together explain every reading and symptom. */
export interface Suspect {
  /** One with a range of values stands here with a value from within it. */
  readonly faults: readonly Fault[];
  /** The same at values over the range of those that fit, for predictions; of a definite fault just itself. */
  readonly samples: readonly (readonly Fault[])[];
  /** What the faults opened on the way: a fuse that a shorted load blew. It has to be put right too, and is no cause. */
  readonly opened?: Fault;
  /** Of a bad connection of a certain value: what it burns at the most that it was made to carry. */
  readonly heat?: Heat;
  /** Share of belief, always below 1: room is kept for a fault nobody modelled. */
  readonly weight: number;
}

/** Watts turned to heat in a connection, and the amps through it. */
export interface Heat {
  readonly watts: number;
  readonly amps: number;
}

/** How far one had to go to find suspects: a single fault, one that comes and goes, or two at once. */
export type Supposed = 'single' | 'intermittent' | 'pair';

export interface Suspects {
  readonly suspects: readonly Suspect[];
  readonly supposed: Supposed;
  /** False where all of them leave contacts that never settle, which explain any reading. */
  readonly settled: boolean;
  /** Single faults tried, and pairs, where there were no single ones. */
  readonly tried: number;
  readonly triedPairs?: number;
  /** False when there are more pairs than were tried. */
  readonly complete: boolean;
}

interface Fitting {
  readonly faults: readonly Fault[];
  readonly samples: readonly (readonly Fault[])[];
  readonly opened?: Fault;
  readonly heat?: Heat;
  readonly score: number;
}

/**
 * Every single fault of the circuit that fits the observations, best first; equal weights keep the file's order. Where
 * repeats of a reading disagree (`unsteady`) and no steady one explains it, those that come and go; where none fits, pairs.
 */
export function listSuspects(
  stand: TestStand,
  groups: readonly Group[],
  trips: readonly Trip[],
  unsteady: boolean,
): Suspects {
  const explain = explainer(stand, groups, trips);
  const screen = screenOf(stand, groups, trips);
  const faults = listFaults(stand.circuit);
  const variable = [...stand.circuit.parts.values()].flatMap((part) => part.variableFaults ?? []);
  const tried = faults.length + variable.length;
  const widths: Widths = new Map();
  const definite = faults.flatMap((fault) => (screen([fault]) ? [] : definiteFitting(stand, explain, fault)));
  const single = [
    ...definite,
    ...variable.flatMap((each) => valuedFitting(stand, groups, explain, definite, each, widths)),
  ];
  // Contacts that never settle explain any reading: they only stand beside what comes and goes.
  const settled = single.some(({ faults }) => !chatters(stand, groups, faults));
  if (unsteady && !settled) {
    const atTimes = explainerAtTimes(stand, groups);
    const fits = new Set(single.flatMap((each) => each.faults));
    const others = faults.filter((fault) => !fits.has(fault));
    const fitting = [...single, ...others.flatMap((fault) => definiteFitting(stand, atTimes, fault))];
    return { ...weighed(fitting), supposed: 'intermittent', settled: true, tried, complete: true };
  }
  if (single.length > 0) return { ...weighed(single), supposed: 'single', settled, tried, complete: true };
  const pairs = listPairs(stand, groups, explain, screen, faults);
  const both = pairs.fitting.map((each) => fittingOf(stand, each.faults, each.explanation));
  return {
    ...weighed(both),
    supposed: 'pair',
    settled: true,
    tried,
    triedPairs: pairs.tried,
    complete: pairs.complete,
  };
}

function chatters(stand: TestStand, groups: readonly Group[], faults: readonly Fault[]): boolean {
  return groups.some(({ state, dead }) => stand.look(state, faults, dead).kind === 'chattering');
}

function weighed(fitting: readonly Fitting[]): Pick<Suspects, 'suspects'> {
  const total = fitting.reduce((sum, each) => sum + each.score, unknownWeight);
  const suspects = [...fitting]
    .sort((a, b) => b.score - a.score)
    .map(({ score, ...each }) => ({ ...each, weight: score / total }));
  return { suspects };
}

function fittingOf(stand: TestStand, faults: readonly Fault[], { share, opened }: Explanation): Fitting {
  const score = faults.reduce((product, fault) => product * priorOf(stand.circuit, fault), share);
  return { faults, samples: [faults], ...(opened === undefined ? {} : { opened }), score };
}

function definiteFitting(stand: TestStand, explain: Explain, fault: Fault): Fitting[] {
  const explanation = explain([fault]);
  return explanation === undefined ? [] : [fittingOf(stand, [fault], explanation)];
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
  widths: Widths,
): Fitting[] {
  const { range, unit } = variable;
  const hunt = huntFor(stand, variable, [], widths);
  return likeliest(hunt, groups, fittingValues(hunt, groups)).flatMap((values) => {
    const unbounded = values.high >= range.most;
    if (unbounded && extremeFits(definite, variable, ['open', 'stuck-open', 'missing'])) return [];
    if (values.low <= range.least && extremeFits(definite, variable, ['shorted', 'missing'])) return [];
    const samples = spread(values).map((value) => [faultOf(variable, value)]);
    const shares = samples.map((each) => explain(each)?.share);
    const best = Math.max(...shares.map((share) => share ?? 0));
    const [, middle] = samples;
    if (best === 0 || middle === undefined) return [];
    const [fault] = middle as [Fault];
    const heat = unbounded ? undefined : heatIn(stand, groups, fault);
    const value = { low: values.low, high: unbounded ? Number.POSITIVE_INFINITY : values.high, unit };
    return [
      {
        faults: [{ ...fault, value }],
        ...(heat === undefined ? {} : { heat }),
        samples: samples.filter((_, index) => shares[index] !== undefined),
        score: best * valuedShare * priorOf(stand.circuit, fault),
      },
    ];
  });
}

/** In the state of the job that puts most through it. */
function heatIn(stand: TestStand, groups: readonly Group[], fault: Fault): Heat | undefined {
  const worn =
    fault.mode === 'high-resistance' ? fault.changes.find((change) => change.kind === 'worn') : undefined;
  if (worn?.kind !== 'worn' || stand.circuit.branches[worn.branch]?.role === 'load') return undefined;
  const amps = groups.flatMap(({ state, dead }) => {
    const sight = dead ? undefined : stand.look(state, [fault]);
    return sight?.kind === 'steady' ? branchFigures(sight.view, worn.branch).amps : [];
  });
  const most = Math.max(0, ...amps);
  const watts = most * most * worn.ohms;
  return watts < leastWatts ? undefined : { watts, amps: most };
}

/** Less than this burns nothing (judgement, no source). */
const leastWatts = 0.5;

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
