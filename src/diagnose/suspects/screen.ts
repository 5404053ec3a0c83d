import type { Fault, State } from '../../circuit/circuit.js';
import type { TestStand, Trip } from '../../meter/meter.js';
import type { AtWorst } from '../../solve/solve.js';
import { upTo } from '../states.js';
import type { Group } from './evidence.js';
import { lastReading } from './explained.js';
import { GroupScreen } from './group-screen.js';
import { openedByOverload, openedByShort } from './opened.js';

/** Whether a job is plainly impossible with these faults, one or two: `explainer` would give no share to them. */
export type Screen = (faults: readonly Fault[]) => boolean;

/**
 * A first look in reading space, that solves nothing for a fault. It never rules out what would explain the job: what
 * can't be followed is let through, to be solved for.
 */
export function screenOf(stand: TestStand, groups: readonly Group[], trips: readonly Trip[] = []): Screen {
  const look = new JobScreen(stand, groups, trips);
  const undone = new Map<Fault, boolean>();
  const isOutAlone = (fault: Fault) => {
    look.hold(undefined);
    return look.isOut(fault);
  };
  return (faults) => {
    const first = faults[0];
    const second = faults[1];
    if (first === undefined || faults.length > 2) return false;
    if (second === undefined) return isOutAlone(first);
    if (isUndone(first, second)) {
      const out = undone.get(second) ?? isOutAlone(second);
      undone.set(second, out);
      return out;
    }
    look.hold(first);
    return look.isOut(second);
  };
}

/** All states of a job, held against one fault after another. */
class JobScreen {
  private readonly all: readonly GroupScreen[];
  /** The last reading alone mostly tells what did not open. */
  private readonly latest: readonly GroupScreen[];
  private readonly openers: readonly Fault[];
  /** Openers from this one on may open on what a fault takes away; those before it on a short alone. */
  private readonly overloads: number;
  private readonly stand: TestStand;
  /** States with power, those gone through before them too, and each at worst. */
  private readonly powered: readonly { readonly state: State; readonly worst: () => AtWorst }[];
  /** By place in `all`: those with power from there on. */
  private readonly running: readonly (readonly GroupScreen[])[];
  private readonly alone: (boolean | undefined)[] = [];
  /** Something was seen to open: whether it still is, is not said. */
  private readonly somethingOpened: boolean;
  private held: Fault | undefined;

  constructor(stand: TestStand, groups: readonly Group[], trips: readonly Trip[]) {
    const byShort = openedByShort(stand.circuit);
    const running = groups.filter(({ dead }) => !dead);
    this.stand = stand;
    this.somethingOpened = trips.length > 0;
    this.powered = [...running, ...trips]
      .flatMap(({ state }) => upTo(state))
      .map((state) => {
        let worst: AtWorst | undefined;
        return { state, worst: () => (worst ??= stand.worst(state)) };
      });
    const [last] = lastReading(groups);
    this.openers = [...byShort, ...openedByOverload(stand.plan('running'))];
    this.overloads = byShort.length;
    this.all = groups.map((group) => new GroupScreen(stand, group, this.openers, last?.readings.at(-1)));
    this.running = this.all.map((_, from) => this.all.slice(from).filter(({ dead }) => !dead));
    this.latest = [...this.all].sort((a, b) => Number(b.hasLast) - Number(a.hasLast));
  }

  /** The next faults are looked at beside this one. */
  hold(fault: Fault | undefined): void {
    if (fault === this.held) return;
    this.held = fault;
    for (const screen of this.all) screen.hold(fault);
  }

  /** Impossible as it is in some state, and whatever it may have blown. */
  isOut(fault: Fault): boolean {
    let blown = false;
    const { all } = this;
    for (let at = 0; at < all.length; at += 1) {
      const screen = all[at];
      if (screen === undefined) continue;
      const found = screen.judge(fault, false);
      // Where something blows, readings before and after it are of two networks. Nothing does without power.
      blown ||= !screen.dead && (found === 'unknown' || found === 'shorts');
      if (found === 'shorts') return this.isOutAfter(fault, 0);
      if (found === 'out') return this.isOutBlown(fault, blown, at + 1);
    }
    return false;
  }

  /** Of one that is impossible if nothing blew; states from this place on were not looked at. */
  private isOutBlown(fault: Fault, blown: boolean, from: number): boolean {
    const running = this.running[from] ?? [];
    const mayHave = blown || this.somethingOpened;
    if ((!mayHave && running.length === 0) || this.nothingMayBlow(fault)) return true;
    const nothingBlows = () => !mayHave && running.every((screen) => !blows(screen, fault));
    const isOutIfBlown = () => this.isOutAfter(fault, this.mayShort(fault) ? 0 : this.overloads);
    // A look for each state that is left, or for each that may open and one for whether a short may: the fewer first.
    return running.length > this.openers.length - this.overloads + 1
      ? isOutIfBlown() || nothingBlows()
      : nothingBlows() || isOutIfBlown();
  }

  /** Whether a short may come of it, in any state of the job, whatever contacts then do. */
  private mayShort(fault: Fault): boolean {
    const faults = this.faultsWith(fault);
    return this.powered.some(
      ({ state, worst }) => worst().mayShort(faults) && this.stand.mayShortUnder(state, faults),
    );
  }

  private nothingMayBlow(fault: Fault): boolean {
    const faults = this.faultsWith(fault);
    return !this.powered.some(({ worst }) => worst().mayBlow(faults));
  }

  private faultsWith(fault: Fault): readonly Fault[] {
    return this.held === undefined ? [fault] : [this.held, fault];
  }

  /** Whether an opener may open at all: a supply's protector on a short of that supply, what is overloaded on a ring. */
  private mayOpen(opener: number, faults: readonly Fault[]): boolean {
    const { part } = this.openers[opener] ?? { part: '' };
    if (opener >= this.overloads) return this.powered.some(({ worst }) => worst().mayOverload(faults));
    const supply = this.stand.circuit.supplies.has(part) ? part : undefined;
    return this.powered.some(({ worst }) => worst().mayShort(faults, supply));
  }

  /** Impossible with any of these open. What explains the job by itself is not looked at: so does most of what opens it. */
  private isOutAfter(fault: Fault, from: number): boolean {
    const { openers, latest } = this;
    const faults = this.faultsWith(fault);
    for (let opener = from; opener < openers.length; opener += 1) {
      if (!this.mayOpen(opener, faults)) continue;
      if (this.fitsAlone(opener) || !latest.some((screen) => screen.isOutOnce(fault, opener))) return false;
    }
    return true;
  }

  private fitsAlone(opener: number): boolean {
    const kept = this.alone[opener];
    if (kept !== undefined) return kept;
    const { held, latest } = this;
    this.hold(undefined);
    const fits = latest.every((screen) => screen.fitsOnce(opener));
    this.hold(held);
    this.alone[opener] = fits;
    return fits;
  }
}

function blows(screen: GroupScreen, fault: Fault): boolean {
  const found = screen.judge(fault, true);
  return found === 'unknown' || found === 'shorts';
}

/** Whether a later fault changes all that the first does, and counts instead of it: so it is with two leaks. */
function isUndone(first: Fault, later: Fault): boolean {
  if (first.mode !== 'leaks-to-earth' || later.mode !== 'leaks-to-earth') return false;
  const branches = later.changes.flatMap((change) => ('branch' in change ? change.branch : []));
  return first.changes.every((change) => 'branch' in change && branches.includes(change.branch));
}
