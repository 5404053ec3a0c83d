import type { Circuit, Module, Rule } from '../../circuit/circuit.js';
import type { Pair } from './pair-list.js';
import type { SeenNetwork } from './seen.js';

/** Actuators that are on, as bits by index. */
export type OnBits = number;

/** As many actuators as fit into bits. */
export const mostActuators = 30;

/** Volts this near a threshold, as a share of it, are not told apart from it. */
const edge = 1e-6;

/** What faults do to actuators: which they hold, how, and which burnt coils and windings move nothing. */
export interface Held {
  readonly held: OnBits;
  readonly heldOn: OnBits;
  changes(branch: number): boolean;
}

interface Sense {
  readonly pair: number;
  readonly atLeast: number;
}

/** An output, and whether it is on with some inputs active, as bits by place. */
interface Output {
  readonly bit: OnBits;
  readonly holds: (active: number) => boolean;
}

interface ModuleSenses {
  readonly name: string;
  readonly supply: Sense;
  readonly inputs: readonly Sense[];
  readonly outputs: readonly Output[];
}

interface CoilSenses {
  readonly bit: OnBits;
  readonly branch: number;
  /** On at this much while off, and while on. */
  readonly picksUp: Sense;
  readonly holds: Sense;
  readonly start: { readonly branch: number; readonly sense: Sense } | undefined;
}

/** What all actuators of a circuit look at, in pairs of a reading space: `nextOn` without a point or a view. */
export class Senses {
  private readonly modules: readonly ModuleSenses[];
  private readonly coils: readonly CoilSenses[];

  /** `pairOf` gives the place of a pair among those of the space. */
  constructor(circuit: Circuit, pairOf: (pair: Pair) => number) {
    const sense = (pair: Pair, atLeast: number): Sense => ({ pair: pairOf(pair), atLeast });
    const across = (branch: number, atLeast: number): Sense => {
      const { from, to } = circuit.branches[branch]!;
      return sense([from, to], atLeast);
    };
    this.modules = [...circuit.modules.values()].map((module) => ({
      name: module.name,
      supply: sense(module.supply.between, module.supply.atLeast),
      inputs: module.inputs.map(({ between, atLeast }) => sense(between, atLeast)),
      outputs: outputsOf(circuit, module),
    }));
    this.coils = circuit.actuators.flatMap((actuator) => {
      if (actuator.kind === 'output') return [];
      const { index, branch } = actuator;
      const [up, down, start] =
        actuator.kind === 'relay'
          ? [actuator.picksUpAt, actuator.dropsOutBelow, undefined]
          : [actuator.atLeast, actuator.atLeast, actuator.start];
      return {
        bit: 1 << index,
        branch,
        picksUp: across(branch, up),
        holds: across(branch, down),
        start: start && { branch: start.branch, sense: across(start.branch, start.atLeast) },
      };
    });
  }

  /** Which actuators are on next; undefined where some voltage is not known well enough to say. */
  next(altered: SeenNetwork, on: OnBits, removed: ReadonlySet<string>, held: Held): OnBits | undefined {
    let next = 0;
    for (const module of this.modules) {
      if (removed.has(module.name)) continue;
      const bits = outputsOn(altered, module);
      if (bits === undefined) return undefined;
      next |= bits;
    }
    for (const coil of this.coils) {
      if (held.changes(coil.branch)) continue;
      const moves = isMoved(altered, coil, (on & coil.bit) !== 0);
      if (moves === undefined) return undefined;
      if (moves) next |= coil.bit;
    }
    return (next & ~held.held) | held.heldOn;
  }
}

/** With no more inputs than this a rule is worked out once for all there may be. */
const mostTabled = 8;
const known = new WeakMap<Module, readonly Output[]>();

function outputsOf({ actuators }: Circuit, module: Module): readonly Output[] {
  const kept = known.get(module);
  if (kept !== undefined) return kept;
  const names = module.inputs.map(({ name }) => name);
  const outputs = module.outputs.flatMap((index): readonly Output[] => {
    const actuator = actuators[index];
    if (actuator?.kind !== 'output') return [];
    const holds = compiled(actuator.when, names);
    return [{ bit: 1 << index, holds: names.length > mostTabled ? holds : tabled(holds, names.length) }];
  });
  known.set(module, outputs);
  return outputs;
}

function tabled(holds: (active: number) => boolean, inputs: number): (active: number) => boolean {
  const table = Uint8Array.from({ length: 1 << inputs }, (_, active) => (holds(active) ? 1 : 0));
  return (active) => table[active] === 1;
}

function outputsOn(altered: SeenNetwork, { supply, inputs, outputs }: ModuleSenses): OnBits | undefined {
  const supplied = seen(altered, supply);
  if (supplied !== true) return supplied === undefined ? undefined : 0;
  let active = 0;
  for (let at = 0; at < inputs.length; at += 1) {
    const there = seen(altered, inputs[at]!);
    if (there === undefined) return undefined;
    if (there) active |= 1 << at;
  }
  let on = 0;
  for (const { bit, holds } of outputs) if (holds(active)) on |= bit;
  return on;
}

/** What a coil's or a motor's own voltage makes of it. */
function isMoved(altered: SeenNetwork, coil: CoilSenses, isOn: boolean): boolean | undefined {
  const { branch, picksUp, holds, start } = coil;
  if (!isOn && start !== undefined) {
    const started = altered.conducts(start.branch) ? seen(altered, start.sense) : false;
    if (started !== true) return started;
  }
  return altered.conducts(branch) ? seen(altered, isOn ? holds : picksUp) : false;
}

/** Whether a pair has its volts: not where nothing joins its ends. */
function seen(altered: SeenNetwork, { pair, atLeast }: Sense): boolean | undefined {
  const known = altered.look(pair);
  if (known === 'floating') return false;
  if (known === 'unknown') return undefined;
  const volts = Math.sqrt(altered.re * altered.re + altered.im * altered.im);
  if (Math.abs(volts - atLeast) <= edge * atLeast) return undefined;
  return volts >= atLeast;
}

function compiled(rule: Rule, inputs: readonly string[]): (active: number) => boolean {
  switch (rule.kind) {
    case 'input': {
      const at = inputs.indexOf(rule.input);
      const bit = at === -1 ? 0 : 1 << at;
      return (active) => (active & bit) !== 0;
    }
    case 'not': {
      const of = compiled(rule.of, inputs);
      return (active) => !of(active);
    }
    case 'all': {
      const each = rule.of.map((one) => compiled(one, inputs));
      return (active) => each.every((holds) => holds(active));
    }
    case 'any': {
      const each = rule.of.map((one) => compiled(one, inputs));
      return (active) => each.some((holds) => holds(active));
    }
  }
}
