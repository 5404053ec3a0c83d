import { type Complex, difference } from './complex.js';
import type { Structure } from './kernel/structure.js';
import type { OperatingPoint } from './point.js';

/**
 * What can be asked of a solved network, broken or sound: open-circuit volts between two nodes, and the transfer
 * impedance from one pair to another (volts across c-d for one amp driven in at a and out at b). Nodes of
 * different islands have no voltage between them.
 */
export interface View {
  readonly point: OperatingPoint;
  /** Actuators that are on. */
  readonly on: readonly boolean[];
  /** Ends of a branch, where a fault may have moved it. */
  ends(branch: number): readonly [from: number, to: number];
  /** Siemens of a branch as this network has it; of a winding, without its transformer's flux. */
  admittance(frequency: number, branch: number): Complex;
  island(node: number): number;
  isDriven(island: number): boolean;
  /** Whether a path joins two nodes at this frequency: not at dc where only a capacitor does. */
  joined(frequency: number, a: number, b: number): boolean;
  volts(frequency: number, a: number, b: number): Complex;
  /** Volts of a branch's own EMF: a supply leg's, or what a transformer induces in a winding. */
  emf(frequency: number, branch: number): Complex;
  transfer(frequency: number, a: number, b: number, c: number, d: number): Complex;
  /** Impedance between two nodes of one island. It is not kept, as `column` is: for places that are asked about once. */
  ohms(frequency: number, a: number, b: number): Complex;
  /** Volts of every node for one amp driven in at a and out at b. */
  column(frequency: number, a: number, b: number): Column;
  /** Volts of every node from all supplies. */
  nodeVolts(frequency: number): Column;
}

export interface Column {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** A network that was factored; columns of its inverse are solved for on demand and kept. */
export class PointView implements View {
  readonly point: OperatingPoint;
  private readonly columns: Map<number, Column>;

  constructor(point: OperatingPoint, columns: Map<number, Column> = new Map()) {
    this.point = point;
    this.columns = columns;
  }

  /** The same network seen with a fault that changes no branch in this state (an idle load, an output already off). */
  laidOver(point: OperatingPoint): PointView {
    return new PointView(point, this.columns);
  }

  get on(): readonly boolean[] {
    return this.point.on;
  }

  ends(branch: number): readonly [from: number, to: number] {
    const { from, to } = this.point.structure;
    return [from[branch]!, to[branch]!];
  }

  admittance(frequency: number, branch: number): Complex {
    const { re, im } = this.point.phasors[frequency]!.y;
    return { re: re[branch]!, im: im[branch]! };
  }

  island(node: number): number {
    return node < 0 ? 0 : this.point.islands[node]!;
  }

  isDriven(island: number): boolean {
    return this.point.driven[island] === true;
  }

  joined(frequency: number, a: number, b: number): boolean {
    return joinedIn(this.point, frequency, a, b);
  }

  volts(frequency: number, a: number, b: number): Complex {
    return difference(this.point.phasors[frequency]!, a, b);
  }

  emf(frequency: number, branch: number): Complex {
    const { re, im } = this.point.phasors[frequency]!.emf;
    return { re: re[branch]!, im: im[branch]! };
  }

  transfer(frequency: number, a: number, b: number, c: number, d: number): Complex {
    return difference(this.column(frequency, a, b), c, d);
  }

  nodeVolts(frequency: number): Column {
    return this.point.phasors[frequency]!;
  }

  /** Y^-1 (e_a - e_b). */
  column(frequency: number, a: number, b: number): Column {
    const count = this.point.structure.nodeCount + 1;
    const key = (frequency * count + a + 1) * count + b + 1;
    const kept = this.columns.get(key);
    if (kept !== undefined) return kept;
    const column = newColumn(count - 1);
    this.solve(frequency, a, b, column);
    this.columns.set(key, column);
    return column;
  }

  ohms(frequency: number, a: number, b: number): Complex {
    const { structure } = this.point;
    const room = rooms.get(structure) ?? newColumn(structure.nodeCount);
    rooms.set(structure, room);
    room.re.fill(0);
    room.im.fill(0);
    this.solve(frequency, a, b, room);
    return difference(room, a, b);
  }

  private solve(frequency: number, a: number, b: number, { re, im }: Column): void {
    if (a >= 0) re[a]! += 1;
    if (b >= 0) re[b]! -= 1;
    const { factor, coupling } = this.point.phasors[frequency]!;
    factor.solve(re, im);
    coupling?.apply(factor.structure.from, factor.structure.to, re, im);
  }
}

/** Work space, used within one call only. */
const rooms = new WeakMap<Structure, Column>();

function newColumn(nodeCount: number): Column {
  return { re: new Float64Array(nodeCount), im: new Float64Array(nodeCount) };
}

/** The common reference stands in island 0. */
export function joinedIn({ phasors }: OperatingPoint, frequency: number, a: number, b: number): boolean {
  const { islands } = phasors[frequency]!;
  return (a < 0 ? 0 : islands[a]) === (b < 0 ? 0 : islands[b]);
}

/** RMS over all frequencies; undefined between islands. */
export function rmsVolts(view: View, a: number, b: number): number | undefined {
  if (view.island(a) !== view.island(b)) return undefined;
  let square = 0;
  for (let frequency = 0; frequency < view.point.phasors.length; frequency += 1) {
    if (!view.joined(frequency, a, b)) continue;
    const { re, im } = view.volts(frequency, a, b);
    square += re * re + im * im;
  }
  return Math.sqrt(square);
}

/** Whether a branch conducts in a view. */
export function isPresent(view: View, branch: number): boolean {
  return view.point.present[branch] === 1;
}

/** Whether a fault left the network of a state as it was, for certain: every branch conducts as before, between the same nodes. */
export function isSameNetwork({ point }: View, { point: other }: View): boolean {
  return (
    point.plan === other.plan &&
    point.state === other.state &&
    point.conducts.every((conduct, branch) => conduct === other.conducts[branch]) &&
    [point.overlay, other.overlay].every(({ moved, supplies }) => moved.size + supplies.size === 0)
  );
}
