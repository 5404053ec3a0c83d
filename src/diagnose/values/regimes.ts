import type { Change, Circuit, Fault, VariableFault } from '../../circuit/circuit.js';
import {
  type Curves,
  curvesOfOhms,
  curvesOfShare,
  type Interval,
  type Plan,
  type ValueCurve,
  type View,
  whereAtMost,
} from '../../solve/solve.js';
import { faultOf, type Setting } from './setting.js';
import { isSame, type Standing, standsAt } from './standing.js';

/** A stretch of a fault's values over which everything that the network moves stands the same. */
export interface Regime {
  readonly values: Interval;
  /** What a meter may be looking at: one network; two where an overload opens and closes again; none while contacts chatter. */
  readonly looks: readonly Look[];
}

export interface Look {
  /** The network at one of the values. */
  readonly view: View;
  readonly curves: Curves;
  /** The network at any of them. */
  readonly at: (value: number) => View | undefined;
}

/** How near two values are one, as a share. */
const close = 1e-6;

/** The same, where nothing is told of the values on one side. */
const near = 1e-4;

/** More switching than this over one part's values is not followed. */
const mostRegimes = 12;

/**
 * The regimes of a fault's values, least first: each reaches to where the curve of what some actuator senses meets its
 * threshold and it does move. Values at which something blows for good are in none.
 */
export function regimesOf(setting: Setting): readonly Regime[] {
  const { least, most } = setting.variable.range;
  const found: Regime[] = [];
  let from: number | undefined = Math.max(least, most * smallest);
  for (let count = 0; count < mostRegimes && from !== undefined; count += 1) {
    const standing = standsAt(setting, from);
    if (typeof standing === 'string') {
      const steady = firstSteady(setting, from);
      if (standing === 'chattering') found.push({ values: { low: from, high: steady ?? most }, looks: [] });
      from = steady;
      continue;
    }
    const regime = regimeFrom(setting, standing, from);
    if (regime === undefined) return found;
    found.push(regime);
    const next: number = regime.values.high * (1 + close);
    from = next < most ? next : undefined;
  }
  return found;
}

/** A range from nothing on begins at this share of its end. */
const smallest = 1e-12;

/** The first value in steps of a half octave that stands still, halved down to where it begins to. */
function firstSteady(setting: Setting, from: number): number | undefined {
  const { most } = setting.variable.range;
  for (let value = from; value < most; ) {
    const next = Math.min(most, value * Math.SQRT2);
    if (typeof standsAt(setting, next) === 'object')
      return lastThat((each) => typeof standsAt(setting, each) === 'string', value, next, near) * (1 + near);
    value = next;
  }
  return undefined;
}

/** Between a value at which something holds and one at which it does not: the last at which it does, by halving. */
function lastThat(holds: (value: number) => boolean, from: number, to: number, gap = close): number {
  let [low, high] = [from, to];
  while (high > low * (1 + gap)) {
    const middle = Math.sqrt(low * high);
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low;
}

function regimeFrom(setting: Setting, standing: Standing, from: number): Regime | undefined {
  const { stand, dead, variable } = setting;
  const { most } = variable.range;
  const looks = looksAt(setting, standing, from);
  if (looks === undefined) return undefined;
  const upTo = (high: number): Regime => ({ values: { low: from, high }, looks });
  const stays = (value: number) => isSame(standing, standsAt(setting, value));
  const plan = stand.plan(dead ? 'dead' : 'running');
  const ends = looks.flatMap(({ view, curves }) => crossings(plan, view, curves, from, most));
  // Most faults move nothing at any value: both ends and the middle say so. Not so of a sensor, which moves something
  // over a stretch in between.
  if (ends.length === 0 && [most, Math.sqrt(from * most)].every(stays)) return upTo(most);
  let high = from;
  for (const end of [...ends.sort((a, b) => a - b), most]) {
    const inside = end * (1 - close);
    if (inside <= high) continue;
    const left = [...between(high, inside), inside].find((value) => !stays(value));
    if (left !== undefined) return upTo(lastThat(stays, high, left));
    high = end;
    if (end < most && !stays(end * (1 + close))) break;
  }
  return upTo(high);
}

function looksAt(setting: Setting, standing: Standing, from: number): readonly Look[] | undefined {
  const { on, opened, onWhenOpen } = standing;
  const held = [holding(setting.stand.circuit, on)];
  if (opened !== undefined && onWhenOpen !== undefined)
    held.push([...holding(setting.stand.circuit, onWhenOpen), opened]);
  const looks = held.flatMap((each) => lookHolding(setting, each, from) ?? []);
  return looks.length === held.length ? looks : undefined;
}

function lookHolding(setting: Setting, held: readonly Fault[], from: number): Look | undefined {
  const { stand, state, dead, variable, others } = setting;
  const at = (value: number) => {
    const sight = stand.look(state, [...others, ...held, faultOf(variable, value)], dead);
    return sight.kind === 'steady' || sight.kind === 'overload' ? sight.view : undefined;
  };
  const view = at(from);
  const curves = view && curvesAt(setting.variable, view, at, from);
  return curves && { view, curves, at };
}

/** From one value to another by which a line is drawn. */
const nearby = 1.01;

/** A few values between two, for what moves and moves back where no curve of this regime tells of it. */
function between(low: number, high: number): number[] {
  const steps = Math.min(6, Math.ceil(Math.log10(high / low)));
  return Array.from({ length: steps }, (_, k) => low * (high / low) ** ((k + 0.5) / steps));
}

/** Every actuator held as it stands, so that another value changes nothing but numbers. */
function holding({ actuators }: Circuit, on: readonly boolean[]): Fault[] {
  const changes: Change[] = actuators.map(({ index }) => ({
    kind: 'held',
    actuator: index,
    on: on[index] === true,
  }));
  return changes.length === 0 ? [] : [{ part: '', mode: 'dead', changes }];
}

function curvesAt(variable: VariableFault, view: View, at: Look['at'], from: number): Curves | undefined {
  const change = variable.changes(from).find((each) => 'branch' in each || each.kind === 'scaled');
  if (change === undefined) return undefined;
  if ('branch' in change) return curvesOfOhms(view, change.branch);
  // A straight line: any second value will do, and a near one is likeliest to be of the same regime.
  const second = from * nearby;
  const other = at(second);
  return other && curvesOfShare(view, other, from, second);
}

/** Values at which what an actuator senses, or a protector carries, is at its threshold. */
function crossings(
  { circuit, limits }: Plan,
  view: View,
  curves: Curves,
  from: number,
  most: number,
): number[] {
  const found: number[] = [];
  const add = (curve: ValueCurve, level: number) => {
    for (const { low, high } of whereAtMost(curve, level))
      for (const end of [low, high]) if (end > from && end < most) found.push(end);
  };
  for (const frequency of view.point.phasors.keys()) {
    for (const { between, levels } of sensed(circuit)) {
      if (!view.joined(frequency, ...between)) continue;
      const curve = curves.volts(frequency, ...between, Number.POSITIVE_INFINITY);
      for (const level of levels) add(curve, level);
    }
    for (const { branch, opensAt } of limits) add(curves.amps(frequency, branch), opensAt);
  }
  return found;
}

interface Sensed {
  readonly between: readonly [number, number];
  readonly levels: readonly number[];
}

function sensed({ actuators, modules, branches }: Circuit): Sensed[] {
  const across = (branch: number, levels: readonly number[]): Sensed => {
    const { from, to } = branches[branch] ?? { from: 0, to: 0 };
    return { between: [from, to], levels };
  };
  return [
    ...[...modules.values()].flatMap(({ supply, inputs }) =>
      [supply, ...inputs].map(({ between, atLeast }) => ({ between, levels: [atLeast] })),
    ),
    ...actuators.flatMap((each) => {
      if (each.kind === 'output') return [];
      if (each.kind === 'relay') return [across(each.branch, [each.picksUpAt, each.dropsOutBelow])];
      const { branch, atLeast, start } = each;
      return [
        across(branch, [atLeast]),
        ...(start === undefined ? [] : [across(start.branch, [start.atLeast])]),
      ];
    }),
  ];
}
