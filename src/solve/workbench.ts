import type { Fault, State } from '../circuit/circuit.js';
import { findBridges } from './bridges.js';
import {
  type Chattering,
  nextOutputs,
  nominalScale,
  type Operation,
  operate,
  type ShortCircuit,
  type SupplyScale,
  sameOutputs,
} from './operating-point.js';
import { type Overlay, overlayOf } from './overlay.js';
import { conducting, type Plan } from './plan.js';
import type { OperatingPoint } from './point.js';
import { deadShort } from './supply-path.js';
import { ChangedView, type Complex, PointView, rmsVolts, type View } from './view.js';

/** What is seen of a circuit in a state: a view of the network, contacts that never settle, or a short circuit. */
export type Sight = { readonly kind: 'steady'; readonly view: View } | Chattering | ShortCircuit;

/**
 * One state of a circuit, solved once, on which any fault can be tried. Most faults change one branch and are
 * answered from the sound network's factor; the others are solved afresh.
 */
export class Workbench {
  readonly plan: Plan;
  readonly state: State;
  private readonly scale: SupplyScale;
  private readonly sound: Sight;
  private readonly base: PointView | undefined;
  private bridges: Uint8Array | undefined;
  private before: readonly (number | 'own' | null)[] | undefined;

  constructor(plan: Plan, state: State, scale: SupplyScale = nominalScale) {
    this.plan = plan;
    this.state = state;
    this.scale = scale;
    this.sound = sightOf(operate(plan, state, [], scale));
    this.base =
      this.sound.kind === 'steady' && this.sound.view instanceof PointView ? this.sound.view : undefined;
  }

  /** The circuit as drawn. */
  healthy(): Sight {
    return this.sound;
  }

  /** The circuit with these faults. */
  under(faults: readonly Fault[]): Sight {
    if (faults.length === 0) return this.healthy();
    return this.changed(overlayOf(faults)) ?? this.afresh(faults);
  }

  private afresh(faults: readonly Fault[]): Sight {
    return sightOf(operate(this.plan, this.state, faults, this.scale));
  }

  /** The answer from the sound network's factor; undefined when the faults need more than one branch changed. */
  private changed(overlay: Overlay): Sight | undefined {
    if (this.base === undefined) return undefined;
    const { point } = this.base;
    if (overlay.moved.size > 0) {
      const same = exchangesLikeWithLike(this.base, overlay);
      return same ? { kind: 'steady', view: this.base.laidOver({ ...point, overlay }) } : undefined;
    }
    const outputs = point.outputs.map((on, index) => overlay.outputs.get(index) ?? on);
    this.before ??= conducting(this.plan, this.state, point.overlay, point.outputs);
    const before = this.before;
    const after = conducting(this.plan, this.state, overlay, outputs);
    const differing = after.flatMap((each, index) => (each === before[index] ? [] : [index]));
    if (differing.length > 1) return undefined;
    const [branch] = differing;
    const overlaid: OperatingPoint = { ...point, overlay, outputs };
    const view =
      branch === undefined ? this.base.laidOver(overlaid) : this.oneBranch(overlaid, branch, after[branch]!);
    if (view === undefined) return undefined;
    const next = nextOutputs(overlaid, (a, b) => rmsVolts(view, a, b));
    if (!sameOutputs(next, outputs)) return undefined;
    // Taking a branch away shorts nothing; making one conduct may.
    return overlay.branches.size === 0 || after[branch ?? 0] === null ? { kind: 'steady', view } : unlessShort(view);
  }

  private oneBranch(
    overlaid: OperatingPoint,
    branch: number,
    conduct: number | 'own' | null,
  ): View | undefined {
    const base = this.base;
    if (base === undefined) return undefined;
    this.bridges ??= findBridges(overlaid.structure, overlaid.present);
    const siemens = conduct === null ? null : this.siemens(branch, conduct);
    return ChangedView.of(base, overlaid, branch, siemens, this.bridges[branch] === 1);
  }

  private siemens(branch: number, conduct: number | 'own'): Complex[] {
    return this.plan.admittances.map(({ re, im }) =>
      conduct === 'own' ? { re: re[branch]!, im: im[branch]! } : { re: 1 / conduct, im: 0 },
    );
  }
}

/** Volts between two places below which exchanging the wires that come from them changes no display. */
const alikeVolts = 0.01;

/** Whether the moved wires all come from places at one potential: exchanged, they carry the same to the same. */
function exchangesLikeWithLike(base: PointView, overlay: Overlay): boolean {
  const { branches } = base.point.plan.circuit;
  const kept = [...overlay.moved].map(([branch, moved]) => (branches[branch]!.from === moved.from ? moved.from : moved.to));
  const [first] = kept;
  return kept.every((node) => first !== undefined && (rmsVolts(base, first, node) ?? alikeVolts) < alikeVolts);
}

function sightOf(operation: Operation): Sight {
  return operation.kind === 'steady' ? { kind: 'steady', view: new PointView(operation.point) } : operation;
}

function unlessShort(view: View): Sight {
  const path = deadShort(view);
  return path === undefined ? { kind: 'steady', view } : { kind: 'short', path };
}
