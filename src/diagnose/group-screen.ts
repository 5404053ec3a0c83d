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

/** What a first look at one state says of a fault: plainly impossible, not so, or nothing. */
export type Look = 'out' | 'fits' | 'unknown';

/** The observations of one state, held against one fault after another in reading space. */
export class GroupScreen {
  readonly dead: boolean;
  private readonly walk: FaultWalk;
  private readonly impossible: readonly Impossible[];
  private starts: readonly number[] | undefined;

  constructor(stand: TestStand, { state, dead, readings, symptoms }: Group) {
    this.dead = dead;
    this.walk = new FaultWalk(stand.plan(dead ? 'dead' : 'running'), state, stand.supplies.scale);
    const screen = readingScreen(this.walk, stand.supplies);
    this.impossible = [
      ...symptoms.map((symptom) => impossibleSymptom(this.walk, symptom, stand.supplies.spread)),
      ...readings.flatMap((reading) => impossibleReading(screen, reading) ?? []),
    ];
  }

  hold(fault: Fault | undefined): void {
    this.walk.hold(fault);
  }

  /** Whether the fault, or the one held, makes anything conduct. */
  adds(fault: Fault): boolean {
    this.walk.with(fault);
    return this.walk.adds;
  }

  /** `walkOnly`: all that is asked is whether it is followed to the end with nothing blown. */
  judge(fault: Fault, walkOnly: boolean): Look {
    this.starts ??= this.startsOf();
    let look: Look = 'out';
    const met: number[] = [];
    for (const start of this.starts) {
      const walked = this.walk.walk(fault, start);
      if (walked === 'unknown' || walked === 'blows') return 'unknown';
      // Where contacts never settle, any reading could be one of many.
      if (walked === 'chattering') look = 'fits';
      else if (look === 'out' && !walkOnly && !met.includes(this.walk.on)) {
        met.push(this.walk.on);
        const { seen } = this.walk;
        if (!this.impossible.some((each) => each(seen))) look = 'fits';
      }
    }
    return walkOnly ? 'fits' : look;
  }

  /**
   * Where actuators may start. Outputs alone remember nothing, but may hold themselves on: faults are then solved for from
   * where the sound circuit has them, or from all off, and must be impossible from both.
   */
  private startsOf(): readonly number[] {
    const { plan, state } = this.walk;
    const sound = this.walk.walk(undefined, 0) === 'steady' ? this.walk.on : 0;
    if (plan.remembers || state.before.length > 0) return [0];
    return sound === 0 ? [0] : [sound, 0];
  }
}

/** Volts this near what a load needs, as a share, are not told apart from it. */
const edge = 1e-6;

/** `worksIn`, seen in reading space, held against what was said. */
function impossibleSymptom(walk: FaultWalk, { load, works }: Symptom, spread: number): Impossible {
  const { does } = load;
  const saysNo = (no: boolean) => no === works;
  if (does.kind === 'actuator') {
    const bit = 1 << does.actuator;
    return () => saysNo(walk.idles(load.name) || (walk.on & bit) === 0);
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
    const volts = known === 'floating' ? 0 : Math.hypot(seen.re, seen.im);
    return works ? volts * (1 + spread) < atLeast * (1 - edge) : volts * (1 - spread) >= atLeast * (1 + edge);
  };
}
