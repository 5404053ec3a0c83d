import type { Document, Path } from '../text/text.js';
import type { Branch } from './branch.js';
import type { Fault } from './fault.js';
import type { Minutes, Ratio, Volts } from './units.js';

/** One physical place a probe can touch. Its index is its place in `Circuit.nodes`. */
export interface CircuitNode {
  readonly name: string;
  readonly index: number;
  /** Why it is never probed; absent when it is safe to. */
  readonly hazard?: string;
  readonly reachable: boolean;
  readonly accessMinutes: Minutes;
  readonly behind?: string;
}

export type PartKindName = 'supply' | 'switch' | 'protector' | 'load' | 'module' | 'connector' | 'wire';

/** Anything that can fail or be moved, as reports name it. A connector's pins are parts of their own (`J3:2`). */
export interface Part {
  readonly name: string;
  readonly kind: PartKindName;
  readonly title?: string;
  /** What people call this kind of thing: "push button", "fuse", "black wire"; used in sentences. */
  readonly noun: string;
  /** Indices into `Circuit.branches`. */
  readonly branches: readonly number[];
  /** Every definite single fault this part can have. */
  readonly faults: readonly Fault[];
  readonly colour?: string;
  readonly path: Path;
}

export type SupplySystem = 'single-phase' | 'split-phase' | 'three-phase' | 'dc';

export interface SupplyLeg {
  /** As the file names it: line, neutral, line1, positive, earth. */
  readonly name: string;
  readonly node: number;
  readonly branch: number;
  /** Line legs have a voltage of their own; neutral, negative and earth sit at the supply's own zero. */
  readonly live: boolean;
}

export interface Supply {
  readonly name: string;
  readonly system: SupplySystem;
  /** Line to neutral, or positive to negative. */
  readonly volts: Volts;
  /** 0 for dc. */
  readonly hertz: number;
  readonly tolerance: Ratio;
  readonly legs: readonly SupplyLeg[];
}

/** A physical quantity that operates contacts: a number with a unit, or one of a list of values. */
export interface Condition {
  readonly name: string;
  readonly rest: string | number;
  readonly unit?: string;
  readonly values?: readonly string[];
  readonly from?: number;
  readonly to?: number;
  readonly path: Path;
}

export interface Switch {
  readonly name: string;
  /** Own positions, with the one nobody has touched; absent for a switch that follows a condition. */
  readonly positions?: readonly string[];
  readonly rest?: string;
  readonly follows?: string;
  readonly path: Path;
}

export interface Load {
  /** `PART`, or `MODULE.OUTPUT` for a module's output. */
  readonly name: string;
  readonly part: string;
  /** What it does when it works, in the words of the file: "fan turns". */
  readonly job: string;
  readonly does:
    | { readonly kind: 'volts'; readonly branch: number; readonly atLeast: Volts; readonly rated: Volts }
    | { readonly kind: 'output'; readonly output: number };
}

export interface ModuleInput {
  readonly name: string;
  readonly between: readonly [number, number];
  readonly atLeast: Volts;
}

/** When a module's output is on: inputs combined. */
export type Rule =
  | { readonly kind: 'input'; readonly input: string }
  | { readonly kind: 'all' | 'any'; readonly of: readonly Rule[] }
  | { readonly kind: 'not'; readonly of: Rule };

export interface ModuleOutput {
  readonly name: string;
  /** Index into `Circuit.outputs`. */
  readonly index: number;
  readonly module: string;
  readonly when: Rule;
  readonly branch?: number;
}

export interface Module {
  readonly name: string;
  readonly supply: { readonly between: readonly [number, number]; readonly atLeast: Volts };
  readonly inputs: readonly ModuleInput[];
  readonly outputs: readonly ModuleOutput[];
}

export interface Protector {
  readonly name: string;
  /** A thermal fuse opens on heat alone; the others open on too much current. */
  readonly opensOnCurrent: boolean;
}

export interface Connector {
  readonly name: string;
  readonly pins: readonly { readonly part: string; readonly branch: number }[];
}

export interface PinMapEntry {
  readonly node: number;
  readonly label?: string;
  readonly switch: string;
  readonly position: string;
  readonly path: Path;
}

/** A state as the file writes it, still to be merged onto rest. */
export interface NamedState {
  readonly name: string;
  readonly value: unknown;
  readonly path: Path;
}

/** The whole appliance, immutable. Maps keep the file's order. */
export interface Circuit {
  readonly title: string;
  readonly about?: string;
  readonly hazards: readonly string[];
  readonly document: Document;
  readonly nodes: readonly CircuitNode[];
  readonly nodeByName: ReadonlyMap<string, number>;
  readonly branches: readonly Branch[];
  readonly parts: ReadonlyMap<string, Part>;
  readonly supplies: ReadonlyMap<string, Supply>;
  readonly conditions: ReadonlyMap<string, Condition>;
  readonly switches: ReadonlyMap<string, Switch>;
  readonly loads: ReadonlyMap<string, Load>;
  readonly modules: ReadonlyMap<string, Module>;
  /** Every module output, in file order. */
  readonly outputs: readonly ModuleOutput[];
  readonly protectors: ReadonlyMap<string, Protector>;
  readonly connectors: ReadonlyMap<string, Connector>;
  readonly pinMap: readonly PinMapEntry[];
  readonly states: ReadonlyMap<string, NamedState>;
  /** Wires exchanged with one another at one part, each a single fault. */
  readonly crossings: readonly Fault[];
}
