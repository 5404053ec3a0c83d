import type { Fault } from '../circuit/circuit.js';
import {
  type Impossible,
  impossibleReading,
  type Reading,
  readingScreen,
  type Symptom,
  type TestStand,
} from '../meter/meter.js';
import { FaultWalk, type SeenNetwork, type Standing } from '../solve/solve.js';
import type { Group } from './evidence.js';

/**
 * What a first look at one state says of a fault: plainly impossible, not so, that a supply is shorted and nothing can
 * be read, or nothing.
 */
export type Look = 'out' | 'fits' | 'shorts' | 'unknown';

/** What stays while faults are tried beside it: by itself, and with each of what may open on the way. */
interface Beside {
  readonly asItIs: Standing;
  readonly opened: (Standing | undefined)[];
}

/** The observations of one state, held against one fault after another in reading space. */
export class GroupScreen {
  readonly dead: boolean;
  private readonly walk: FaultWalk;
  private readonly impossible: readonly Impossible[];
  /** The place among them of the job's last reading; -1 where it is of another state. */
  private readonly last: number;
  private readonly openers: readonly Fault[];
  private readonly bare: Beside;
  private beside: Beside;
  private first: readonly Fault[] = [];
  /** Which observations are impossible as it is, and which once something has opened. */
  private readonly now: Uint8Array;
  private readonly later: Uint8Array;
  private starts: readonly number[] | undefined;

  /** `openers`: all that could blow in any state of the job; `last`: the job's last reading. */
  constructor(
    stand: TestStand,
    { state, dead, readings, symptoms }: Group,
    openers: readonly Fault[],
    last: Reading | undefined,
  ) {
    this.dead = dead;
    this.walk = new FaultWalk(stand.plan(dead ? 'dead' : 'running'), state, stand.supplies.scale);
    const screen = readingScreen(this.walk, stand.supplies);
    const looked = readings.flatMap((reading) => {
      const impossible = impossibleReading(screen, reading);
      return impossible === undefined ? [] : [{ reading, impossible }];
    });
    const seen = symptoms.map((symptom) => impossibleSymptom(this.walk, symptom, stand.supplies.spread));
    this.impossible = [...seen, ...looked.map(({ impossible }) => impossible)];
    const at = looked.findIndex(({ reading }) => reading === last);
    this.last = at === -1 ? -1 : seen.length + at;
    this.openers = openers;
    this.bare = { asItIs: this.walk.stand([]), opened: [] };
    this.beside = this.bare;
    this.now = new Uint8Array(this.impossible.length);
    this.later = new Uint8Array(this.impossible.length);
  }

  get hasLast(): boolean {
    return this.last !== -1;
  }

  /** The next faults are looked at beside this one. */
  hold(fault: Fault | undefined): void {
    this.first = fault === undefined ? [] : [fault];
    this.beside = fault === undefined ? this.bare : { asItIs: this.walk.stand(this.first), opened: [] };
    this.walk.hold(this.beside.asItIs);
  }

  /** Whether the fault, or the one held, makes anything conduct. */
  adds(fault: Fault): boolean {
    this.walk.with(fault);
    return this.walk.adds;
  }

  /** `walkOnly`: all that is asked is whether it is followed to the end with nothing blown. */
  judge(fault: Fault, walkOnly: boolean): Look {
    this.starts ??= this.startsOf();
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

  /**
   * Whether the fault is plainly impossible here if this opened on the way: some observation is so before and after.
   * The job's last reading is taken after, and where a supply is shorted until then, so is everything.
   */
  isOutOnce(fault: Fault, opener: number): boolean {
    const { beside, now, later, last } = this;
    let standing = beside.opened[opener];
    if (standing === undefined) {
      standing = this.walk.stand([...this.first, ...this.openers.slice(opener, opener + 1)]);
      beside.opened[opener] = standing;
    }
    this.walk.hold(standing);
    const known = this.mark(fault, later);
    this.walk.hold(beside.asItIs);
    if (!known) return false;
    if (last !== -1 && later[last] === 1) return true;
    if (!later.includes(1) || !this.mark(fault, now)) return false;
    return later.some((out, index) => out === 1 && now[index] === 1);
  }

  /** Marks the observations that are impossible from wherever it starts: all, if a supply is shorted. False where that is not known. */
  private mark(fault: Fault, out: Uint8Array): boolean {
    this.starts ??= this.startsOf();
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
  private startsOf(): readonly number[] {
    const { plan, state } = this.walk;
    this.walk.hold(this.bare.asItIs);
    const sound = this.walk.walk(undefined, 0) === 'steady' ? this.walk.on : 0;
    this.walk.hold(this.beside.asItIs);
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
