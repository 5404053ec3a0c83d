import type { Actuator, Circuit, Rule } from '../circuit/circuit.js';
import type { Overlay } from './overlay.js';
import type { Plan } from './plan.js';
import type { OperatingPoint } from './point.js';

/** In place: actuators that a fault holds. */
export function withHeld(on: boolean[], overlay: Overlay): boolean[] {
  for (const [index, held] of overlay.held) on[index] = held;
  return on;
}

type VoltsBetween = (a: number, b: number) => number | undefined;

/** Which actuators are on, seeing these volts: a module supplied and its rule met, a coil with its voltage, a motor that turns. */
export function nextOn(
  point: Pick<OperatingPoint, 'plan' | 'overlay' | 'state' | 'conducts' | 'on'>,
  volts: VoltsBetween,
): boolean[] {
  const { branches, actuators, modules } = point.plan.circuit;
  const across = (branch: number): number => {
    const { from, to } = branches[branch]!;
    return point.conducts[branch] === null ? 0 : (volts(from, to) ?? 0);
  };
  const next = actuators.map((actuator) => isOn(actuator, point, across));
  for (const module of modules.values()) {
    if (point.state.removed.has(module.name)) continue;
    const supplied = (volts(...module.supply.between) ?? 0) >= module.supply.atLeast;
    if (!supplied) continue;
    const active = new Set<string>();
    for (const input of module.inputs) {
      if ((volts(...input.between) ?? 0) >= input.atLeast) active.add(input.name);
    }
    for (const index of module.outputs) {
      const actuator = actuators[index];
      if (actuator?.kind === 'output') next[index] = holds(actuator.when, active);
    }
  }
  return withHeld(next, point.overlay);
}

/** What a coil's or a motor's own voltage makes of it; outputs are their modules' to say. */
function isOn(
  actuator: Actuator,
  { on, overlay }: Pick<OperatingPoint, 'on' | 'overlay'>,
  across: (branch: number) => number,
): boolean {
  if (actuator.kind === 'output') return false;
  const { index, branch } = actuator;
  // A coil or winding burnt together pulls and turns nothing, whatever it draws.
  if (overlay.branches.has(branch)) return false;
  if (actuator.kind === 'relay')
    return across(branch) >= (on[index] ? actuator.dropsOutBelow : actuator.picksUpAt);
  const { atLeast, start } = actuator;
  const started = on[index] || start === undefined || across(start.branch) >= start.atLeast;
  return started && across(branch) >= atLeast;
}

function holds(rule: Rule, active: ReadonlySet<string>): boolean {
  switch (rule.kind) {
    case 'input':
      return active.has(rule.input);
    case 'not':
      return !holds(rule.of, active);
    case 'all':
      return rule.of.every((each) => holds(each, active));
    case 'any':
      return rule.of.some((each) => holds(each, active));
  }
}

export function sameOn(a: readonly boolean[], b: readonly boolean[]): boolean {
  return a.every((on, index) => on === b[index]);
}

/** What differs hangs no contact and no impedance (a lamp on the board): nothing changes in the network. */
export function movesNothing({ moves }: Plan, a: readonly boolean[], b: readonly boolean[]): boolean {
  return moves.every((moving, index) => !moving || a[index] === b[index]);
}

export function namesOn(circuit: Circuit, on: readonly boolean[]): string[] {
  return circuit.actuators.filter(({ index }) => on[index]).map(({ name }) => name);
}
