import type { Fault, Part, State, VariableFault } from '../../circuit/circuit.js';
import type { TestStand } from '../../meter/meter.js';
import { type Interval, type Intervals, intersect } from '../../solve/solve.js';
import { fittingExactly, fittingRoughly, type Hunt, huntFor } from '../values/fitting-values.js';
import type { Widths } from '../values/loose-band.js';
import { faultOf } from '../values/setting.js';
import { contradicts, type Observation, type Supposed, supposed, type Witness } from './observation.js';
import type { Scale, Suppositions } from './suppositions.js';

/** How far a part is cleared, and by what. */
export interface Clearance {
  readonly part: string;
  /** Each reading or symptom it took, with the faults that this one rules out alone. */
  readonly by: readonly { readonly witness: Witness; readonly faults: readonly Fault[] }[];
  /** Faults that no reading or symptom contradicts; none when the part is cleared. */
  readonly left: readonly Fault[];
}

/** What parts are held against: observations, and every state that may have blown something. */
export interface Ground {
  readonly stand: TestStand;
  readonly observations: readonly Observation[];
  readonly states: readonly State[];
  /** Kept from part to part. */
  readonly widths: Widths;
  /** Which values of a fault are worth ruling out among them; one that is too small to notice may not be. */
  readonly suppose: Suppositions;
  /** Whether the first fault that is left is enough to know: the part is not cleared. */
  readonly wholeOnly?: true;
}

/**
 * A part is cleared when each of its faults, those of a value at every value, contradicts some reading or symptom; one
 * fault that does not is left, and the part is not cleared.
 */
export function clearanceOf(ground: Ground, part: Part): Clearance {
  const used = new Map<Observation, Fault[]>();
  const left: Fault[] = [];
  const enough = () => ground.wholeOnly === true && left.length > 0;
  const rules = (witness: Observation, faults: readonly Fault[]) =>
    used.set(witness, [...(used.get(witness) ?? []), ...faults]);
  for (const fault of part.faults) {
    if (enough()) break;
    const [witness] = witnessesOf(ground, used, ground.suppose.fault(fault));
    if (witness === undefined) left.push(fault);
    else rules(witness, [fault]);
  }
  for (const variable of part.variableFaults ?? []) {
    if (enough()) break;
    const { fault, witnesses } = ruleOutValues(ground, used, variable);
    if (witnesses === undefined) left.push(fault);
    // Where it took several, none of them rules it out alone.
    else for (const witness of witnesses) rules(witness, witnesses.size === 1 ? [fault] : []);
  }
  const by = [...used].map(([{ witness }, faults]) => ({ witness, faults }));
  return { part: part.name, by, left };
}

/** Those that contradict it, one by one: what the part needed already before the others. */
function* witnessesOf(
  { stand, observations }: Ground,
  used: ReadonlyMap<Observation, unknown>,
  fault: Supposed,
): Generator<Observation> {
  const rest = observations.filter((each) => !used.has(each));
  for (const each of [...used.keys(), ...rest]) if (contradicts(stand, each, fault)) yield each;
}

interface RuledOutValues {
  readonly fault: Fault;
  /** Absent where a value is left. */
  readonly witnesses?: ReadonlySet<Observation>;
}

/** Its values are taken away, observation by observation, until none is left or one is found that nothing contradicts. */
function ruleOutValues(
  ground: Ground,
  used: ReadonlyMap<Observation, unknown>,
  variable: VariableFault,
): RuledOutValues {
  const { stand, states, observations } = ground;
  const { changes, unit, sound, range, ...named } = variable;
  const fault = { ...named, changes: [] };
  const witnesses = new Set<Observation>();
  const scale = ground.suppose.scale(variable);
  if (scale === undefined) return { fault, witnesses };
  const { matter, blowing } = scale;
  const contradicted = (value: number) => {
    const [witness] = witnessesOf(ground, used, supposed(stand, states, faultOf(variable, value)));
    return witness;
  };
  for (const each of blowing) {
    const [witness] = witnessesOf(ground, used, each);
    if (witness === undefined) return { fault };
    witnesses.add(witness);
  }
  const hunt = huntFor(stand, variable, [], ground.widths, true);
  const leaves = new Map<Observation, Intervals>();
  for (const each of [...used.keys(), ...observations.filter((other) => !used.has(other))]) {
    const fitting = fittingAlone(hunt, each, scale);
    if (fitting.length === 0) return { fault, witnesses: witnesses.add(each) };
    leaves.set(each, fitting);
  }
  for (let step = 0; step < mostSteps; step += 1) {
    const left = common(leaves, matter);
    if (left.length === 0) return { fault, witnesses: new Set([...witnesses, ...needed(leaves, matter)]) };
    const witness = contradicted(middleOf(left));
    if (witness === undefined) break;
    leaves.set(witness, fittingExactly(hunt, witness.group, left));
  }
  return { fault };
}

/** Of what was said of a load, the same for every job that says it. */
function fittingAlone(hunt: Hunt, { key, group }: Observation, { matter, symptoms }: Scale): Intervals {
  if (key === undefined) return fittingRoughly(hunt, group, [matter], true);
  const fitting = symptoms.get(key) ?? fittingRoughly(hunt, group, [matter], true);
  symptoms.set(key, fitting);
  return fitting;
}

function common(leaves: ReadonlyMap<Observation, Intervals>, matter: Interval): Intervals {
  return [...leaves.values()].reduce<Intervals>(intersect, [matter]);
}

/** As few of the observations that together leave nothing as will do it: each that can be spared is, the last first. */
function needed(leaves: ReadonlyMap<Observation, Intervals>, matter: Interval): Observation[] {
  const kept = new Map(leaves);
  for (const [each] of [...leaves].reverse()) {
    const without = new Map(kept);
    without.delete(each);
    if (common(without, matter).length === 0) kept.delete(each);
  }
  return [...kept.keys()];
}

/** More bands than this are not worked out for one fault: it is left. */
const mostSteps = 12;

/** In the middle of the widest stretch. */
function middleOf(values: Intervals): number {
  const ratio = ({ low, high }: Interval) => high / low;
  const { low, high } = values.reduce((widest, each) => (ratio(each) > ratio(widest) ? each : widest));
  return Math.sqrt(low * high);
}
