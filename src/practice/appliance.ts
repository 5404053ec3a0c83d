/**
 * A stand-in for the real thing: a circuit with part values drawn within their tolerance, its supplies within a share
 * of nominal, a fault planted and whatever that blew; and a meter that is off by up to its stated accuracy, at one place
 * always by the same.
 */

import {
  type Branch,
  type Circuit,
  type Fault,
  type Impedance,
  type State,
  stateKey,
} from '../circuit/circuit.js';
import { openedBy } from '../diagnose/diagnose.js';
import { displayError, type Probe, type Shown, TestStand } from '../meter/meter.js';
import { type View, worksIn } from '../solve/solve.js';

export class Appliance {
  /** What was planted, and what that blew so far, for good. */
  readonly faults: Fault[];
  private readonly stand: TestStand;
  private readonly randomFor: (reading: string) => () => number;

  constructor(stand: TestStand, faults: readonly Fault[], randomFor: (reading: string) => () => number) {
    this.stand = stand;
    this.faults = [...faults];
    this.randomFor = randomFor;
  }

  /** Goes through states as somebody who tries everything once: what can blow has blown. */
  use(states: readonly State[]): void {
    for (const state of states) this.views(state, false);
  }

  /** Whether a load is seen to work; undefined where it can't be said (chattering, an overload that comes and goes). */
  works(load: string, state: State): boolean | undefined {
    const found = this.stand.circuit.loads.get(load);
    const views = this.views(state, false);
    const seen = views.map((view) => found !== undefined && worksIn(view, found, 0) === 'yes');
    return seen.every((each) => each === seen[0]) ? seen[0] : undefined;
  }

  /** What a meter shows; blank where its display never comes to rest. */
  shows(state: State, probe: Probe): Shown {
    const views = this.views(state, probe.unit === 'ohm');
    const { where, unit, meter, current } = probe;
    const place = where.kind === 'around' ? where.branch : `${where.red} ${where.black}`;
    const random = this.randomFor(`${stateKey(state)} ${unit} ${meter.input} ${place}`);
    const view = views[Math.floor(random() * views.length)];
    if (view === undefined) return { kind: 'blank' };
    const expected = this.stand.expectIn(view, probe);
    const told = current === undefined ? { unit } : { unit, current };
    if (expected.kind === 'driven') {
      const value = noisy(expected.nominal, probe, random);
      return { kind: 'value', value: expected.signed === true ? value : Math.abs(value), ...told };
    }
    if (unit === 'ohm') return { kind: 'over-range', unit };
    // Half the places float with what their wires couple at most, the others with anything up to what is ever seen.
    const couples = meter.input === 'low-impedance' || random() < 0.5;
    const most = couples ? expected.likely : expected.high - displayError(meter.accuracy, expected.high);
    return { kind: 'value', value: noisy(random() * Math.max(0, most), probe, random), ...told };
  }

  /** What there is to be seen: two networks where an overload opens and closes again, none where nothing settles. */
  private views(state: State, dead: boolean): readonly View[] {
    for (;;) {
      const sight = this.stand.look(state, this.faults, dead);
      if (sight.kind === 'steady') return [sight.view];
      if (sight.kind === 'chattering') return [];
      const { circuit } = this.stand;
      const opened = openedBy(circuit, sight);
      if (sight.kind === 'overload' && circuit.protectors.get(sight.protector)?.closesAgain === true) {
        const after = this.stand.look(state, [...this.faults, opened], dead);
        return after.kind === 'steady' ? [sight.view, after.view] : [sight.view];
      }
      this.faults.push(opened);
    }
  }
}

/** Off by as much as the meter may be, and in whole counts. */
function noisy(value: number, { meter: { accuracy } }: Probe, random: () => number): number {
  const { resolution } = accuracy;
  const error = displayError(accuracy, value);
  const least = Math.ceil((value - error) / resolution - 1e-9);
  const most = Math.floor((value + error) / resolution + 1e-9);
  const shown = Math.round((value + (2 * random() - 1) * error) / resolution);
  return Number((Math.min(most, Math.max(least, shown)) * resolution).toPrecision(12));
}

/** The parts of a circuit as they came out of the factory, and its supplies so far from nominal at most. */
export function builtStand(
  circuit: Circuit,
  supplyShare: number | undefined,
  random: () => number,
): TestStand {
  const branches = circuit.branches.map((branch) => builtBranch(branch, random));
  const scale = new Map(
    [...circuit.supplies.values()].map(({ name, tolerance }) => [
      name,
      1 + (2 * random() - 1) * Math.min(tolerance, supplyShare ?? tolerance),
    ]),
  );
  return new TestStand({ ...circuit, branches }, { scale, spreads: new Map(), spread: 0, measured: [] });
}

function builtBranch(branch: Branch, random: () => number): Branch {
  const { impedance, atRest, sensor } = branch;
  const draw = 2 * random() - 1;
  const share = 1 + draw * impedance.tolerance;
  return {
    ...branch,
    impedance: builtImpedance(impedance, draw, random),
    ...(atRest === undefined
      ? {}
      : { atRest: { ...atRest, impedance: builtImpedance(atRest.impedance, draw, random) } }),
    ...(sensor === undefined ? {} : { sensor: { ...sensor, curve: builtCurve(sensor.curve, share) } }),
  };
}

function builtImpedance(impedance: Impedance, draw: number, random: () => number): Impedance {
  const { ohms, reactanceOhms, farads, tolerance, dead } = impedance;
  const share = 1 + draw * tolerance;
  const copper = dead && dead.least + random() * (dead.most - dead.least);
  return {
    ohms: farads === undefined ? ohms * share : ohms,
    reactanceOhms: reactanceOhms * share,
    ...(farads === undefined ? {} : { farads: farads * share }),
    tolerance: 0,
    ...(copper === undefined ? {} : { dead: { ohms: copper, least: copper, most: copper } }),
  };
}

type Curve = NonNullable<Branch['sensor']>['curve'];

function builtCurve(curve: Curve, share: number): Curve {
  switch (curve.kind) {
    case 'beta':
      return { ...curve, ohms: curve.ohms * share };
    case 'platinum':
      return { ...curve, ohmsAtZero: curve.ohmsAtZero * share };
    case 'table':
      return { ...curve, points: curve.points.map((point) => ({ ...point, ohms: point.ohms * share })) };
  }
}
