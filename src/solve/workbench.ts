import type { Branch, Fault, State } from '../circuit/circuit.js';
import { ChangedView, type Stroke } from './changed-view.js';
import {
  type Chattering,
  nextOutputs,
  type Operation,
  operate,
  type ShortCircuit,
  sameOutputs,
} from './operating-point.js';
import { type Overlay, overlayOf } from './overlay.js';
import {
  type Admittances,
  type Conduct,
  conductOf,
  conductsIn,
  nominalScale,
  type Plan,
  type StateConducts,
  type SupplyScale,
} from './plan.js';
import { drivenIslands, islandsOf, type OperatingPoint, sameIslands } from './point.js';
import { deadShort, netsWithLegs } from './supply-path.js';
import { type TiedVolts, tiedVolts } from './tied-volts.js';
import { type Complex, PointView, rmsVolts, type View } from './view.js';

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
  private readonly conducts: StateConducts;
  private nets: ((node: number) => boolean) | undefined;

  constructor(plan: Plan, state: State, scale: SupplyScale = nominalScale) {
    this.plan = plan;
    this.state = state;
    this.scale = scale;
    this.conducts = conductsIn(plan.circuit, state);
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

  /** The dead short that faults which make branches conduct would cause, with outputs as in the sound circuit. */
  shortUnder(faults: readonly Fault[]): readonly number[] | undefined {
    if (this.base === undefined) return undefined;
    const overlay = overlayOf(faults);
    if (!this.joinsLegs(this.base, overlay)) return undefined;
    const outputs = forced(this.base.point.outputs, overlay);
    const { present } = this.strokesFor(this.base, overlay, outputs);
    return deadShort(this.base.laidOver({ ...this.base.point, overlay, outputs, present }));
  }

  /** Whether the one branch made to conduct has a supply leg on either side, or there are several: no other can short anything. */
  private joinsLegs(base: PointView, overlay: Overlay): boolean {
    this.nets ??= netsWithLegs(base);
    const { branches, outputs } = this.plan.circuit;
    const made = [...overlay.branches].flatMap(([branch, ohms]) => (ohms === 'absent' ? [] : [branch]));
    const held = [...overlay.outputs].flatMap(([output, on]) => (on ? (outputs[output]?.branch ?? []) : []));
    const closed = [...made, ...held];
    if (closed.length > 1) return true;
    return closed.some((index) => {
      const { from, to } = branches[index]!;
      return this.nets?.(from) === true && this.nets(to);
    });
  }

  /** What is certain under these faults without solving. */
  tiedUnder(faults: readonly Fault[]): TiedVolts | undefined {
    return tiedVolts(this.plan, this.conducts, overlayOf(faults), this.scale)?.volts;
  }

  private afresh(faults: readonly Fault[]): Sight {
    return sightOf(operate(this.plan, this.state, faults, this.scale));
  }

  /**
   * The answer from the sound network's factor; undefined where only a new factor can give it. Outputs are followed
   * from the sound circuit's, or, for exchanged wires, from all off: those may make an output hold itself on.
   */
  private changed(overlay: Overlay): Sight | undefined {
    if (this.base === undefined || this.plan.widestOhms > mostStrokeOhms) return undefined;
    const sound = this.base.point.outputs;
    const exchanged = overlay.moved.size > 0;
    if (exchanged && exchangesLikeWithLike(this.base, overlay)) {
      return { kind: 'steady', view: this.base.laidOver({ ...this.base.point, overlay }) };
    }
    let outputs = forced(exchanged ? sound.map(() => false) : sound, overlay);
    for (let round = 0; round <= outputs.length; round += 1) {
      const view = this.seen(overlay, outputs);
      if (view === undefined) return undefined;
      const path = round > 0 || mayShort(overlay) ? deadShort(view) : undefined;
      if (path !== undefined) return exchanged ? { kind: 'short', path } : undefined;
      const next = nextOutputs(view.point, (a, b) => rmsVolts(view, a, b));
      if (sameOutputs(next, outputs)) return { kind: 'steady', view };
      outputs = next;
    }
    return undefined;
  }

  /** The network with a fault and these outputs, as strokes on the sound one. */
  private seen(overlay: Overlay, outputs: readonly boolean[]): View | undefined {
    const base = this.base;
    if (base === undefined) return undefined;
    const { strokes, present } = this.strokesFor(base, overlay, outputs);
    const point: OperatingPoint = { ...base.point, overlay, outputs, present };
    if (strokes.length === 0) return base.laidOver(point);
    const islands = new Int32Array(point.islands.length);
    const count = islandsOf(point, islands);
    if (sameIslands(islands, point.islands)) return ChangedView.of(base, point, strokes);
    return strokes.length === 1 ? this.bridged(base, point, islands, count) : undefined;
  }

  /** One branch taken away, and the network falls in two: a bridge carried no current, so every voltage stays. */
  private bridged(
    base: PointView,
    point: OperatingPoint,
    islands: Int32Array,
    count: number,
  ): View | undefined {
    if (count <= base.point.driven.length) return undefined;
    return base.laidOver({
      ...point,
      islands,
      driven: drivenIslands(point.plan.circuit, islands, count, point.present),
    });
  }

  private strokesFor(
    base: PointView,
    overlay: Overlay,
    outputs: readonly boolean[],
  ): { strokes: Stroke[]; present: Uint8Array } {
    const { branches, outputs: all } = this.plan.circuit;
    const touched = new Set([
      ...overlay.branches.keys(),
      ...overlay.moved.keys(),
      ...all.flatMap((output) => output.branch ?? []),
    ]);
    const present = base.point.present.slice();
    const strokes: Stroke[] = [];
    for (const index of touched) {
      const branch = branches[index]!;
      const before = conductOf(this.conducts, branch, base.point.overlay, base.point.outputs);
      const after = conductOf(this.conducts, branch, overlay, outputs);
      present[index] = after === null ? 0 : 1;
      const moved = overlay.moved.get(index);
      if (moved !== undefined) {
        if (before !== null) strokes.push(this.stroke(branch, branch, before, null));
        if (after !== null) strokes.push(this.stroke(branch, moved, null, after));
      } else if (before !== after) strokes.push(this.stroke(branch, branch, before, after));
    }
    return { strokes, present };
  }

  private stroke(
    branch: Branch,
    ends: { readonly from: number; readonly to: number },
    before: Conduct,
    after: Conduct,
  ): Stroke {
    const dy = this.plan.admittances.map((own) => {
      const [a, b] = [siemens(own, branch.index, after), siemens(own, branch.index, before)];
      return { re: a.re - b.re, im: a.im - b.im };
    });
    const emf = this.emfs(branch);
    return { from: ends.from, to: ends.to, dy, emf };
  }

  private emfs(branch: Branch): Complex[] {
    const phasors = this.base?.point.phasors ?? [];
    return phasors.map(({ emf }) => ({ re: emf.re[branch.index]!, im: emf.im[branch.index]! }));
  }
}

/** Beside a leak of more than this, strokes on the sound factor lose digits that matter: each fault is solved afresh. */
const mostStrokeOhms = 1e7;

/** Volts between two places below which exchanging the wires that come from them changes no display. */
const alikeVolts = 0.01;

/** Whether the moved wires all come from places at one potential: exchanged, they carry the same to the same. */
function exchangesLikeWithLike(base: PointView, overlay: Overlay): boolean {
  const { branches } = base.point.plan.circuit;
  const kept = [...overlay.moved].map(([branch, moved]) =>
    branches[branch]!.from === moved.from ? moved.from : moved.to,
  );
  const [first] = kept;
  return kept.every(
    (node) => first !== undefined && (rmsVolts(base, first, node) ?? alikeVolts) < alikeVolts,
  );
}

function siemens(own: Admittances, branch: number, conduct: Conduct): Complex {
  if (conduct === null) return { re: 0, im: 0 };
  return conduct === 'own' ? { re: own.re[branch]!, im: own.im[branch]! } : { re: 1 / conduct, im: 0 };
}

function forced(outputs: readonly boolean[], overlay: Overlay): boolean[] {
  return outputs.map((on, index) => overlay.outputs.get(index) ?? on);
}

/** Taking a branch away shorts nothing; making one conduct, holding a contact closed, or moving a wire, may. */
function mayShort({ moved, outputs, branches }: Overlay): boolean {
  return (
    moved.size > 0 ||
    [...outputs.values()].includes(true) ||
    [...branches.values()].some((ohms) => ohms !== 'absent')
  );
}

function sightOf(operation: Operation): Sight {
  return operation.kind === 'steady' ? { kind: 'steady', view: new PointView(operation.point) } : operation;
}
