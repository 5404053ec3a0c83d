import {
  type Circuit,
  type Fault,
  faultName,
  type Ratio,
  type State,
  stateKey,
  type Volts,
} from '../circuit/circuit.js';
import {
  AtWorst,
  type Chattering,
  FaultWalk,
  type Overload,
  type Plan,
  type PlanFor,
  planOf,
  type ShortCircuit,
  type Sight,
  type SupplyScale,
  type SupplySpreads,
  type TiedVolts,
  type View,
  Workbench,
  type Works,
  workingVolts,
  worksIn,
} from '../solve/solve.js';
import { type Expected, expectAmps, expectOhms, expectVolts, type Unit } from './expected.js';
import type { Instrument } from './instrument.js';
import type { Blank, Reading, Symptom, Where } from './readings.js';

/** What the supplies really give, and how surely. */
export interface SupplyKnowledge {
  readonly scale: SupplyScale;
  /** How far each of them may still be from that, as a share; and the widest of those. */
  readonly spreads: SupplySpreads;
  readonly spread: Ratio;
  /** Names of supplies whose voltage was measured. */
  readonly measured: readonly string[];
}

/** No reading at all: contacts that never settle, or a short circuit or overload that something has to open. */
export type Unsettled = Chattering | ShortCircuit | Overload;

/** A meter function and where it is put. */
export interface Probe {
  readonly where: Where;
  readonly unit: Unit;
  readonly meter: Instrument;
  readonly current?: 'ac' | 'dc';
}

/** States that a stand keeps, with what single faults come to in them; those met first go. */
const mostStates = 64;
/** The same of states in which faults are followed, each as it is and after something opened. */
const mostWalks = 128;
/** Looks that one of them keeps, some 100 bytes each: of many jobs at many places, and no one job. */
const mostLooks = 10_000;
/** Stands that are kept for a circuit, one for each knowledge of its supplies. */
const mostStands = 4;

const stands = new WeakMap<Circuit, Map<string, TestStand>>();

/** The stand of a circuit with these supplies, shared by all that look at it: what one job has solved serves the next. */
export function standOf(circuit: Circuit, supplies: SupplyKnowledge): TestStand {
  const { scale, spreads, spread, measured } = supplies;
  const key = JSON.stringify([[...scale], [...spreads], spread, measured]);
  const known = stands.get(circuit) ?? new Map<string, TestStand>();
  stands.set(circuit, known);
  const kept = known.get(key);
  if (kept !== undefined) return kept;
  const stand = new TestStand(circuit, supplies);
  return keep(known, key, stand, mostStands);
}

function keep<V>(known: Map<string, V>, key: string, value: V, most: number): V {
  const [oldest] = known.keys();
  if (known.size === most && oldest !== undefined) known.delete(oldest);
  known.set(key, value);
  return value;
}

/**
 * A circuit with its supplies, on which readings are predicted in any state and with any fault. Each state is
 * solved once and kept.
 */
export class TestStand {
  readonly circuit: Circuit;
  readonly supplies: SupplyKnowledge;
  private readonly benches = new Map<string, Workbench>();
  private readonly deadBenches = new Map<string, Workbench>();
  private readonly worsts = new Map<string, AtWorst>();
  private readonly walks = new Map<string, FaultWalk>();
  private readonly expected = new WeakMap<View, Map<string, Expected>>();

  constructor(circuit: Circuit, supplies: SupplyKnowledge) {
    this.circuit = circuit;
    this.supplies = supplies;
  }

  /** The circuit in this state, with these faults; `dead` for its resistances at 0 Hz. */
  look(state: State, faults: readonly Fault[], dead = false): Sight {
    return this.bench(state, dead).under(faults);
  }

  /** The same, for a state that is looked at once and not kept. */
  lookOnce(state: State, faults: readonly Fault[]): Sight {
    return new Workbench(this.plan('running'), state, this.supplies.scale).under(faults);
  }

  /** Whether these faults could be a dead short in this state, seen without solving. */
  mayShortUnder(state: State, faults: readonly Fault[]): boolean {
    return this.bench(state, false).mayShortUnder(faults);
  }

  /** Volts that are certain in this state with these faults, without solving; undefined where nothing is. */
  tiedUnder(state: State, faults: readonly Fault[], shortFree: boolean): TiedVolts | undefined {
    return this.bench(state, false).tiedUnder(faults, shortFree);
  }

  /** What a reading should be. */
  expect(state: State, probe: Probe, faults: readonly Fault[]): Expected | Unsettled {
    const sight = this.look(state, faults, probe.unit === 'ohm');
    return sight.kind === 'steady' ? this.expectIn(sight.view, probe) : sight;
  }

  /** The same in a view already at hand; kept as long as the view is. */
  expectIn(view: View, probe: Probe): Expected {
    const kept = this.expected.get(view) ?? new Map<string, Expected>();
    this.expected.set(view, kept);
    const key = probeKey(probe);
    const expected = kept.get(key) ?? this.workOut(view, probe);
    kept.set(key, expected);
    return expected;
  }

  private workOut(view: View, { where, unit, meter, current }: Probe): Expected {
    const spreads = spreadsIn(view, this.supplies.spreads);
    if (where.kind === 'around') return expectAmps(view, where.branch, meter, spreads);
    if (unit === 'ohm') return expectOhms(view, where.red, where.black, meter);
    return expectVolts(view, where.red, where.black, meter, spreads, current);
  }

  /** Whether the load of a symptom should do its job in a view; marginal where it works too weakly to be called working. */
  worksIn(view: View, symptom: Symptom): Works {
    const spread = this.spreadIn(view);
    const works = worksIn(view, symptom.load, spread);
    const { does } = symptom.load;
    if (works !== 'yes' || symptom.works || does.kind !== 'volts') return works;
    return workingVolts(view, does.branch) * (1 - spread) < this.fullVolts(symptom) ? 'marginal' : 'yes';
  }

  /** Volts across a load from which nobody says that it does not work: most of what it has in the sound circuit. */
  fullVolts({ state, load }: Symptom): Volts {
    const { does } = load;
    if (does.kind !== 'volts') return 0;
    if (does.weakBelow === 0) return does.atLeast;
    const sight = this.look(state, []);
    // As it should be, it works, however little its supply is known.
    const surely = 0.99 * (1 - this.supplies.spread);
    const sound = sight.kind === 'steady' ? workingVolts(sight.view, does.branch) : 0;
    return Math.max(does.atLeast, Math.min(does.weakBelow, surely) * sound);
  }

  /** How far the supplies of a view may be from what was solved, as a share: the widest. */
  spreadIn(view: View): Ratio {
    return Math.max(0, ...spreadsIn(view, this.supplies.spreads).values());
  }

  /**
   * This state, after something opened for good, to follow one fault after another to where its contacts come to rest. All
   * that ask share it: whoever walks says first what is held.
   */
  walk(state: State, dead: boolean, opened?: Fault): FaultWalk {
    const key = `${dead} ${opened === undefined ? '' : faultName(opened)} ${stateKey(state)}`;
    const kept = this.walks.get(key);
    if (kept !== undefined && kept.looks < mostLooks) return kept;
    this.walks.delete(key);
    const branches = (opened?.changes ?? []).flatMap((each) => ('branch' in each ? each.branch : []));
    const plan = this.plan(dead ? 'dead' : 'running');
    return keep(this.walks, key, new FaultWalk(plan, state, this.supplies.scale, branches), mostWalks);
  }

  /** This state with power and every contact closed that anything moves: what could come of faults at worst. */
  worst(state: State): AtWorst {
    const key = stateKey(state);
    const kept = this.worsts.get(key);
    if (kept !== undefined) return kept;
    return keep(this.worsts, key, new AtWorst(this.plan('running'), state, this.supplies.scale), mostStates);
  }

  /** Resistance is measured in the dead network, where windings are their dc resistance: a plan at 0 Hz. */
  private bench(state: State, dead: boolean): Workbench {
    const benches = dead ? this.deadBenches : this.benches;
    const key = stateKey(state);
    const kept = benches.get(key);
    if (kept !== undefined) return kept;
    const bench = new Workbench(this.plan(dead ? 'dead' : 'running'), state, this.supplies.scale);
    return keep(benches, key, bench, mostStates);
  }

  plan(purpose: PlanFor): Plan {
    return planOf(this.circuit, purpose);
  }
}

/** All that what is read hangs on but the network. */
export function probeKey({ where, unit, meter, current }: Probe): string {
  const place = where.kind === 'around' ? where.branch : `${where.red}:${where.black}`;
  const { input, accuracy } = meter;
  return `${place} ${unit} ${current ?? ''} ${input} ${accuracy.share} ${accuracy.counts} ${accuracy.resolution}`;
}

/** What a supply gives that a fault lowers is the fault's own value, and not known to within something besides. */
function spreadsIn({ point }: View, spreads: SupplySpreads): SupplySpreads {
  const lowered = point.overlay.supplies;
  return lowered.size === 0 ? spreads : new Map([...spreads].filter(([name]) => !lowered.has(name)));
}

/** Where a reading was taken and with what; one that showed nothing is taken as volts, or amps. */
export function probeOf(reading: Reading): Probe {
  const { where, shown, meter } = reading;
  const unit = shown.kind === 'blank' ? (where.kind === 'around' ? 'A' : 'V') : shown.unit;
  const current = shown.kind === 'value' ? shown.current : undefined;
  return { where, unit, meter, ...(current === undefined ? {} : { current }) };
}

/** Where a reading would be taken, and what would be read there: amps by a clamp, ohms with the power off, else volts. */
export function probeOfBlank({ where, state, meter }: Blank): Probe {
  return { where, unit: where.kind === 'around' ? 'A' : state.power ? 'V' : 'ohm', meter };
}
