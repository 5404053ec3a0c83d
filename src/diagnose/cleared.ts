import type { Fault, Part, State, VariableFault } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
import {
  contradicts,
  type Observation,
  type Supposed,
  sideOf,
  supposed,
  type Witness,
} from './observation.js';

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
  /** Whether a fault of a value is worth ruling out; one that is too small to notice may not be. */
  readonly matters: (faults: readonly Fault[]) => boolean;
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
    const [witness] = witnessesOf(ground, used, supposed(ground.stand, ground.states, fault));
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

/** Every two neighbouring values must contradict one observation on the same side: then so do all between them. */
function ruleOutValues(
  ground: Ground,
  used: ReadonlyMap<Observation, unknown>,
  variable: VariableFault,
): { readonly fault: Fault; readonly witnesses?: ReadonlySet<Observation> } {
  const { changes, unit, sound, range, ...named } = variable;
  const fault = { ...named, changes: [] };
  const at = (value: number) => supposed(ground.stand, ground.states, { ...named, changes: changes(value) });
  const witnesses = new Set<Observation>();
  const values = mattering(ground, variable).map(at);
  for (const [index, near] of values.slice(1).entries()) {
    const far = values[index];
    const tried = new Map([...witnesses, ...used.keys()].map((each) => [each, true]));
    const witness = far && firstOfBoth(ground, tried, far, near);
    if (witness === undefined) return { fault };
    witnesses.add(witness);
  }
  return { fault, witnesses };
}

/** Values from as bad as can be down to the sound one, or to the first that no longer matters, as near as need be. */
function mattering({ matters }: Ground, variable: VariableFault): number[] {
  const { changes, unit, sound, range, ...named } = variable;
  const does = (value: number) => matters([{ ...named, changes: changes(value) }]);
  const values: number[] = [];
  for (const value of valuesFrom(variable).reverse()) {
    if (does(value)) {
      values.push(value);
      continue;
    }
    let [bad, good] = [values.at(-1), value];
    if (bad === undefined) break;
    for (let step = 0; step < halvings; step += 1) {
      const middle = Math.sqrt(bad * good);
      if (does(middle)) bad = middle;
      else good = middle;
    }
    return [...values, bad];
  }
  return values;
}

/** A decade halved six times leaves 4 %. */
const halvings = 6;

function firstOfBoth(
  ground: Ground,
  used: ReadonlyMap<Observation, unknown>,
  far: Supposed,
  near: Supposed,
): Observation | undefined {
  const { stand } = ground;
  for (const each of witnessesOf(ground, used, far))
    if (contradicts(stand, each, near) && sideOf(stand, each, far) === sideOf(stand, each, near)) return each;
  return undefined;
}

/** Values from the sound one to as bad as can be; where nothing is sound, all that are likely. */
function valuesFrom({ mode, unit, sound }: VariableFault): number[] {
  const steps = (from: number, to: number, ratio: number): number[] => {
    const count = Math.max(1, Math.ceil(Math.log(to / from) / Math.log(ratio)));
    return Array.from({ length: count + 1 }, (_, index) => from * ratio ** index);
  };
  if (!Number.isFinite(sound))
    return mode !== 'high-resistance'
      ? steps(mostOhms, leastOhms, 1 / decade)
      : steps(leastOhms, mostOhms, decade);
  if (unit === 'V') return steps(sound, sound / 20, 0.8);
  if (mode === 'low-resistance') return steps(sound, Math.min(sound, 2 * leastOhms) / 2, 1 / decade);
  return steps(Math.max(sound, leastOhms / decade), Math.max(decade * sound, mostOhms), decade);
}

/** As good as a short, and as good as an open (common practice, no source). */
const leastOhms = 0.1;
const mostOhms = 1e7;
const decade = 10;
