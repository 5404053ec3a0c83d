import { type Circuit, type CircuitNode, type Fault, type State, stateKey } from '../../circuit/circuit.js';
import { type Expected, type Job, nominalVolts, type TestStand } from '../../meter/meter.js';
import { rmsVolts, type View } from '../../solve/solve.js';
import { usualBlack } from '../expect.js';
import { mostStates, statesOf } from '../states.js';

/** A place that reads something else with the slip than in the sound circuit, and than with any other suspect. */
export interface SlipProof {
  readonly state: State;
  readonly red: string;
  readonly black: string;
  readonly slipped: Expected;
  readonly sound: Expected;
  /** The reading that was taken there, where one was. */
  readonly reading?: number;
}

/** Places whose difference is at least this share of the largest are as good as that one. */
const aboutAsFar = 0.9;

/** A smaller difference is not worth a walk (judgement, no source). */
const leastVolts = 1;

interface Leads {
  readonly red: CircuitNode;
  readonly black: CircuitNode;
}

interface Place extends Leads {
  readonly state: State;
  /** Without the slip, with it, and with each other suspect. */
  readonly views: readonly [sound: View, slipped: View, ...others: View[]];
  /** Volts between what it reads with the slip and the nearest of the others. */
  readonly apart: number;
  readonly reading: number | undefined;
}

/**
 * The place where the slip makes the most difference, in a state of the job or a named one. Of those about as good: one
 * not read yet, at the wires themselves, the easiest to reach. None where the slip blows something: after that nothing
 * reads anything.
 */
export function proofOf(
  stand: TestStand,
  job: Job,
  slip: readonly Fault[],
  others: readonly (readonly Fault[])[],
): SlipProof | undefined {
  const { circuit } = stand;
  const black = circuit.nodes[usualBlack(circuit) ?? -1];
  const live = statesOf(circuit, job).filter(({ power, before }) => power && before.length === 0);
  if (black === undefined || live.some((state) => stand.look(state, slip).kind !== 'steady'))
    return undefined;
  const pairs = pairsOf(circuit, black);
  const places = live
    .slice(0, mostStates)
    .flatMap((state) => placesIn(stand, job, state, pairs, [[], slip, ...others]));
  const most = Math.max(leastVolts, ...places.map(({ apart }) => apart));
  const own = terminalsOf(circuit, slip);
  const rank = ({ reading, red, black: other }: Place) =>
    (reading === undefined ? 0 : 2e6) +
    (own.has(red.index) ? 0 : 1e6) +
    red.accessMinutes +
    other.accessMinutes;
  const [best] = places
    .filter(({ apart }) => apart >= aboutAsFar * most)
    .sort((one, other) => rank(one) - rank(other));
  return best && shownAt(stand, job, best);
}

/** Bands, and whether they leave room between them. */
function shownAt(stand: TestStand, job: Job, place: Place): SlipProof | undefined {
  const { state, views, red, black, reading } = place;
  const where = { kind: 'between', red: red.index, black: black.index } as const;
  const probe = { where, unit: 'V', meter: job.meter } as const;
  const [sound, slipped, ...others] = views.map((view) => stand.expectIn(view, probe));
  if (sound === undefined || slipped === undefined) return undefined;
  if (![sound, ...others].every((each) => areApart(slipped, each))) return undefined;
  const taken = reading === undefined ? {} : { reading };
  return { state, red: red.name, black: black.name, slipped, sound, ...taken };
}

/** What floats shows up to its `high`. */
function areApart(a: Expected, b: Expected): boolean {
  const low = (each: Expected) => (each.kind === 'driven' ? each.low : 0);
  return low(a) > b.high || low(b) > a.high;
}

/** Every place against the usual black lead, and across each load: a side changed over has the same volts to neutral. */
function pairsOf({ nodes, loads, branches }: Circuit, black: CircuitNode): readonly Leads[] {
  const across = [...loads.values()].flatMap(({ does }): Leads[] => {
    const branch = branches[does.branch ?? -1];
    const [red, other] = [nodes[branch?.from ?? -1], nodes[branch?.to ?? -1]];
    return red === undefined || other === undefined ? [] : [{ red, black: other }];
  });
  return [...nodes.map((red) => ({ red, black })), ...across].filter(
    (leads) => leads.red !== leads.black && mayProbe(leads.red) && mayProbe(leads.black),
  );
}

function mayProbe({ reachable, hazard }: CircuitNode): boolean {
  return reachable && hazard === undefined;
}

function placesIn(
  stand: TestStand,
  job: Job,
  state: State,
  pairs: readonly Leads[],
  supposed: readonly (readonly Fault[])[],
): Place[] {
  const sights = supposed.map((faults) => stand.look(state, faults));
  const [sound, slipped, ...others] = sights.flatMap((sight) => (sight.kind === 'steady' ? sight.view : []));
  if (sound === undefined || slipped === undefined || others.length < supposed.length - 2) return [];
  return pairs.flatMap((leads) => {
    const { red, black } = leads;
    const [before, after] = [sound, slipped].map((view) =>
      nominalVolts(view, red.index, black.index, job.meter),
    );
    if (before?.kind !== 'driven' || after?.kind !== 'driven') return [];
    let apart = Math.abs(after.nominal - before.nominal);
    for (const view of others) {
      // Here is looked no further than needed: what floats is weighed by its band in the end.
      if (apart < leastVolts) return [];
      const other = nominalVolts(view, red.index, black.index, job.meter);
      if (other.kind === 'driven') apart = Math.min(apart, Math.abs(after.nominal - other.nominal));
    }
    if (apart < leastVolts) return [];
    const reading = takenAt(job, state, slipped, red, black);
    return [{ ...leads, state, views: [sound, slipped, ...others], apart, reading }];
  });
}

/** A reading at the place against the same, or what is tied to the same as the black lead would be. */
function takenAt(
  job: Job,
  state: State,
  view: View,
  red: CircuitNode,
  black: CircuitNode,
): number | undefined {
  return job.readings.find(
    ({ where, shown, state: taken }) =>
      where.kind === 'between' &&
      shown.kind !== 'blank' &&
      where.red === red.index &&
      (rmsVolts(view, where.black, black.index) ?? leastVolts) < leastVolts &&
      stateKey(taken) === stateKey(state),
  )?.index;
}

/** The terminals that the wires left and landed on. */
function terminalsOf({ branches }: Circuit, faults: readonly Fault[]): ReadonlySet<number> {
  return new Set(
    faults.flatMap(({ changes }) =>
      changes.flatMap((change) => {
        const own = change.kind === 'moved' ? branches[change.branch] : undefined;
        if (change.kind !== 'moved' || own === undefined) return [];
        return own.from === change.from ? [own.to, change.to] : [own.from, change.from];
      }),
    ),
  );
}
