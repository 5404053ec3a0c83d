import type { Fault } from '../circuit/circuit.js';
import {
  type Impossible,
  impossibleReading,
  readingScreen,
  type Symptom,
  type TestStand,
} from '../meter/meter.js';
import { FaultWalk, type SeenNetwork } from '../solve/solve.js';
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

/** The observations of one state, as it is or after something opened for good, held against faults in reading space. */
export class StateScreen {
  private readonly walk: FaultWalk;
  private readonly impossible: readonly Impossible[];
  private readonly after: After | undefined;
  private kept: readonly number[] | undefined;

  constructor(stand: TestStand, { state, dead, readings, symptoms }: Group, after: After | undefined) {
    const opened = (after?.opened?.changes ?? []).flatMap((each) => ('branch' in each ? each.branch : []));
    const plan = stand.plan(dead ? 'dead' : 'running');
    this.walk = new FaultWalk(plan, state, stand.supplies.scale, opened);
    const screen = readingScreen(this.walk, stand.supplies);
    this.impossible = [
      ...symptoms.map((symptom) => impossibleSymptom(this.walk, symptom, stand)),
      ...readings.map((reading) => impossibleReading(screen, reading)),
    ];
    this.after = after;
  }

  /** The next faults are looked at beside this one. */
  hold(fault: Fault | undefined): void {
    // Where the sound circuit's actuators are is found before anything is laid over it.
    void this.starts;
    this.walk.hold(fault);
  }

  /** Whether the fault, or the one held, makes anything conduct. */
  adds(fault: Fault): boolean {
    this.walk.with(fault);
    return this.walk.adds;
  }

  /** `walkOnly`: all that is asked is whether it is followed to the end with nothing blown. */
  judge(fault: Fault, walkOnly: boolean): Look {
    let look: Look | undefined;
    const met: number[] = [];
    for (const start of this.starts) {
      const walked = this.walk.walk(fault, start);
      if (walked === 'unknown' || walked === 'blows') return 'unknown';
      if ((walked === 'shorts') !== ((look ?? walked) === 'shorts')) return 'unknown';
      // Where contacts never settle, any reading could be one of many.
      if (walked === 'shorts') look = 'shorts';
      else if (walked === 'chattering' || walkOnly) look = 'fits';
      else if (look !== 'fits' && !met.includes(this.walk.on)) {
        met.push(this.walk.on);
        const { seen } = this.walk;
        look = this.impossible.some((each) => each(seen)) ? 'out' : 'fits';
      }
    }
    return look ?? 'unknown';
  }

  /** Marks the observations that are impossible from wherever it starts: all, if a supply is shorted. False where that is not known. */
  mark(fault: Fault | undefined, out: Uint8Array): boolean {
    out.fill(1);
    for (const start of this.starts) {
      const walked = this.walk.walk(fault, start);
      if (walked === 'shorts') continue;
      if (walked !== 'steady') return false;
      const { seen } = this.walk;
      for (const [at, impossible] of this.impossible.entries())
        if (out[at] === 1 && !impossible(seen)) out[at] = 0;
    }
    return true;
  }

  /**
   * Where actuators may start. Outputs alone remember nothing, but may hold themselves on: faults are then solved for from
   * where the sound circuit has them, or from all off, and must be impossible from both.
   */
  private get starts(): readonly number[] {
    this.kept ??= this.after?.asItIs.starts ?? this.startsOf();
    return this.kept;
  }

  private startsOf(): readonly number[] {
    const { plan, state } = this.walk;
    const sound = this.walk.walk(undefined, 0) === 'steady' ? this.walk.on : 0;
    if (plan.remembers || state.before.length > 0 || sound === 0) return [0];
    return [sound, 0];
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
    return () => saysNo(walk.idles(load.name) || (walk.on & bit) === 0);
  }
  const { branch, atLeast, actuator } = does;
  const place = walk.placeOf(branch);
  const full = stand.fullVolts(symptom);
  const doesNot = (seen: SeenNetwork) =>
    walk.idles(load.name) ||
    walk.changes(branch) ||
    !seen.conducts(branch) ||
    (actuator !== undefined && (walk.on & (1 << actuator)) === 0);
  return (seen) => {
    if (doesNot(seen)) return works;
    const known = seen.look(place);
    if (known === 'unknown') return false;
    const volts = known === 'floating' ? 0 : Math.hypot(seen.re, seen.im);
    return works ? volts * (1 + spread) < atLeast * (1 - edge) : volts * (1 - spread) >= full * (1 + edge);
  };
}
