import { type Fault, type State, stateKey, type VariableFault } from '../../circuit/circuit.js';
import type { TestStand } from '../../meter/meter.js';
import type { Interval, Intervals } from '../../solve/solve.js';
import { faultOf } from '../values/setting.js';
import { type Supposed, supposed } from './observation.js';

/** The values of a fault that are worth ruling out. */
export interface Scale {
  readonly matter: Interval;
  /** What a value blows is no matter of where exactly it begins to: a few of them tell. */
  readonly blowing: readonly Supposed[];
  /** By what was said of a load: the values with which it may be so. */
  readonly symptoms: Map<string, Intervals>;
}

/** What parts are supposed to have, one after the other, in an appliance that may have been in certain states. */
export interface Suppositions {
  readonly fault: (fault: Fault) => Supposed;
  /** Undefined where no value matters. */
  readonly scale: (variable: VariableFault) => Scale | undefined;
}

/** Sets of states that they are kept for on a stand; those met first go. */
const mostSets = 8;

const keptOn = new WeakMap<TestStand, Map<string, Suppositions>>();

/**
 * Suppositions on a stand, for an appliance that may have been in these states: the same for every job of which that is
 * so, and kept there. `matters`: whether a fault is worth ruling out, which must hang on nothing else; all are without it.
 */
export function suppositionsOn(
  stand: TestStand,
  states: readonly State[],
  matters?: (faults: readonly Fault[]) => boolean,
): Suppositions {
  const key = JSON.stringify([matters === undefined, states.map(stateKey)]);
  const kept = keptOn.get(stand) ?? new Map<string, Suppositions>();
  keptOn.set(stand, kept);
  const known = kept.get(key);
  if (known !== undefined) return known;
  const made = suppositionsOf(stand, states, matters ?? (() => true));
  const [oldest] = kept.keys();
  if (kept.size === mostSets && oldest !== undefined) kept.delete(oldest);
  kept.set(key, made);
  return made;
}

function suppositionsOf(
  stand: TestStand,
  states: readonly State[],
  matters: (faults: readonly Fault[]) => boolean,
): Suppositions {
  const faults = new Map<Fault, Supposed>();
  const scales = new Map<VariableFault, Scale | undefined>();
  return {
    fault: (fault) => {
      const known = faults.get(fault) ?? supposed(stand, states, fault);
      faults.set(fault, known);
      return known;
    },
    scale: (variable) => {
      if (scales.has(variable)) return scales.get(variable);
      const scale = scaleOf(stand, states, variable, matters);
      scales.set(variable, scale);
      return scale;
    },
  };
}

function scaleOf(
  stand: TestStand,
  states: readonly State[],
  variable: VariableFault,
  matters: (faults: readonly Fault[]) => boolean,
): Scale | undefined {
  const matter = mattering(matters, variable);
  if (matter === undefined) return undefined;
  const few = decadesOf(matter).map((value) => supposed(stand, states, faultOf(variable, value)));
  return { matter, blowing: few.filter(({ blown }) => blown().length > 0), symptoms: new Map() };
}

/** Values from as bad as can be to the first that no longer matters, as near as need be; none where none does. */
function mattering(
  matters: (faults: readonly Fault[]) => boolean,
  variable: VariableFault,
): Interval | undefined {
  const { least, most } = variable.range;
  const worstFirst = decadesOf({ low: least, high: most });
  if (variable.mode === 'high-resistance') worstFirst.reverse();
  const does = (value: number) => matters([faultOf(variable, value)]);
  const first = worstFirst.findIndex((value) => !does(value));
  const [worst] = worstFirst as [number];
  if (first === 0) return undefined;
  if (first === -1) return { low: least, high: most };
  let [bad, good] = [worstFirst[first - 1] as number, worstFirst[first] as number];
  for (let step = 0; step < halvings; step += 1) {
    const middle = Math.sqrt(bad * good);
    if (does(middle)) bad = middle;
    else good = middle;
  }
  return { low: Math.min(worst, bad), high: Math.max(worst, bad) };
}

/** A decade halved six times leaves 4 %. */
const halvings = 6;

/** A decade apart at the most, both ends among them. */
function decadesOf({ low, high }: Interval): number[] {
  const steps = Math.max(1, Math.ceil(Math.log10(high / low)));
  return Array.from({ length: steps + 1 }, (_, step) => low * (high / low) ** (step / steps));
}
