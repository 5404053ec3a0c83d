import type { Circuit, Rule } from '../circuit/circuit.js';
import type { AlteredSpace } from './altered-space.js';
import type { Pair } from './reading-space.js';

/** Actuators that are on, as bits by index. */
export type OnBits = number;

/** As many actuators as fit into bits. */
export const mostActuators = 30;

/** Volts this near a threshold, as a share of it, are not told apart from it. */
const edge = 1e-6;

/** What a fault does to actuators: which it holds, how, and which burnt coils and windings move nothing. */
export interface Held {
  readonly held: OnBits;
  readonly heldOn: OnBits;
  readonly changed: ReadonlySet<number>;
}

interface Sense {
  readonly pair: number;
  readonly atLeast: number;
}

interface ModuleSenses {
  readonly name: string;
  readonly supply: Sense;
  readonly inputs: readonly Sense[];
  readonly outputs: readonly { readonly bit: OnBits; readonly holds: (active: number) => boolean }[];
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
      outputs: module.outputs.flatMap((index) => {
        const actuator = circuit.actuators[index];
        if (actuator?.kind !== 'output') return [];
        const names = module.inputs.map(({ name }) => name);
        return { bit: 1 << index, holds: compiled(actuator.when, names) };
      }),
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
  next(
    altered: AlteredSpace,
    on: OnBits,
    removed: ReadonlySet<string>,
    { held, heldOn, changed }: Held,
  ): OnBits | undefined {
    let next = 0;
    for (const { name, supply, inputs, outputs } of this.modules) {
      if (removed.has(name)) continue;
      const supplied = seen(altered, supply);
      if (supplied === undefined) return undefined;
      if (!supplied) continue;
      let active = 0;
      for (let at = 0; at < inputs.length; at += 1) {
        const there = seen(altered, inputs[at]!);
        if (there === undefined) return undefined;
        if (there) active |= 1 << at;
      }
      for (const { bit, holds } of outputs) if (holds(active)) next |= bit;
    }
    for (const { bit, branch, picksUp, holds, start } of this.coils) {
      if (changed.has(branch)) continue;
      const isOn = (on & bit) !== 0;
      if (!isOn && start !== undefined) {
        const started = altered.conducts(start.branch) ? seen(altered, start.sense) : false;
        if (started === undefined) return undefined;
        if (!started) continue;
      }
      const there = altered.conducts(branch) ? seen(altered, isOn ? holds : picksUp) : false;
      if (there === undefined) return undefined;
      if (there) next |= bit;
    }
    return (next & ~held) | heldOn;
  }
}

/** Whether a pair has its volts: not where nothing joins its ends. */
function seen(altered: AlteredSpace, { pair, atLeast }: Sense): boolean | undefined {
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
