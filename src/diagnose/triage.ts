import { type Circuit, type Fault, type Load, listFaults, type State } from '../circuit/circuit.js';
import { type Symptom, standOf, type TestStand } from '../meter/meter.js';
import { pathsToPair } from '../solve/solve.js';
import type { CheckAnswer } from './check.js';
import { holdSymptom } from './suspects/evidence.js';
import { partsOf } from './suspects/suspects.js';

/** A complaint sorted before anything is measured: what fails together, what works, and what that clears. */
export interface Triage {
  readonly fails: readonly LoadInStates[];
  readonly works: readonly LoadInStates[];
  /** Parts that a load which works needs, and that no way of failing could have left unnoticed, in the file's order. */
  readonly cleared: readonly string[];
  /** The load to go to, and the state in which it should do its job. */
  readonly start?: { readonly load: Load; readonly state: State };
}

export interface LoadInStates {
  readonly load: Load;
  readonly states: readonly State[];
}

/** Undefined where something was measured, or nothing is amiss. */
export function triageOf(check: CheckAnswer): Triage | undefined {
  const { circuit, symptoms, readings } = check;
  if (readings.length > 0 || !symptoms.some(({ verdict }) => verdict === 'differs')) return undefined;
  const amiss = symptoms.filter(({ verdict }) => verdict === 'differs').map(({ symptom }) => symptom);
  const agreeing = symptoms.filter(({ verdict }) => verdict === 'agrees').map(({ symptom }) => symptom);
  const working = agreeing.filter(({ works }) => works);
  const interest = loadOfInterest(circuit, check);
  return {
    fails: byLoad(amiss),
    works: byLoad(working),
    cleared: clearedBy(check, working, agreeing),
    ...(interest === undefined ? {} : { start: { load: interest.load, state: interest.state } }),
  };
}

/** Of the loads that should do their job and do not, the one whose terminals are quickest to get at; else the first. */
export function loadOfInterest(circuit: Circuit, { symptoms }: CheckAnswer): Symptom | undefined {
  const idle = symptoms
    .filter(({ verdict, symptom }) => verdict === 'differs' && !symptom.works)
    .map(({ symptom }) => symptom);
  const minutes = (symptom: Symptom) => accessTo(circuit, symptom.load);
  return idle.reduce<Symptom | undefined>(
    (best, each) => (best === undefined || minutes(each) < minutes(best) ? each : best),
    undefined,
  );
}

function accessTo(circuit: Circuit, load: Load): number {
  const ends = terminalsOf(circuit, load) ?? [];
  if (ends.length === 0) return Number.POSITIVE_INFINITY;
  const each = ends.map((end) => {
    const node = circuit.nodes[end];
    const open = node?.reachable === true && node.hazard === undefined;
    return open ? node.accessMinutes : Number.POSITIVE_INFINITY;
  });
  return Math.max(...each);
}

/** The two places a load gets its voltage at; a module's supply, for one of its outputs. */
export function terminalsOf(circuit: Circuit, { does, part }: Load): readonly [number, number] | undefined {
  const branch = circuit.branches[does.branch ?? -1];
  if (branch !== undefined) return [branch.from, branch.to];
  return circuit.modules.get(part)?.supply.between;
}

function byLoad(symptoms: readonly Symptom[]): LoadInStates[] {
  const states = new Map<Load, State[]>();
  for (const { load, state } of symptoms) states.set(load, [...(states.get(load) ?? []), state]);
  return [...states].map(([load, each]) => ({ load, states: each }));
}

/**
 * Parts on the supply path of what works. One is cleared only when no suspect is about it and each of its faults would
 * have moved a symptom that agrees: what works proves nothing of a fault it would work with.
 */
function clearedBy(check: CheckAnswer, working: readonly Symptom[], agreeing: readonly Symptom[]): string[] {
  const { circuit, supplies, suspects } = check;
  const stand = standOf(circuit, supplies);
  const suspected = new Set(suspects.flatMap(partsOf));
  const onPath = new Set(working.flatMap((symptom) => pathParts(stand, symptom)));
  const faultsOf = new Map<string, Fault[]>();
  for (const fault of listFaults(circuit)) {
    for (const name of fault.with === undefined ? [fault.part] : [fault.part, fault.with])
      faultsOf.set(name, [...(faultsOf.get(name) ?? []), fault]);
  }
  const shows = (fault: Fault) =>
    agreeing.some((symptom) => holdSymptom(stand, symptom, [fault]).verdict === 'differs');
  return [...circuit.parts.keys()].filter(
    (name) => onPath.has(name) && !suspected.has(name) && (faultsOf.get(name) ?? []).every(shows),
  );
}

function pathParts(stand: TestStand, { state, load }: Symptom): string[] {
  const { circuit } = stand;
  const sight = stand.look(state, []);
  const ends = terminalsOf(circuit, load);
  if (sight.kind !== 'steady' || ends === undefined) return [];
  const { a, b } = pathsToPair(sight.view, ...ends, load.does.branch);
  const steps = [a, b].flatMap((path) => path?.steps ?? []);
  return [load.part, ...steps.map(({ branch }) => circuit.branches[branch]?.part ?? '')];
}
