import type { Fault } from '../../circuit/circuit.js';
import {
  canOutputBe,
  type Impossible,
  impossibleReading,
  mayBeAtLimit,
  readingScreen,
  type Symptom,
  sensesOf,
  soundVoltsAt,
  type TestStand,
  widestSymptomVolts,
} from '../../meter/meter.js';
import type { FaultWalk, SeenNetwork } from '../../solve/solve.js';
import type { Group } from './evidence.js';

/**
 * What a first look at one state says of a fault: plainly impossible, not so, that a supply is shorted and nothing can
 * be read, or nothing.
 */
export type Look = 'out' | 'fits' | 'shorts' | 'unknown';

/** What has opened, and the same state before that. */
interface After {
  readonly opened: Fault | undefined;
  readonly asItIs: StateScreen;
}

/** A network to walk in, and what is impossible where a walk ends, observation by observation. */
interface Looked {
  readonly walk: FaultWalk;
  readonly impossible: readonly Impossible[];
}

/**
 * The observations of one state, as it is or after something opened for good, held against faults in reading space.
 * Nothing is set up before it is asked for: most faults are ruled out by the first state that is looked at.
 */
export class StateScreen {
  private readonly stand: TestStand;
  private readonly group: Group;
  private readonly after: After | undefined;
  private setUp: Looked | undefined;
  private first: Fault | undefined;
  private kept: readonly number[] | undefined;
  /** Observations in the order they are tried: what ruled a fault out last mostly does so with the next. */
  private readonly order: Impossible[] = [];

  constructor(stand: TestStand, group: Group, after: After | undefined) {
    this.stand = stand;
    this.group = group;
    this.after = after;
  }

  /** The next faults are looked at beside this one. */
  hold(fault: Fault | undefined): void {
    this.first = fault;
  }

  /** `walkOnly`: all that is asked is whether it is followed to the end with nothing blown. */
  judge(fault: Fault, walkOnly: boolean): Look {
    const { walk } = this.looked;
    let look: Look | undefined;
    let met: number | undefined;
    walk.hold(this.first);
    for (const start of this.starts) {
      const walked = walk.walk(fault, start);
      if (walked === 'unknown' || walked === 'blows') return 'unknown';
      if ((walked === 'shorts') !== ((look ?? walked) === 'shorts')) return 'unknown';
      // Where contacts never settle, any reading could be one of many.
      if (walked === 'shorts') look = 'shorts';
      else if (walked === 'chattering' || walkOnly) look = 'fits';
      else if (look !== 'fits' && met !== walk.on) {
        const { on, seen } = walk;
        if (seen === undefined) return 'unknown';
        met = on;
        look = this.isImpossible(seen) ? 'out' : 'fits';
      }
    }
    return look ?? 'unknown';
  }

  /**
   * Marks the observations that are impossible from wherever it starts: all, if a supply is shorted. False where that is
   * not known. No more than one is marked where it is that which is enough.
   */
  mark(fault: Fault | undefined, out: Uint8Array, enough = -1): boolean {
    const { walk, impossible } = this.looked;
    out.fill(1);
    walk.hold(this.first);
    for (const start of this.starts) {
      const walked = walk.walk(fault, start);
      if (walked === 'shorts') continue;
      if (walked !== 'steady') return false;
      const { seen } = walk;
      if (seen === undefined) return false;
      if (this.starts.length === 1 && impossible[enough]?.(seen) === true) {
        out.fill(0);
        out[enough] = 1;
        return true;
      }
      for (let at = 0; at < impossible.length; at += 1)
        if (out[at] === 1 && impossible[at]?.(seen) !== true) out[at] = 0;
    }
    return true;
  }

  private isImpossible(seen: SeenNetwork): boolean {
    const { order } = this;
    for (let at = 0; at < order.length; at += 1) {
      const found = order[at];
      if (found?.(seen) !== true) continue;
      if (at > 0) {
        order.copyWithin(1, 0, at);
        order[0] = found;
      }
      return true;
    }
    return false;
  }

  private get looked(): Looked {
    if (this.setUp !== undefined) return this.setUp;
    const { stand, after } = this;
    const { state, dead, readings, symptoms } = this.group;
    const walk = stand.walk(state, dead, after?.opened);
    const screen = readingScreen(walk, stand.supplies);
    const impossible = [
      ...symptoms.map((symptom) => impossibleSymptom(walk, symptom, stand)),
      ...readings.map((reading) => impossibleReading(screen, reading)),
    ];
    const looked = { walk, impossible };
    this.setUp = looked;
    this.order.push(...impossible);
    // Where the sound circuit's actuators are is found before anything is laid over it.
    void this.starts;
    return looked;
  }

  /**
   * Where actuators may start. Outputs alone remember nothing, but may hold themselves on: faults are then solved for from
   * where the sound circuit has them, or from all off, and must be impossible from both.
   */
  private get starts(): readonly number[] {
    this.kept ??= this.after?.asItIs.starts ?? this.looked.walk.starts;
    return this.kept;
  }
}

/** Volts this near what a load needs, as a share, are not told apart from it. */
const edge = 1e-6;

/** `worksIn`, seen in reading space, held against what was said. */
function impossibleSymptom(walk: FaultWalk, symptom: Symptom, stand: TestStand): Impossible {
  const { load, works } = symptom;
  const { spread } = stand.supplies;
  const { does } = load;
  const saysNo = (no: boolean) => no === works;
  if (does.kind === 'actuator') {
    const bit = 1 << does.actuator;
    const { circuit } = stand;
    const senses = new Map(
      sensesOf(circuit, load).map((sensed) => [
        sensed,
        { place: walk.place(sensed.between), sound: soundVoltsAt(stand, symptom.state, sensed) },
      ]),
    );
    return (seen) => {
      if (walk.idles(load.name)) return works;
      if (!saysNo((walk.on & bit) === 0)) return false;
      return !canOutputBe(circuit, load, works, (sensed) => {
        const at = senses.get(sensed);
        const known = at === undefined ? 'unknown' : seen.look(at.place);
        if (at === undefined || known === 'unknown') return 'either';
        const volts = known === 'floating' ? 0 : Math.sqrt(seen.re * seen.re + seen.im * seen.im);
        if (mayBeAtLimit(circuit, sensed, volts, at.sound, spread + edge)) return 'either';
        return volts >= sensed.atLeast ? 'yes' : 'no';
      });
    };
  }
  const { branch, atLeast, actuator } = does;
  const place = walk.placeOf(branch);
  const doesNot = (seen: SeenNetwork) =>
    walk.idles(load.name) ||
    walk.changes(branch) ||
    !seen.conducts(branch) ||
    (actuator !== undefined && (walk.on & (1 << actuator)) === 0);
  return (seen) => {
    if (doesNot(seen)) return works;
    const known = seen.look(place);
    if (known === 'unknown') return false;
    const volts = known === 'floating' ? 0 : Math.sqrt(seen.re * seen.re + seen.im * seen.im);
    // What is plain without tolerances mostly is with them too.
    if (works ? volts * (1 + spread) >= atLeast * (1 - edge) : volts * (1 - spread) < atLeast * (1 + edge))
      return false;
    const { least, most } = widestSymptomVolts(stand, symptom, spread);
    return works ? volts < least * (1 - edge) : volts >= most * (1 + edge);
  };
}
