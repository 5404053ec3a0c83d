import {
  type Circuit,
  type CircuitNode,
  type Connector,
  type Fault,
  inTerminalOrder,
  type Load,
  ownerOf,
  type Part,
  type State,
  type WireEnd,
  wireEndsByOwner,
} from '../../circuit/circuit.js';
import { nominalSupplies, standOf, type TestStand } from '../../meter/meter.js';
import { loadFigures, worksIn } from '../../solve/solve.js';
import { effectsOf, type SlipEffect } from '../slips/exchange.js';
import { proofOf, type SlipProof } from '../slips/slip-proof.js';
import { chooseStates } from '../testability/looked-states.js';
import { emptyJob } from './worksheet.js';

/** A terminal of the part, and the wires that come off it. */
export interface Reconnection {
  readonly terminal: CircuitNode;
  /** What it is to the part: an input, an output, its supply. */
  readonly uses: readonly string[];
  readonly wires: readonly ReconnectedWire[];
  /** With the next terminal that has a wire. */
  readonly exchange?: Exchange;
}

export interface ReconnectedWire {
  readonly part: Part;
  readonly far: CircuitNode;
}

/** What it does to put the wire of a terminal on the next one, and that one's here. */
export interface Exchange {
  readonly neighbour: CircuitNode;
  /** Absent where both wires come from one place: it makes no difference. */
  readonly slip?: {
    readonly fault: Fault;
    readonly effects: readonly SlipEffect[];
    /** Loads that work all the same, with other volts. */
    readonly shifts: readonly Shift[];
    readonly proof?: SlipProof;
  };
}

export interface Shift {
  readonly state: State;
  readonly load: Load;
  readonly volts: number;
  readonly soundVolts: number;
}

/** Terminals that stand side by side: those of a part, or of one side of a connector. */
export interface TerminalRow {
  readonly owner: string;
  readonly terminals: readonly Reconnection[];
  /** Of a connector's side, the connector. */
  readonly connector?: Connector;
}

export interface ReconnectAnswer {
  readonly circuit: Circuit;
  readonly part: string;
  readonly rows: readonly TerminalRow[];
  /** States in which exchanges were looked at. */
  readonly states: readonly State[];
}

/** What a reconnect list may be asked of: every part with wires on it, and connectors by their own name. */
export function reconnectable({ parts, connectors }: Circuit): readonly string[] {
  const pins = new Set([...connectors.values()].flatMap((each) => each.pins.map(({ part }) => part)));
  const own = [...parts.values()].filter(({ name, kind }) => kind !== 'wire' && !pins.has(name));
  return [...own.map(({ name }) => name), ...connectors.keys()];
}

/** Every wire that comes off a part about to be replaced, where it goes, and what happens when two are exchanged. */
export function listReconnections(circuit: Circuit, part: string): ReconnectAnswer {
  const stand = standOf(circuit, nominalSupplies(circuit));
  const states = chooseStates(stand).states.map(({ state }) => state);
  const connector = circuit.connectors.get(part);
  const ends = [...wireEndsByOwner(circuit.nodes, circuit.branches).values()].flat();
  const splices = circuit.branches
    .filter(({ role }) => role === 'wire')
    .flatMap((wire): WireEnd[] =>
      [
        { wire, node: wire.from, far: wire.to },
        { wire, node: wire.to, far: wire.from },
      ].filter(({ node }) => ownerOf(circuit.nodes[node]?.name ?? '') === undefined),
    );
  const at = (node: number) => [...ends, ...splices].filter((each) => each.node === node);
  const rows = ownersOf(circuit, part, connector).map(({ owner, nodes }): TerminalRow => {
    const wired = nodes.filter(({ index, reachable, hazard }) => {
      return reachable || hazard !== undefined || at(index).length > 0;
    });
    const terminals = wired.map((terminal): Reconnection => {
      const own = at(terminal.index);
      const next = wired.slice(wired.indexOf(terminal) + 1).find(({ index }) => at(index).length > 0);
      return {
        terminal,
        uses: usesOf(circuit, terminal.index),
        wires: own.flatMap(({ wire, far }) => wireOf(circuit, wire.part, far)),
        ...(next === undefined || own.length === 0
          ? {}
          : { exchange: exchangeOf(stand, states, own, at(next.index), next) }),
      };
    });
    return { owner, terminals, ...(connector === undefined ? {} : { connector }) };
  });
  return { circuit, part, rows: rows.filter(({ terminals }) => terminals.length > 0), states };
}

/** A connector has two rows; a part one, with the ends of its own branches where they stand on something else. */
function ownersOf(
  { nodes, branches, parts }: Circuit,
  part: string,
  connector: Connector | undefined,
): { readonly owner: string; readonly nodes: readonly CircuitNode[] }[] {
  const named = (owner: string) => inTerminalOrder(nodes.filter(({ name }) => ownerOf(name) === owner));
  if (connector !== undefined) return connector.sides.map((owner) => ({ owner, nodes: named(owner) }));
  const own = named(part);
  const other = (parts.get(part)?.branches ?? [])
    .flatMap((index) => [branches[index]?.from ?? -1, branches[index]?.to ?? -1])
    .flatMap((index) => nodes[index] ?? [])
    .filter((node) => !own.includes(node));
  return [{ owner: part, nodes: [...own, ...new Set(other)] }];
}

function wireOf({ parts, nodes }: Circuit, part: string, far: number): ReconnectedWire[] {
  const [wire, node] = [parts.get(part), nodes[far]];
  return wire === undefined || node === undefined ? [] : [{ part: wire, far: node }];
}

function usesOf({ modules, actuators, branches, pinMap }: Circuit, node: number): string[] {
  const labels = pinMap.flatMap((each) => (each.node === node ? (each.label ?? []) : []));
  const inner = [...modules.values()].flatMap(({ supply, inputs, outputs }) => [
    ...(supply.between.includes(node) ? ['supply'] : []),
    ...inputs.filter(({ between: [pin] }) => pin === node).map(({ name }) => name),
    ...outputs.flatMap((index) => {
      const actuator = actuators[index];
      if (actuator?.kind !== 'output') return [];
      const contact = branches[actuator.branch ?? -1];
      return contact?.to === node ? [actuator.output] : [];
    }),
  ]);
  return [...new Set([...inner, ...labels])];
}

/** Of the pairs of wires on two terminals the one that does most harm: that is the one to be warned of. */
function exchangeOf(
  stand: TestStand,
  states: readonly State[],
  own: readonly WireEnd[],
  others: readonly WireEnd[],
  neighbour: CircuitNode,
): Exchange {
  const slips = own.flatMap((one) =>
    others.flatMap((other) => {
      const fault = crossingOf(stand.circuit, one.wire.part, other.wire.part);
      return fault === undefined ? [] : [{ fault, effects: effectsOf(stand, [fault], states) }];
    }),
  );
  const [worst] = slips.sort((a, b) => b.effects.length - a.effects.length);
  if (worst === undefined) return { neighbour };
  const proof = proofOf(stand, emptyJob, [worst.fault], []);
  const shifts = shiftsOf(stand, worst.fault, states);
  return { neighbour, slip: { ...worst, shifts, ...(proof === undefined ? {} : { proof }) } };
}

/** Another speed, another heat: a smaller change of volts nobody notices (judgement, no source). */
const leastShift = 0.1;

function shiftsOf(stand: TestStand, fault: Fault, states: readonly State[]): Shift[] {
  return states.flatMap((state) => {
    const [sound, slipped] = [stand.look(state, []), stand.look(state, [fault])];
    if (sound.kind !== 'steady' || slipped.kind !== 'steady') return [];
    return [...stand.circuit.loads.values()].flatMap((load): Shift[] => {
      const views = [sound.view, slipped.view];
      if (load.does.kind !== 'volts' || views.some((view) => worksIn(view, load, 0) !== 'yes')) return [];
      const [soundVolts = 0, volts = 0] = views.map((view) => loadFigures(view, load).volts ?? 0);
      const differs = Math.abs(volts - soundVolts) > leastShift * soundVolts;
      return differs ? [{ state, load, volts, soundVolts }] : [];
    });
  });
}

function crossingOf({ crossings }: Circuit, one: string, other: string): Fault | undefined {
  return crossings.find(
    ({ part, with: second }) => (part === one && second === other) || (part === other && second === one),
  );
}
