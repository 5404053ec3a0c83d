import { type Circuit, type Fault, isClosedByState, type State } from '../circuit/circuit.js';
import { movesNothing, namesOn, nextOn, sameOn, withHeld } from './actuate.js';
import { conductsIn, nominalScale, type Plan, type SupplyScale } from './plan.js';
import { type OperatingPoint, voltsBetween } from './point.js';
import { findOverload, type Overload } from './protection.js';
import { type Run, runOf, solvePoint } from './solve-point.js';
import { type ShortCircuit, shortCircuit } from './supply-path.js';
import { tiedVolts } from './tied-volts.js';
import { PointView } from './view.js';

/** Actuators that undo what switched them on; `cycle` lists those that are on, step by step, until it repeats. */
export interface Chattering {
  readonly kind: 'chattering';
  readonly cycle: readonly (readonly string[])[];
}

/** What a circuit does in a state. */
export type Operation =
  | { readonly kind: 'steady'; readonly point: OperatingPoint }
  | Chattering
  | ShortCircuit
  | Overload;

/**
 * Solves, lets actuators act on what they see, and solves again until nothing changes. All act at the same time. They
 * start off, or, where the state says what was before it, as those states left them one after the other; so do
 * protectors: what blew stays open.
 */
export function operate(
  plan: Plan,
  state: State,
  faults: readonly Fault[] = [],
  scale: SupplyScale = nominalScale,
): Operation {
  const { run, on } = broughtTo(runOf(plan, faults, scale), state);
  return settle(run, state, on).operation;
}

/** A run with what blew on the way to a state, and how actuators stand there before it is gone into. */
function broughtTo(fresh: Run, state: State): { readonly run: Run; readonly on: readonly boolean[] } {
  let run = fresh;
  let on = allOff(run);
  for (const earlier of state.before) {
    run = blown(run, heatOpened(run.plan.circuit, earlier));
    for (;;) {
      const { operation, left } = settle(run, earlier, on);
      const opened = openedBy(run.plan.circuit, operation);
      on = left;
      if (opened.length === 0) break;
      run = blown(run, opened);
    }
  }
  return { run, on };
}

/** One-shot thermal fuses that a state's temperature opens. */
export function heatOpened({ protectors, branches }: Circuit, state: State): number[] {
  return [...protectors.values()].flatMap(({ branch, opensOnCurrent, closesAgain }) => {
    const gate = branches[branch]?.gate;
    const whole = gate === undefined || gate.kind === 'actuator' || isClosedByState(state, gate);
    return opensOnCurrent || closesAgain || whole ? [] : branch;
  });
}

/** What a short or an overload opens for good: the protector, else every live leg of the supply. */
function openedBy({ protectors, supplies }: Circuit, operation: Operation): readonly number[] {
  if (operation.kind === 'overload') {
    return protectors.get(operation.protector)?.closesAgain === true ? [] : [operation.opens];
  }
  if (operation.kind !== 'short') return [];
  const protector = protectors.get(operation.protector ?? '');
  if (protector !== undefined) return [protector.branch];
  return supplies.get(operation.supply)?.legs.flatMap((leg) => (leg.live ? leg.branch : [])) ?? [];
}

function blown(run: Run, opened: readonly number[]): Run {
  if (opened.length === 0) return run;
  const branches = new Map(run.overlay.branches);
  for (const branch of opened) branches.set(branch, 'absent');
  return { ...run, overlay: { ...run.overlay, branches } };
}

/**
 * Other ways in which the same circuit in the same state stands still: a relay that holds itself in, once it was
 * pulled in. Lists what is on in each, as found from all off, all on, and each that is off switched on by itself.
 */
export function otherStandings(
  plan: Plan,
  state: State,
  faults: readonly Fault[],
  found: readonly boolean[],
): readonly (readonly string[])[] {
  if (!plan.moves.some(Boolean)) return [];
  const { run } = broughtTo(runOf(plan, faults, nominalScale), state);
  const off = allOff(run);
  const starts = [
    off,
    off.map(() => true),
    ...off.map((_, index) => found.map((on, each) => each === index || on)),
  ];
  const others: (readonly boolean[])[] = [];
  for (const start of starts) {
    const { operation } = settle(run, state, start);
    if (operation.kind !== 'steady') continue;
    const { on } = operation.point;
    if (![found, ...others].some((each) => sameOn(each, on))) others.push(on);
  }
  return others.map((on) => namesOn(plan.circuit, on));
}

function allOff({ plan, overlay }: Run): readonly boolean[] {
  return withHeld(
    plan.circuit.actuators.map(() => false),
    overlay,
  );
}

/**
 * Which actuators are on for a moment, or for good, before the sound circuit comes to rest in a state: the coil of a
 * current relay pulls in at a motor's rush and lets go as it turns.
 */
export function onUnderWay(plan: Plan, state: State): readonly boolean[] {
  const { run, on } = broughtTo(runOf(plan, [], nominalScale), state);
  return settle(run, state, on).passed;
}

/** What comes of a state, and which actuators it leaves on: of those that never settle, the ones that stay on throughout. */
interface Settled {
  readonly operation: Operation;
  readonly left: readonly boolean[];
  /** Those that were on at any step. */
  readonly passed: readonly boolean[];
}

function settle(run: Run, state: State, start: readonly boolean[]): Settled {
  const { plan, overlay, scale } = run;
  const conducts = conductsIn(plan.circuit, state);
  const seen: (readonly boolean[])[] = [];
  const passedBy = (last: readonly boolean[]) =>
    last.map((each, index) => each || seen.some((step) => step[index] === true));
  // What is certain to be on will be found on and need not be solved for first; but a path may lead past what was before.
  const mayHold = plan.remembers || state.before.length > 0 || start.some((on) => on);
  let on =
    (mayHold ? undefined : tiedVolts(plan, conducts, overlay, scale, false)?.on) ??
    withHeld([...start], overlay);
  for (;;) {
    const point = solvePoint(run, state, conducts, on);
    const view = new PointView(point);
    const short = shortCircuit(view);
    if (short !== undefined) return { operation: short, left: on, passed: passedBy(on) };
    const next = nextOn(point, (a, b) => voltsBetween(point, a, b));
    if (sameOn(next, on) || movesNothing(plan, next, on)) {
      const operation = findOverload(view) ?? { kind: 'steady' as const, point: { ...point, on: next } };
      return { operation, left: next, passed: passedBy(next) };
    }
    seen.push(on);
    const first = seen.findIndex((each) => sameOn(each, next));
    if (first !== -1) {
      const steps = seen.slice(first);
      const left = next.map((_, index) => steps.every((each) => each[index] === true));
      return {
        operation: { kind: 'chattering', cycle: steps.map((each) => namesOn(plan.circuit, each)) },
        left,
        passed: passedBy(next),
      };
    }
    on = next;
  }
}

/**
 * Where actuators that chatter when all act at once settle if they act one at a time, first to last or last to first:
 * a race, which nothing here decides. Lists what is then on; empty where there is no rest in any order.
 */
export function racesTo(plan: Plan, state: State, faults: readonly Fault[]): readonly (readonly string[])[] {
  const { run, on: start } = broughtTo(runOf(plan, faults, nominalScale), state);
  const conducts = conductsIn(plan.circuit, state);
  const found: (readonly boolean[])[] = [];
  for (const backwards of [false, true]) {
    let on = start;
    for (let step = 0; step < stepsPerActuator * start.length; step += 1) {
      const point = solvePoint(run, state, conducts, on);
      if (shortCircuit(new PointView(point)) !== undefined) break;
      const next = nextOn(point, (a, b) => voltsBetween(point, a, b));
      const moved = [...next.keys()].filter((index) => next[index] !== on[index]);
      const mover = backwards ? moved.at(-1) : moved[0];
      if (mover === undefined) {
        if (!found.some((each) => sameOn(each, on))) found.push(on);
        break;
      }
      on = on.map((each, index) => (index === mover ? !each : each));
    }
  }
  return found.map((each) => namesOn(plan.circuit, each));
}

/** Steps after which actuators that act one at a time are taken never to settle. */
const stepsPerActuator = 4;
