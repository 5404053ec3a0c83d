import type { Actuator, Circuit, Load, Module, Ratio, Rule, State, Volts } from '../circuit/circuit.js';
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

/**
 * Whether tolerances could decide, in any network with these volts there, on what a module looks at: holds all that
 * `mayOutputBe` says. What no fault has moved is as it should be, wherever parts are; `sound` is what was there before.
 */
export function mayBeAtLimit(
  circuit: Circuit,
  { atLeast }: Sensed,
  volts: Volts,
  sound: Volts,
  spread: Ratio,
): boolean {
  const by = (1 + widest(circuit)) * (1 + spread);
  const isMoved = Math.abs(volts - sound) >= leastShare * Math.max(volts, sound);
  return isMoved && volts * by >= atLeast && volts < atLeast * by;
}

/** Volts there with no fault; 0 where the sound circuit does not stand still. */
export function soundVoltsAt(stand: TestStand, state: State, { between }: Sensed): Volts {
  const sight = stand.look(state, []);
  return sight.kind === 'steady' ? (rmsVolts(sight.view, ...between) ?? 0) : 0;
}

/** Whether a module takes something for there: tolerances may decide. */
export type There = 'yes' | 'no' | 'either';

/** Whether an output may be on, or off, with what its module takes for there. */
export function canOutputBe(
  circuit: Circuit,
  load: Load,
  on: boolean,
  isThere: (sensed: Sensed) => There,
): boolean {
  const module = moduleOf(circuit, load);
  const actuator = load.does.kind === 'actuator' ? circuit.actuators[load.does.actuator] : undefined;
  if (module === undefined || actuator?.kind !== 'output') return false;
  return canBeOn(module, actuator.when, on, isThere);
}

/**
 * Whether an output may be on, or off, other than in a network with faults as it stands with nominal parts: a fault has
 * moved what its module looks at to where tolerances decide whether that is enough.
 */
export function mayOutputBe(stand: TestStand, view: View, state: State, load: Load, on: boolean): boolean {
  const { circuit } = stand;
  const { idleLoads, held } = view.point.overlay;
  const { does } = load;
  if (idleLoads.has(load.name) || (does.kind === 'actuator' && held.has(does.actuator))) return false;
  if (state.removed.has(moduleOf(circuit, load)?.name ?? '')) return false;
  return canOutputBe(circuit, load, on, (sensed) => thereIn(stand, view, state, sensed));
}

/** Whether an actuator of the sound circuit may be on as well as off: parts and supply, each within its tolerance, decide. */
export function mayStandEitherWay(stand: TestStand, view: View, actuator: Actuator): boolean {
  const isThere = ({ between, atLeast }: Sensed): There => {
    const volts = rmsVolts(view, ...between) ?? 0;
    const nominal = volts >= atLeast ? 'yes' : 'no';
    const spread = stand.spreadIn(view);
    const reaches = (by: number) => volts * by >= atLeast && volts < atLeast * by;
    if (!reaches((1 + widest(stand.circuit)) * (1 + spread))) return nominal;
    return reaches((1 + spreadBetween(view, between, volts)) * (1 + spread)) ? 'either' : nominal;
  };
  const isOn = view.on[actuator.index] === true;
  if (actuator.kind === 'output') {
    const module = [...stand.circuit.modules.values()].find(({ outputs }) =>
      outputs.includes(actuator.index),
    );
    return module !== undefined && canBeOn(module, actuator.when, !isOn, isThere);
  }
  const between = view.ends(actuator.branch);
  if (actuator.kind === 'relay')
    return isThere({ between, atLeast: isOn ? actuator.dropsOutBelow : actuator.picksUpAt }) === 'either';
  const { atLeast, start } = actuator;
  const starts = start && isThere({ between: view.ends(start.branch), atLeast: start.atLeast });
  return [isThere({ between, atLeast }), starts].includes('either');
}

function canBeOn(module: Module, when: Rule, on: boolean, isThere: (sensed: Sensed) => There): boolean {
  const supplied = isThere(module.supply);
  if (!on && supplied !== 'yes') return true;
  if (supplied === 'no') return false;
  const inputs = new Map(module.inputs.map((input) => [input.name, isThere(input)]));
  return canBe(when, on, (input) => inputs.get(input) ?? 'no');
}

function moduleOf({ actuators, modules }: Circuit, { does }: Load): Module | undefined {
  const actuator = does.kind === 'actuator' ? actuators[does.actuator] : undefined;
  if (actuator?.kind !== 'output') return undefined;
  return [...modules.values()].find(({ outputs }) => outputs.includes(actuator.index));
}

function thereIn(stand: TestStand, view: View, state: State, { between, atLeast }: Sensed): There {
  const volts = rmsVolts(view, ...between) ?? 0;
  const nominal = volts >= atLeast ? 'yes' : 'no';
  const spread = stand.spreadIn(view);
  const sound = soundVoltsAt(stand, state, { between, atLeast });
  if (!mayBeAtLimit(stand.circuit, { between, atLeast }, volts, sound, spread)) return nominal;
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
