import { stateKey, type VariableFault } from '../../circuit/circuit.js';
import type { TestStand } from '../../meter/meter.js';
import { type Regime, regimesOf } from './regimes.js';
import type { Setting } from './setting.js';

/** Regimes that are kept for a stand, some 30 kB each. */
const mostKept = 1000;

interface Kept {
  readonly of: Map<VariableFault, Map<string, readonly Regime[]>>;
  count: number;
}

const keptOn = new WeakMap<TestStand, Kept>();

/** The regimes of a fault by itself: they are the same for every job that is looked at on a stand, and kept there. */
export function regimesAlone(setting: Omit<Setting, 'others'>): readonly Regime[] {
  const { stand, state, dead, variable } = setting;
  const kept = keptOn.get(stand) ?? { of: new Map(), count: 0 };
  keptOn.set(stand, kept);
  const key = `${dead} ${stateKey(state)}`;
  const known = kept.of.get(variable)?.get(key);
  if (known !== undefined) return known;
  if (kept.count === mostKept) {
    kept.of.clear();
    kept.count = 0;
  }
  const made = regimesOf({ ...setting, others: [] });
  const ofVariable = kept.of.get(variable) ?? new Map<string, readonly Regime[]>();
  kept.of.set(variable, ofVariable.set(key, made));
  kept.count += 1;
  return made;
}
