import type { Fault } from '../circuit/circuit.js';
import type { TestStand } from '../meter/meter.js';
import type { Group } from './evidence.js';
import { GroupScreen } from './group-screen.js';

/** Whether a job is plainly impossible with these faults, one or two: `explainer` would give no share to them. */
export type Screen = (faults: readonly Fault[]) => boolean;

/**
 * A first look in reading space, that solves nothing for a fault. It never rules out what would explain the job: what
 * may blow something, or can't be followed, is let through, to be solved for.
 */
export function screenOf(stand: TestStand, groups: readonly Group[]): Screen {
  const screens = groups.map((group) => new GroupScreen(stand, group));
  const mayBlow = blowing(stand, groups);
  let held: Fault | undefined;
  return (faults) => {
    const [first, second, third] = faults;
    if (first === undefined || third !== undefined) return false;
    const kept = second === undefined ? undefined : first;
    if (kept !== held) {
      held = kept;
      for (const screen of screens) screen.hold(kept);
    }
    return isOut(screens, mayBlow, second ?? first);
  };
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

function isOut(screens: readonly GroupScreen[], mayBlow: boolean, fault: Fault): boolean {
  let out = false;
  for (const screen of screens) {
    // Where something blows, readings before and after it are of two networks. Nothing does without power.
    const blows = !screen.dead && (mayBlow || screen.adds(fault));
    if (out && !blows) continue;
    const found = screen.judge(fault, out);
    if (found === 'unknown' && blows) return false;
    out ||= found === 'out';
  }
  return out;
}
