import {
  type Branch,
  type Circuit,
  type CircuitNode,
  type Load,
  namedStates,
  restState,
  type State,
  stateKey,
  withPowerOff,
} from '../../circuit/circuit.js';
import {
  type Expected,
  type Job,
  nominalSupplies,
  type Probe,
  standOf,
  type TestStand,
  type Unit,
  type Unsettled,
  usualInstrument,
} from '../../meter/meter.js';
import { branchFigures, isDcBetween, type View, worksIn } from '../../solve/solve.js';
import { clampable } from '../next/candidates.js';
import { type SafePlaces, safePlaces } from '../next/safe-places.js';
import { type TraceAnswer, traceLoad } from '../trace.js';
import { type Stretch, stretchesOf } from './walk.js';

/** A reading to take: a row of the worksheet, and of the readings file that goes with it. */
export interface SheetReading {
  /** Its place in the readings file, from 1. */
  readonly index: number;
  readonly state: State;
  /** Leads, or a clamp around a wire that carries the load's current alone. */
  readonly probe: Probe;
  readonly expected: Expected | Unsettled;
  /** Parts walked through since the place before it; of a reading across a part, that part. */
  readonly through: readonly string[];
}

/** Readings of one kind in one state, one after the other. */
export interface SheetSection {
  readonly what: 'dead' | 'supply' | 'across' | Stretch['what'];
  /** The load it is read for; dead readings are for all of them. */
  readonly load?: string;
  readonly state: State;
  /** Of a stretch, what it serves where that is not the load itself, its input, and where it comes from. */
  readonly stretch?: Stretch;
  readonly readings: readonly SheetReading[];
  /** Places walked past that no lead gets to. */
  readonly passed: readonly CircuitNode[];
  /** Places walked past that a lead gets to, with none within reach for the other. */
  readonly unheld: readonly CircuitNode[];
}

/** What is read for one load. */
export interface Worksheet {
  readonly trace: TraceAnswer;
  readonly sections: readonly SheetSection[];
}

export interface SheetAnswer {
  readonly circuit: Circuit;
  /** Before anything is switched on: for all loads together. */
  readonly dead: readonly SheetSection[];
  readonly worksheets: readonly Worksheet[];
  /** Covers in the order they are opened, and what that takes. */
  readonly covers: readonly { readonly name: string; readonly minutes: number }[];
  /** Never probed. */
  readonly hazardous: readonly CircuitNode[];
}

/** Currents in a row differ by no more than rounding; a band from half its middle on is clear of no current. */
const sameAmps = 1e-6;
const leastShare = 0.5;

/** The job of a worksheet before anything is written on it. */
export const emptyJob: Job = {
  meter: usualInstrument,
  supply: new Map(),
  symptoms: [],
  trips: [],
  readings: [],
};

/**
 * What to read for these loads, in walking order: without power first, then the supply, across the load, and along its
 * supply path from the supply on, the black lead left where it is. `given` is the state; else the first named one in
 * which the load works, or the one with the fewest changes from rest. Each reading stands once, whatever loads need it.
 */
export function makeSheet(circuit: Circuit, loads: readonly Load[], given?: State): SheetAnswer {
  const walker = new Walker(circuit);
  const traces = loads.map((load) => traceLoad(circuit, load, given ?? walker.namedFor(load)));
  const dead = walker.dead(traces);
  const worksheets = traces.map((trace) => ({ trace, sections: walker.live(trace) }));
  return {
    circuit,
    dead,
    worksheets,
    covers: walker.covers(),
    hazardous: circuit.nodes.filter(({ hazard }) => hazard !== undefined),
  };
}

/** Keeps what was read already, where the black lead is, and the number of the next row. */
class Walker {
  private readonly circuit: Circuit;
  private readonly stand: TestStand;
  private readonly places: SafePlaces;
  private readonly taken = new Set<string>();
  private readonly opened = new Map<string, number>();
  private readonly stretches = new Map<TraceAnswer, readonly Stretch[]>();
  private black: number | undefined;
  private count = 0;

  constructor(circuit: Circuit) {
    this.circuit = circuit;
    this.stand = standOf(circuit, nominalSupplies(circuit));
    this.places = safePlaces(circuit, new Set());
  }

  /** The first named state in which a load works: people know it by that name. */
  namedFor(load: Load): State | undefined {
    return namedStates(this.circuit).find((state) => {
      const sight = this.stand.look(state, []);
      return sight.kind === 'steady' && state.power && worksIn(sight.view, load, 0) === 'yes';
    });
  }

  /** Covers opened so far; those that take no time are none. */
  covers(): SheetAnswer['covers'] {
    return [...this.opened].flatMap(([name, minutes]) => (minutes > 0 ? { name, minutes } : []));
  }

  /** Ohms with the power off: loads, what protects them, contacts set by hand or by conditions, and earth. */
  dead(traces: readonly TraceAnswer[]): SheetSection[] {
    const atRest = withPowerOff(restState(this.circuit));
    const walked = traces.flatMap((trace) => {
      const view = this.viewOf(trace.state);
      return trace.state === undefined || view === undefined
        ? []
        : [{ trace, view, set: withPowerOff(trace.state) }];
    });
    const rest = walked.flatMap(({ trace, view }) => this.deadAtRest(atRest, trace, view));
    const closed = walked.map(({ trace, view, set }) => ({ set, rows: this.deadAsSet(set, trace, view) }));
    const sections = [{ set: atRest, rows: rest }, ...closed].filter(({ rows }) => rows.length > 0);
    const byState = new Map<string, { readonly set: State; readonly rows: SheetReading[] }>();
    for (const { set, rows } of sections) {
      const kept = byState.get(stateKey(set));
      if (kept === undefined) byState.set(stateKey(set), { set, rows: [...rows] });
      else kept.rows.push(...rows);
    }
    // Loads that are read in one state share a table: rows are counted as they stand, not as they were found.
    this.count = 0;
    return [...byState.values()].map(({ set, rows }) => ({
      what: 'dead',
      state: set,
      readings: rows.map((row) => ({ ...row, index: this.next() })),
      passed: [],
      unheld: [],
    }));
  }

  private deadAtRest(atRest: State, trace: TraceAnswer, view: View): SheetReading[] {
    const ends = this.endsOf(trace);
    return [
      ...this.earthReadings(atRest),
      ...(ends === undefined || this.isOpen(ends)
        ? []
        : this.take(atRest, ...ends, 'ohm', [trace.load.part])),
      ...(ends === undefined ? [] : this.leakReading(atRest, ends[0])),
      ...this.acrossSteps(atRest, trace, view, ({ role }) => role === 'protector'),
    ];
  }

  private deadAsSet(set: State, trace: TraceAnswer, view: View): SheetReading[] {
    const ends = this.endsOf(trace);
    return [
      ...(ends !== undefined && this.isOpen(ends) ? this.take(set, ...ends, 'ohm', [trace.load.part]) : []),
      ...this.acrossSteps(
        set,
        trace,
        view,
        ({ role, gate }) => role === 'contact' && gate?.kind !== 'actuator',
      ),
    ];
  }

  /** Where ohms of a load are read; electronics are not. */
  private endsOf(trace: TraceAnswer): readonly [red: number, black: number] | undefined {
    return trace.load.does.branch === undefined ? undefined : this.nearest(trace);
  }

  /** At rest a contact stands open between a load and the nearest places: it has to be closed to read through it. */
  private isOpen(ends: readonly [red: number, black: number]): boolean {
    return this.ohms(withPowerOff(restState(this.circuit)), ...ends)?.kind !== 'driven';
  }

  /** Across each part of a kind that is walked through. */
  private acrossSteps(
    state: State,
    trace: TraceAnswer,
    view: View,
    isWanted: (branch: Branch) => boolean,
  ): SheetReading[] {
    const steps = this.stretchesOf(trace, view).flatMap(({ path }) => path.steps);
    return steps.flatMap(({ branch, from, to }) => {
      const own = this.circuit.branches[branch];
      return own === undefined || !isWanted(own) ? [] : this.take(state, from, to, 'ohm', [own.part]);
    });
  }

  /** Volts with the power on. */
  live(trace: TraceAnswer): SheetSection[] {
    const { state } = trace;
    const view = this.viewOf(state);
    if (state === undefined || view === undefined) return [];
    const stretches = this.stretchesOf(trace, view);
    const load = trace.load.name;
    const sections: Omit<SheetSection, 'load'>[] = [this.supplySection(stretches)];
    const ends = this.nearest(trace);
    const across = ends === undefined ? [] : this.take(state, ...ends, 'V', [trace.load.part]);
    const readings = [...across, ...this.clamp(state, view, trace, stretches)];
    sections.push({ what: 'across', state, readings, passed: [], unheld: [] });
    for (const stretch of stretches) sections.push(this.walk(state, view, stretch, stretches));
    return sections
      .filter((each) => each.readings.length + each.passed.length + each.unheld.length > 0)
      .map((section) => ({ ...section, load }));
  }

  private viewOf(state: State | undefined): View | undefined {
    const sight = state === undefined ? undefined : this.stand.look(state, []);
    return sight?.kind === 'steady' ? sight.view : undefined;
  }

  private stretchesOf(trace: TraceAnswer, view: View): readonly Stretch[] {
    const kept = this.stretches.get(trace) ?? stretchesOf(this.circuit, trace, view);
    this.stretches.set(trace, kept);
    return kept;
  }

  /** The test points nearest to the two ends of what the load is fed by. */
  private nearest({ sides }: TraceAnswer): readonly [red: number, black: number] | undefined {
    const own = sides.filter(({ what, feeds }) => what === 'supply' && feeds === undefined);
    const [red, black] = own.map(({ end, path }) => {
      const places = [end, ...(path?.steps.map(({ from }) => from).reverse() ?? [])];
      return places.find(this.places.isTestPoint);
    });
    return red === undefined || black === undefined || red === black ? undefined : [red, black];
  }

  private ohms(state: State, red: number, black: number): Expected | Unsettled | undefined {
    const where = { kind: 'between', red, black } as const;
    return this.stand.expect(state, { where, unit: 'ohm', meter: usualInstrument }, []);
  }

  /** Each supply's earth terminal to the metal a person can touch. */
  private earthReadings(state: State): SheetReading[] {
    const metal = this.metal();
    if (metal === undefined) return [];
    const earths = [...this.circuit.supplies.values()].flatMap(({ legs }) =>
      legs.filter(({ name }) => name === 'earth').map(({ node }) => node),
    );
    return earths.flatMap((earth) => this.take(state, earth, metal, 'ohm', []));
  }

  /** From the load to that metal, where nothing should conduct. */
  private leakReading(state: State, place: number): SheetReading[] {
    const metal = this.metal();
    if (metal === undefined || this.ohms(state, place, metal)?.kind !== 'floating') return [];
    return this.take(state, place, metal, 'ohm', []);
  }

  private metal(): number | undefined {
    const { isEarth, isTestPoint } = this.places;
    const terminals = new Set(
      [...this.circuit.supplies.values()].flatMap(({ legs }) => legs.map(({ node }) => node)),
    );
    return this.circuit.nodes
      .filter(({ index, chassis }) => isTestPoint(index) && (chassis === true || isEarth(index)))
      .filter(({ index }) => !terminals.has(index))
      .sort((a, b) => Number(b.chassis ?? false) - Number(a.chassis ?? false))
      .sort((a, b) => a.accessMinutes - b.accessMinutes)[0]?.index;
  }

  /** At rest, from each live terminal to the supply's zero; where the load hangs between two of them, between those as well. */
  private supplySection(stretches: readonly Stretch[]): Omit<SheetSection, 'load'> {
    const state = restState(this.circuit);
    const readings: SheetReading[] = [];
    const passed: CircuitNode[] = [];
    for (const { name, legs } of this.circuit.supplies.values()) {
      const used = stretches.filter(({ path }) => path.supply === name);
      if (used.length === 0) continue;
      const live = legs.filter(({ live: is, name: leg }) => is && used.some(({ path }) => path.leg === leg));
      const zero = legs.find(({ live: is, name: leg }) => !is && leg !== 'earth');
      const pairs = [
        ...live.map((leg) => [leg, zero] as const),
        ...live.slice(1).map((leg) => [live[0], leg] as const),
      ];
      for (const [red, black] of pairs) {
        if (red === undefined || black === undefined) continue;
        readings.push(...this.take(state, red.node, black.node, 'V', [name]));
        for (const { node } of [red, black])
          if (!this.places.isTestPoint(node)) passed.push(...this.nodesOf([node]));
      }
    }
    return { what: 'supply', state, readings, passed: [...new Set(passed)], unheld: [] };
  }

  private walk(
    state: State,
    view: View,
    stretch: Stretch,
    all: readonly Stretch[],
  ): Omit<SheetSection, 'load'> {
    const readings: SheetReading[] = [];
    const passed: number[] = [];
    const unheld: number[] = [];
    let through: string[] = [];
    for (const { branch, to } of stretch.path.steps) {
      const part = this.circuit.branches[branch]?.part ?? '';
      through = through.at(-1) === part ? through : [...through, part];
      const black = this.places.isTestPoint(to) ? this.blackFor(view, to, stretch, all) : undefined;
      if (black === undefined) {
        (this.places.isTestPoint(to) ? unheld : passed).push(to);
        continue;
      }
      const current = this.currentAt(view, to, black);
      readings.push(...this.take(state, to, black, 'V', through, current));
      this.black = black;
      through = [];
    }
    const [out, alone] = [this.nodesOf(passed), this.nodesOf(unheld)];
    return { what: stretch.what, state, stretch, readings, passed: out, unheld: alone };
  }

  /**
   * A clamp around the wire nearest to the load that carries its current and no other, where that differs from none for
   * certain.
   */
  private clamp(
    state: State,
    view: View,
    { load }: TraceAnswer,
    stretches: readonly Stretch[],
  ): SheetReading[] {
    const { branch } = load.does;
    if (branch === undefined) return [];
    const { amps } = branchFigures(view, branch);
    const wires = new Set(clampable(this.circuit, this.places));
    const own = stretches.filter(({ what, serves }) => what !== 'signal' && serves === undefined);
    const around = own
      .flatMap(({ path }) => [...path.steps].reverse())
      .map((step) => step.branch)
      .find((each) => wires.has(each) && Math.abs(branchFigures(view, each).amps - amps) <= sameAmps * amps);
    if (around === undefined || !this.places.isAllowed(state)) return [];
    const key = `${stateKey(state)} around ${around}`;
    const probe: Probe = { where: { kind: 'around', branch: around }, unit: 'A', meter: usualInstrument };
    const expected = this.stand.expect(state, probe, []);
    if (this.taken.has(key) || expected.kind !== 'driven' || expected.low <= leastShare * expected.nominal)
      return [];
    this.taken.add(key);
    this.open(this.nearerEnd(around));
    const through = [this.circuit.branches[around]?.part ?? ''];
    return [{ index: this.next(), state, probe, expected, through }];
  }

  /** The end of a wire that takes less to get at. */
  private nearerEnd(wire: number): number {
    const { from = 0, to = 0 } = this.circuit.branches[wire] ?? {};
    const minutes = (node: number) =>
      this.places.isTestPoint(node)
        ? (this.circuit.nodes[node]?.accessMinutes ?? 0)
        : Number.POSITIVE_INFINITY;
    return minutes(to) < minutes(from) ? to : from;
  }

  private open(node: number): void {
    const { name = '', behind = name, accessMinutes = 0 } = this.circuit.nodes[node] ?? {};
    this.opened.set(behind, Math.max(accessMinutes, this.opened.get(behind) ?? 0));
  }

  /**
   * Where the black lead is; else a supply's zero; else the first place from there inwards that is tied to the red one;
   * without a neutral the same on the other line.
   */
  private blackFor(view: View, red: number, stretch: Stretch, all: readonly Stretch[]): number | undefined {
    const zeros = [...this.circuit.supplies.values()].flatMap(({ legs }) =>
      legs.filter(({ live, name }) => !live && name !== 'earth').map(({ node }) => node),
    );
    const placesOf = (stretches: readonly Stretch[]) =>
      stretches.flatMap(({ path }) => [path.terminal, ...path.steps.map(({ to }) => to)]);
    const neutral = placesOf(all.filter(({ path }) => !path.live));
    const other = placesOf(all.filter(({ path }) => path.terminal !== stretch.path.terminal));
    return [...(this.black === undefined ? [] : [this.black]), ...zeros, ...neutral, ...other].find(
      (node) => node !== red && this.places.isTestPoint(node) && view.island(node) === view.island(red),
    );
  }

  private currentAt(view: View, red: number, black: number): 'ac' | 'dc' | undefined {
    const { frequencies } = view.point.plan;
    if (frequencies.length < 2 || !frequencies.includes(0)) return undefined;
    return isDcBetween(view, red, black) ? 'dc' : 'ac';
  }

  /** The row of a reading, where leads may go there and it does not stand on the sheet yet. */
  private take(
    state: State,
    red: number,
    black: number,
    unit: Unit,
    through: readonly string[],
    current?: 'ac' | 'dc',
  ): SheetReading[] {
    const { isTestPoint, isAllowed } = this.places;
    if (!isTestPoint(red) || !isTestPoint(black) || !isAllowed(state)) return [];
    // A contact that was read closed and dead in one state is not read so again in another.
    const when = state.power ? stateKey(state) : 'dead';
    const key = `${when} ${unit} ${Math.min(red, black)} ${Math.max(red, black)}`;
    if (this.taken.has(key)) return [];
    this.taken.add(key);
    for (const node of [red, black]) this.open(node);
    const where = { kind: 'between', red, black } as const;
    const probe = { where, unit, meter: usualInstrument, ...(current === undefined ? {} : { current }) };
    const expected = this.stand.expect(state, probe, []);
    return [{ index: this.next(), state, probe, expected, through }];
  }

  private next(): number {
    this.count += 1;
    return this.count;
  }

  private nodesOf(indices: readonly number[]): CircuitNode[] {
    return [...new Set(indices)].flatMap((index) => this.circuit.nodes[index] ?? []);
  }
}
