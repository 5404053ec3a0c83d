import type { Circuit, Load, Module, Ratio, Rule, State, Volts } from '../circuit/circuit.js';
import { rmsVolts, type View } from '../solve/solve.js';
import { leastShare, spreadBetween, widest } from './symptom-volts.js';
import type { TestStand } from './test-stand.js';

/** Two places that a module looks at, and the volts it takes for there. */
export interface Sensed {
  readonly between: readonly [number, number];
  readonly atLeast: Volts;
}

/** What an output hangs on: its module's supply and inputs; none where a load is no output. */
export function sensesOf(circuit: Circuit, load: Load): readonly Sensed[] {
  const module = moduleOf(circuit, load);
  return module === undefined ? [] : [module.supply, ...module.inputs];
}

/** As far as tolerances could move what a module looks at, in any network: holds all that `mayOutputBe` says. */
export function mayBeAtLimit(circuit: Circuit, { atLeast }: Sensed, volts: Volts, spread: Ratio): boolean {
  const by = (1 + widest(circuit)) * (1 + spread);
  return volts * by >= atLeast && volts < atLeast * by;
}

/**
 * Whether an output may be on, or off, other than in a network with faults as it stands with nominal parts: a fault has
 * moved what its module looks at to where tolerances decide whether that is enough.
 */
export function mayOutputBe(stand: TestStand, view: View, state: State, load: Load, on: boolean): boolean {
  const { circuit } = stand;
  const module = moduleOf(circuit, load);
  const actuator = load.does.kind === 'actuator' ? circuit.actuators[load.does.actuator] : undefined;
  if (module === undefined || actuator?.kind !== 'output' || state.removed.has(module.name)) return false;
  if (view.point.overlay.idleLoads.has(load.name) || view.point.overlay.held.has(actuator.index))
    return false;
  const isThere = (sensed: Sensed) => thereIn(stand, view, state, sensed);
  const supplied = isThere(module.supply);
  if (!on && supplied !== 'yes') return supplied === 'either';
  if (supplied === 'no') return false;
  const inputs = new Map(module.inputs.map((input) => [input.name, isThere(input)]));
  return canBe(actuator.when, on, (input) => inputs.get(input) ?? 'no');
}

function moduleOf({ actuators, modules }: Circuit, { does }: Load): Module | undefined {
  const actuator = does.kind === 'actuator' ? actuators[does.actuator] : undefined;
  if (actuator?.kind !== 'output') return undefined;
  return [...modules.values()].find(({ outputs }) => outputs.includes(actuator.index));
}

type There = 'yes' | 'no' | 'either';

function thereIn(stand: TestStand, view: View, state: State, { between, atLeast }: Sensed): There {
  const volts = rmsVolts(view, ...between) ?? 0;
  const nominal = volts >= atLeast ? 'yes' : 'no';
  const spread = stand.spreadIn(view);
  if (!mayBeAtLimit(stand.circuit, { between, atLeast }, volts, spread)) return nominal;
  const sound = stand.look(state, []);
  const before = sound.kind === 'steady' ? (rmsVolts(sound.view, ...between) ?? 0) : 0;
  // What no fault has moved is as it should be, wherever parts are.
  if (Math.abs(volts - before) < leastShare * Math.max(volts, before)) return nominal;
  const by = (1 + Math.min(widest(stand.circuit), spreadBetween(view, between, volts))) * (1 + spread);
  return volts * by >= atLeast && volts < atLeast * by ? 'either' : nominal;
}

/** Whether a rule may hold, or not, with some inputs that may be there or not; each is taken by itself wherever it stands. */
function canBe(rule: Rule, holds: boolean, inputs: (name: string) => There): boolean {
  switch (rule.kind) {
    case 'input': {
      const there = inputs(rule.input);
      return there === 'either' || (there === 'yes') === holds;
    }
    case 'not':
      return canBe(rule.of, !holds, inputs);
    case 'all':
      return holds
        ? rule.of.every((each) => canBe(each, true, inputs))
        : rule.of.some((each) => canBe(each, false, inputs));
    case 'any':
      return holds
        ? rule.of.some((each) => canBe(each, true, inputs))
        : rule.of.every((each) => canBe(each, false, inputs));
  }
}
