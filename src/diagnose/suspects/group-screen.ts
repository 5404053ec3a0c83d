import type { Fault } from '../../circuit/circuit.js';
import type { Reading, TestStand } from '../../meter/meter.js';
import type { Group } from './evidence.js';
import { type Look, StateScreen } from './state-screen.js';

/** The observations of one state, held against one fault after another in reading space. */
export class GroupScreen {
  readonly dead: boolean;
  /** The place of the job's last reading among the observations; -1 where it is of another state. */
  private readonly last: number;
  private readonly asItIs: StateScreen;
  private readonly once: (StateScreen | undefined)[] = [];
  private readonly screenOnce: (opener: number) => StateScreen;
  private first: Fault | undefined;
  /** Which observations are impossible as it is, and which once something has opened. */
  private readonly now: Uint8Array;
  private readonly later: Uint8Array;

  /** `openers`: all that could blow in any state of the job; `last`: the job's last reading. */
  constructor(stand: TestStand, group: Group, openers: readonly Fault[], last: Reading | undefined) {
    this.dead = group.dead;
    this.asItIs = new StateScreen(stand, group, undefined);
    this.screenOnce = (opener) =>
      new StateScreen(stand, group, { opened: openers[opener], asItIs: this.asItIs });
    const at = last === undefined ? -1 : group.readings.indexOf(last);
    this.last = at === -1 ? -1 : group.symptoms.length + at;
    const count = group.symptoms.length + group.readings.length;
    this.now = new Uint8Array(count);
    this.later = new Uint8Array(count);
  }

  get hasLast(): boolean {
    return this.last !== -1;
  }

  /** The next faults are looked at beside this one. */
  hold(fault: Fault | undefined): void {
    this.first = fault;
    this.asItIs.hold(fault);
    for (const screen of this.once) screen?.hold(fault);
  }

  /** `walkOnly`: all that is asked is whether it is followed to the end with nothing blown. */
  judge(fault: Fault, walkOnly: boolean): Look {
    return this.asItIs.judge(fault, walkOnly);
  }

  /**
   * Whether the fault is plainly impossible here if this opened on the way: some observation is so before and after.
   * The job's last reading is taken after, and where a supply is shorted until then, so is everything.
   */
  isOutOnce(fault: Fault, opener: number): boolean {
    const { now, later } = this;
    if (this.isOutLast(fault, opener)) return true;
    if (!this.onceOpened(opener).mark(fault, later)) return false;
    if (!later.includes(1) || !this.asItIs.mark(fault, now)) return false;
    return later.some((out, index) => out === 1 && now[index] === 1);
  }

  /** Whether the job's last reading is here, and impossible if this opened. */
  isOutLast(fault: Fault, opener: number): boolean {
    const { later, last } = this;
    return last !== -1 && this.onceOpened(opener).mark(fault, later, last) && later[last] === 1;
  }

  /** Whether nothing here is plainly impossible with this open and no fault but the one held. */
  fitsOnce(opener: number): boolean {
    return this.onceOpened(opener).mark(undefined, this.later) && !this.later.includes(1);
  }

  private onceOpened(opener: number): StateScreen {
    const kept = this.once[opener];
    if (kept !== undefined) return kept;
    const made = this.screenOnce(opener);
    made.hold(this.first);
    this.once[opener] = made;
    return made;
  }
}
