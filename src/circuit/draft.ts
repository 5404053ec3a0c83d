import type { Dimension, Document, Path, QuantityRange, TextProblem } from '../text/text.js';
import { nearestName, problemAt, quantityProblem, readQuantity } from '../text/text.js';
import type { Branch } from './branch.js';
import type {
  Actuator,
  CircuitNode,
  Condition,
  Connector,
  Load,
  LoadActuator,
  Module,
  OutputActuator,
  Part,
  Protector,
  RelayActuator,
  Supply,
  Switch,
  Transformer,
} from './model.js';
import type { CircuitProblem, CircuitProblemData, Referent } from './problems.js';

export interface DraftNode {
  readonly name: string;
  readonly index: number;
  /** Everything that touches the node, by place in the file. */
  readonly uses: Path[];
  /** The part that owns this terminal names it, or the nodes section does. */
  declared: boolean;
  /** Where the nodes section speaks of it. */
  noted?: Path;
  note?: Pick<CircuitNode, 'hazard' | 'reachable' | 'accessMinutes' | 'behind' | 'chassis'>;
}

type BuildProblem = TextProblem | CircuitProblem;

/** A circuit while it is being put together: the one place with changing state, discarded once frozen. */
export class Draft {
  readonly document: Document;
  readonly problems: BuildProblem[] = [];
  readonly nodes: DraftNode[] = [];
  readonly nodeByName: Map<string, number> = new Map();
  readonly branches: Branch[] = [];
  readonly parts: Map<string, Part> = new Map();
  readonly supplies: Map<string, Supply> = new Map();
  readonly conditions: Map<string, Condition> = new Map();
  readonly switches: Map<string, Switch> = new Map();
  readonly loads: Map<string, Load> = new Map();
  readonly modules: Map<string, Module> = new Map();
  /** A place is held open for a load that a switch follows until the load itself is read. */
  private readonly actuatorSlots: (Actuator | undefined)[] = [];
  /** Loads that switches follow: the place kept for each, and where the file says so. */
  readonly followed: Map<string, { readonly actuator: number; readonly places: Path[] }> = new Map();
  readonly transformers: Transformer[] = [];
  readonly protectors: Map<string, Protector> = new Map();
  readonly connectors: Map<string, Connector> = new Map();
  /** Names a node's first half may be: parts and connector sides. */
  readonly owners: Set<string> = new Set();

  constructor(document: Document) {
    this.document = document;
  }

  /** Adds a problem at the key or the value a path leads to. */
  report<Code extends keyof CircuitProblemData>(
    code: Code,
    data: CircuitProblemData[Code],
    path: Path,
    part: 'key' | 'value' = 'value',
  ): void {
    this.problems.push(problemAt(this.document, code, data, path, part) as BuildProblem);
  }

  unknown(what: Referent, found: string, allowed: Iterable<string>, path: Path, of?: string): void {
    const names = [...allowed];
    this.report(
      'reference-unknown',
      { what, found, of, nearest: nearestName(found, names), allowed: names },
      path,
    );
  }

  /** The node of this name, made on first mention. `owner` declares its own terminals; others only use them. */
  node(name: string, path: Path, owner?: string): number {
    const index = this.nodeByName.get(name) ?? this.addNode(name);
    const node = this.nodes[index];
    if (node === undefined) throw new Error(`node ${name} lost`);
    node.uses.push(path);
    if (owner !== undefined && name.startsWith(`${owner}.`)) node.declared = true;
    return index;
  }

  /** A node nobody can touch, inside a part. */
  hiddenNode(name: string): number {
    const index = this.addNode(name);
    const node = this.nodes[index];
    if (node !== undefined) {
      node.declared = true;
      node.note = { reachable: false, accessMinutes: 0 };
    }
    return index;
  }

  private addNode(name: string): number {
    const index = this.nodes.length;
    this.nodes.push({ name, index, uses: [], declared: false });
    this.nodeByName.set(name, index);
    return index;
  }

  /** Both ends of a two-terminal thing; a problem when they are one node. */
  pair(part: string, pair: readonly string[], path: Path, owner: string = part): [number, number] {
    const [first = '', second = ''] = pair;
    const ends: [number, number] = [
      this.node(first, [...path, 0], owner),
      this.node(second, [...path, 1], owner),
    ];
    if (ends[0] === ends[1]) this.report('node-same', { part, node: first }, path);
    return ends;
  }

  addBranch(branch: Omit<Branch, 'index'>): number {
    const index = this.branches.length;
    this.branches.push({ index, ...branch });
    return index;
  }

  get nextActuator(): number {
    return this.actuatorSlots.length;
  }

  /** All of them; a place nothing filled (a switch that follows what is no load) has been told as a problem. */
  get actuators(): readonly Actuator[] {
    return this.actuatorSlots.filter((each) => each !== undefined);
  }

  addActuator(
    actuator: { name: string; part: string } & (OutputActuator | RelayActuator | LoadActuator),
  ): number {
    const kept = this.followed.get(actuator.part)?.actuator;
    const index = actuator.kind === 'load' && kept !== undefined ? kept : this.actuatorSlots.length;
    this.actuatorSlots[index] = { index, ...actuator };
    return index;
  }

  startWith(motor: number, start: LoadActuator['start']): void {
    const actuator = this.actuatorSlots[motor];
    if (actuator?.kind === 'load' && start !== undefined) this.actuatorSlots[motor] = { ...actuator, start };
  }

  /** The actuator that a load will be; `place` is where a switch says that it follows it. */
  followLoad(load: string, place: Path): number {
    const known = this.followed.get(load);
    if (known !== undefined) {
      known.places.push(place);
      return known.actuator;
    }
    const actuator = this.actuatorSlots.length;
    this.actuatorSlots.push(undefined);
    this.followed.set(load, { actuator, places: [place] });
    return actuator;
  }

  /** The frequency that reactances are stated at: that of the first ac supply; 0 where there is none. */
  ownHertz(): number {
    return [...this.supplies.values()].find((supply) => supply.hertz > 0)?.hertz ?? 0;
  }

  /** A quantity in base units; undefined, and a problem, where the text is not one. */
  quantity(
    value: string | number | undefined,
    dimension: Dimension,
    path: Path,
    range?: QuantityRange,
  ): number | undefined {
    if (value === undefined) return undefined;
    const read = readQuantity(value, dimension, range);
    if (read.ok) return read.value;
    this.problems.push(quantityProblem(read, this.document.locate(path, 'value')));
    return undefined;
  }
}
