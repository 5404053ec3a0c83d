import type { Document, Path } from '../text/text.js';
import type { Branch } from './branch.js';
import type { Fault, Mode, VariableFault } from './fault.js';
import type { Amps, Minutes, Ohms, Ratio, Volts } from './units.js';

/** One physical place a probe can touch. Its index is its place in `Circuit.nodes`. */
export interface CircuitNode {
  readonly name: string;
  readonly index: number;
  /** Why it is never probed; absent when it is safe to. */
  readonly hazard?: string;
  readonly reachable: boolean;
  readonly accessMinutes: Minutes;
  readonly behind?: string;
  /** Metal that a person can touch. */
  readonly chassis?: true;
}

export type PartKindName =
  | 'supply'
  | 'switch'
  | 'protector'
  | 'load'
  | 'relay'
  | 'module'
  | 'passive'
  | 'transformer'
  | 'connector'
  | 'wire';

/** Anything that can fail or be moved, as reports name it. A connector's pins are parts of their own (`J3:2`). */
export interface Part {
  readonly name: string;
  readonly kind: PartKindName;
  readonly title?: string;
  /** What people call this kind of thing: "push button", "fuse", "black wire"; used in sentences. */
  readonly noun: string;
  /** Its kind within its section, as the file names it (fuse, lamp, rtd): what its symbol goes by. */
  readonly form?: string;
  /** Indices into `Circuit.branches`. */
  readonly branches: readonly number[];
  /** Every definite single fault this part can have. */
  readonly faults: readonly Fault[];
  /** Faults with a value that the part itself does not fix: a burnt contact, a low supply. */
  readonly variableFaults?: readonly VariableFault[];
  readonly colour?: string;
  /** Of a wire, as the file writes it. */
  readonly gauge?: string;
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
  /** Each line to the supply's own zero, or positive to negative. */
  readonly volts: Volts;
  /** The voltage as the file states it: of a delta, line to line. */
  readonly stated: Volts;
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
  /** The condition, or the load, that moves it. */
  readonly follows?: string;
  readonly followsLoad?: true;
  /** Several contacts: open or closed does not say how it stands, tripped or reset does. */
  readonly throws?: true;
  readonly path: Path;
}

export interface Load {
  /** `PART`, or `MODULE.OUTPUT` for a module's output. */
  readonly name: string;
  readonly part: string;
  /** What it does when it works, in the words of the file: "fan turns". */
  readonly job: string;
  readonly does:
    | {
        readonly kind: 'volts';
        readonly branch: number;
        readonly atLeast: Volts;
        /** Share of its usual volts below which a person may call it not working, weakly as it does. */
        readonly weakBelow: Ratio;
        readonly rated: Volts;
        /** A motor that some switch follows, or that must be started: only turning does its job. */
        readonly actuator?: number;
      }
    /** A module's output, or a relay by its coil (`branch`). */
    | { readonly kind: 'actuator'; readonly actuator: number; readonly branch?: number };
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

/**
 * What the network itself moves, on or off: its voltages decide, and it closes or opens contacts in turn. Its index
 * is its place in `Circuit.actuators`.
 */
export type Actuator = {
  readonly index: number;
  /** `CTL.speed-1`, `K1`, `MOTOR`. */
  readonly name: string;
  readonly part: string;
} & (OutputActuator | RelayActuator | LoadActuator);

export interface OutputActuator {
  readonly kind: 'output';
  readonly output: string;
  readonly when: Rule;
  /** Its contact, where it has one. */
  readonly branch?: number;
}

/** Between the two voltages a relay stays as it is. */
export interface RelayActuator {
  readonly kind: 'relay';
  /** The coil. */
  readonly branch: number;
  readonly picksUpAt: Volts;
  readonly dropsOutBelow: Volts;
}

/** On while it turns. Standing still it starts only if its start winding, where it has one, has this much as well. */
export interface LoadActuator {
  readonly kind: 'load';
  readonly branch: number;
  readonly atLeast: Volts;
  readonly start?: { readonly branch: number; readonly atLeast: Volts };
}

export interface Transformer {
  readonly name: string;
  /** Branches, primary first. */
  readonly windings: readonly number[];
  /** Seen from a winding of one volt with the others open, at the circuit's own frequency: all reactance. */
  readonly magnetisingOhms: Ohms;
  /** Of the primary at full load, where a rating is stated. */
  readonly ratedAmps?: Amps;
}

export interface Module {
  readonly name: string;
  readonly supply: { readonly between: readonly [number, number]; readonly atLeast: Volts };
  readonly inputs: readonly ModuleInput[];
  /** Indices into `Circuit.actuators`. */
  readonly outputs: readonly number[];
}

export interface Protector {
  readonly name: string;
  readonly branch: number;
  /** A thermal fuse, and a cut-out that follows a temperature and has no rating, open on heat alone; others on current. */
  readonly opensOnCurrent: boolean;
  /** An overload closes again when it has cooled; the others stay open. */
  readonly closesAgain: boolean;
  /** What it carries for good, and the least current that opens it for certain; absent where no rating is given. */
  readonly rating?: { readonly amps: Amps; readonly opensAt: Amps };
}

export interface Connector {
  readonly name: string;
  readonly title?: string;
  /** Names of its sides: harness, then board. */
  readonly sides: readonly [string, string];
  readonly pins: readonly { readonly part: string; readonly branch: number }[];
  readonly face?: Face;
}

/** How the harness side of a connector looks: pin numbers row by row, as seen from there. */
export interface Face {
  readonly seenFrom: 'wire-side' | 'mating-side';
  readonly rows: readonly (readonly number[])[];
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
  readonly actuators: readonly Actuator[];
  readonly transformers: readonly Transformer[];
  readonly protectors: ReadonlyMap<string, Protector>;
  readonly connectors: ReadonlyMap<string, Connector>;
  readonly pinMap: readonly PinMapEntry[];
  /** Weights of modes that the file states, by part or kind of part. */
  readonly priors: ReadonlyMap<string, Partial<Readonly<Record<Mode, number>>>>;
  readonly states: ReadonlyMap<string, NamedState>;
  /** Wires exchanged with one another at one part, each a single fault. */
  readonly crossings: readonly Fault[];
  /** Wires that landed on the next terminal of the same part, each a single fault. */
  readonly wrongPins: readonly Fault[];
}
