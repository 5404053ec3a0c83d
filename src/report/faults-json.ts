import type { HeldThreshold, TestabilityAnswer, TestedFault } from '../diagnose/diagnose.js';
import { cautions } from './cautions.js';
import { faultJson } from './word-fault.js';

type Json = Readonly<Record<string, unknown>>;

/** The `faults` answer of schemas/report.schema.json. States are told by their number in `lookedIn`, from 0. */
export function faultsJson(answer: TestabilityAnswer, thresholds: readonly HeldThreshold[]): Json {
  const { circuit, looked, blacks, tally, faults, groups, outOfReach, extraPoint } = answer;
  return {
    states: looked.states.length,
    lookedIn: looked.states.map(({ state, works, shows }) => ({
      in: state.changes,
      ...(works === undefined ? {} : { works: works.name }),
      ...(shows === undefined ? {} : { shows: faultJson(shows) }),
    })),
    notLookedIn: looked.leftOut.map((state) => state.changes),
    idle: looked.idle.map((load) => load.name),
    blacks: blacks.map((node) => node.name),
    tally,
    thresholds,
    effects: faults.map((each) => effectJson(circuit, each)),
    groups: groups.map((group) => ({
      faults: group.faults.flatMap((index) => faults[index]?.fault ?? []).map(faultJson),
      hidden: group.hidden.flatMap((index) => faults[index]?.fault ?? []).map(faultJson),
      onePart: group.onePart,
    })),
    outOfReach,
    extraPoint: extraPoint === undefined ? null : { node: extraPoint.node.name, tally: extraPoint.tally },
    cautions,
  };
}

function effectJson({ nodes }: TestabilityAnswer['circuit'], tested: TestedFault): Json {
  const { fault, detectable, isolable, single, hidden, loads, outcomes, readings } = tested;
  return {
    fault: faultJson(fault),
    detectable,
    isolable,
    single,
    ...(hidden === undefined ? {} : { hidden }),
    loads: loads.map(({ load, state, works }) => ({ load: load.name, state, works })),
    outcomes: outcomes.map(({ state, outcome }) => ({
      state,
      outcome: outcome.kind,
      protector: outcome.kind === 'chattering' ? null : (outcome.protector ?? null),
    })),
    readings: readings.map(({ place, states }) => ({
      red: nodes[place.red]?.name,
      black: nodes[place.black]?.name,
      states,
    })),
  };
}
