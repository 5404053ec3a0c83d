import type { Fault } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
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
export function screenOf(stand: TestStand, groups: readonly Group[]): Screen {
  const openers = [...openedByShort(stand.circuit), ...openedByOverload(stand.plan('running'))];
  const [last] = lastReading(groups);
  const all = groups.map((group) => new GroupScreen(stand, group, openers, last?.readings.at(-1)));
  // The last reading alone mostly tells what did not open.
  const latest = [...all].sort((a, b) => Number(b.hasLast) - Number(a.hasLast));
  const mayBlow = blowing(stand, groups);
  let held: Fault | undefined;
  const hold = (fault: Fault | undefined) => {
    for (const screen of all) screen.hold(fault);
  };
  let fitsAny: boolean | undefined;
  // Where one of them explains the job by itself, so does most of what opens it, and no time is spent on the rest.
  const opensAny = () => {
    if (fitsAny !== undefined) return fitsAny;
    hold(undefined);
    fitsAny = openers.some((_, opener) => latest.every((screen) => screen.fitsOnce(opener)));
    hold(held);
    return fitsAny;
  };
  return (faults) => {
    const [first, second, third] = faults;
    if (first === undefined || third !== undefined) return false;
    const kept = second === undefined || isUndone(first, second) ? undefined : first;
    if (kept !== held) {
      held = kept;
      hold(kept);
    }
    const fault = second ?? first;
    const look = lookAt(all, mayBlow, fault);
    if (look !== 'out unless it blows') return look === 'out';
    // Something may blow: it has to be impossible whatever that is.
    return (
      !opensAny() && openers.every((_, opener) => latest.some((screen) => screen.isOutOnce(fault, opener)))
    );
  };
}

/** Whether a later fault changes all that the first does, and counts instead of it: so it is with two leaks. */
function isUndone(first: Fault, later: Fault): boolean {
  if (first.mode !== 'leaks-to-earth' || later.mode !== 'leaks-to-earth') return false;
  const branches = later.changes.flatMap((change) => ('branch' in change ? change.branch : []));
  return first.changes.every((change) => 'branch' in change && branches.includes(change.branch));
}

/**
 * All pairs of a list of faults but those that are plainly impossible, in the list's order. What the first of a pair
 * makes of the networks is worked out once for all seconds.
 */
export function* pairsLeft(screen: Screen, faults: readonly Fault[]): Generator<readonly [Fault, Fault]> {
  for (const [index, first] of faults.entries()) {
    for (const second of faults.slice(index + 1)) {
      const pair = [first, second] as const;
      if (!screen(pair)) yield pair;
    }
  }
}

/** Whether faults that only take away could blow anything at all in any state of a job, whatever contacts then do. */
function blowing(stand: TestStand, groups: readonly Group[]): boolean {
  const running = groups.filter(({ dead }) => !dead);
  if (running.length === 0) return false;
  const states = running.flatMap(({ state }) => [state, ...state.before]);
  return stand.plan('running').limits.length > 0 || states.some((state) => stand.mayShortUnder(state, []));
}

/** Impossible as it is in some state; then, whether it is so whatever contacts do, or only if nothing blows. */
function lookAt(
  all: readonly GroupScreen[],
  mayBlow: boolean,
  fault: Fault,
): 'out' | 'out unless it blows' | 'let through' {
  let out = false;
  let blown = false;
  for (const screen of all) {
    // Where something blows, readings before and after it are of two networks. Nothing does without power.
    const blows = !screen.dead && (mayBlow || screen.adds(fault));
    if (out && (blown || !blows)) continue;
    const found = screen.judge(fault, out);
    blown ||= blows && (found === 'unknown' || found === 'shorts');
    out ||= found === 'out' || found === 'shorts';
  }
  if (!out) return 'let through';
  return blown ? 'out unless it blows' : 'out';
}
