import type { CircuitNode, Fault, Load, State } from '../../circuit/circuit.js';
import type { Job, TestStand } from '../../meter/meter.js';
import { type Sight, worksIn } from '../../solve/solve.js';
import { mostStates, statesOf } from '../states.js';
import type { ReadingEvidence, SymptomEvidence } from '../suspects/evidence.js';
import { type Clearance, clearanceOf, type Ground } from './cleared.js';
import { contradicts, observationsOf } from './observation.js';
import { suppositionsOn } from './suppositions.js';

/** Where all agrees: what that proves, and what it leaves open. */
export interface Proven {
  readonly loads: readonly Load[];
  /** Nobody saw them work, and nothing was read that shows it. */
  readonly notProven: readonly Load[];
  /** Places a probe can go to at which no reading says anything. */
  readonly notRead: readonly CircuitNode[];
  /** Parts of which no fault is left that would matter. */
  readonly cleared: readonly Clearance[];
  /** The others that can fail; none of either where the job has too many states to tell. */
  readonly notCleared: readonly string[];
}

/** What agreeing readings and symptoms prove. */
export function provenBy(
  stand: TestStand,
  job: Job,
  readings: readonly ReadingEvidence[],
  symptoms: readonly SymptomEvidence[],
): Proven {
  const { circuit } = stand;
  const good = readings.filter(({ verdict }) => verdict === 'agrees');
  const states = statesOf(circuit, job);
  const observations = observationsOf(readings, symptoms);
  const ground = {
    stand,
    observations,
    states,
    widths: new Map(),
    suppose: suppositionsOn(stand, states, mattersIn(stand, states)),
    wholeOnly: true,
  } as const;
  const loads = [...circuit.loads.values()];
  const works = (load: Load) =>
    symptoms.some(({ symptom, verdict }) => verdict === 'agrees' && symptom.load === load && symptom.works) ||
    good.some((evidence) => isFedAcross(stand, load, evidence)) ||
    (states.length <= mostStates && isNotDead(ground, load));
  const read = new Set(
    good.flatMap(({ reading: { where } }) => (where.kind === 'between' ? [where.red, where.black] : [])),
  );
  const canFail = [...circuit.parts.values()].filter(({ faults }) => faults.length > 0);
  const parts = states.length > mostStates ? [] : canFail;
  const tried = parts.map((part) => clearanceOf(ground, part));
  return {
    loads: loads.filter(works),
    notProven: loads.filter((load) => !works(load)),
    notRead: circuit.nodes.filter(
      ({ index, reachable, hazard }) => reachable && hazard === undefined && !read.has(index),
    ),
    cleared: tried.filter(({ left }) => left.length === 0),
    notCleared: tried.filter(({ left }) => left.length > 0).map(({ part }) => part),
  };
}

/** Of an output or a relay: were it dead, what was seen of its contacts could not be so. */
function isNotDead({ stand, observations, suppose }: Ground, { name, part, does }: Load): boolean {
  if (does.kind !== 'actuator') return false;
  const dead = stand.circuit.parts
    .get(part)
    ?.faults.find(({ mode, at }) => mode === 'dead' && (at === undefined ? part : `${part}.${at}`) === name);
  const fault = dead && suppose.fault(dead);
  return fault !== undefined && observations.some((each) => contradicts(stand, each, fault));
}

/** Its working voltage was read at its own two ends, in a state in which it should work. */
function isFedAcross(stand: TestStand, load: Load, { reading }: ReadingEvidence): boolean {
  const { where, shown, state } = reading;
  if (load.does.kind !== 'volts' || where.kind !== 'between' || shown.kind !== 'value' || shown.unit !== 'V')
    return false;
  const { branch, atLeast } = load.does;
  const { from, to } = stand.circuit.branches[branch] ?? { from: -1, to: -1 };
  const across = [from, to].every((end) => end === where.red || end === where.black);
  if (!across || Math.abs(shown.value) < atLeast) return false;
  const sight = stand.look(state, []);
  return sight.kind === 'steady' && worksIn(sight.view, load, stand.supplies.spread) === 'yes';
}

/** A fault of a value matters from where some load, in some state, certainly no longer does as it should. */
function mattersIn(stand: TestStand, states: readonly State[]): (faults: readonly Fault[]) => boolean {
  const loads = [...stand.circuit.loads.values()];
  const standing = (sight: Sight) =>
    sight.kind === 'steady'
      ? loads.map((load) => worksIn(sight.view, load, stand.supplies.spread))
      : undefined;
  let sound: ReadonlyMap<State, ReturnType<typeof standing>> | undefined;
  return (faults) =>
    states.some((state) => {
      sound ??= new Map(states.map((each) => [each, standing(stand.look(each, []))]));
      const [before, after] = [sound.get(state), standing(stand.look(state, faults))];
      if (before === undefined) return false;
      if (after === undefined) return true;
      return after.some((works, index) => works !== 'marginal' && opposite[works] === before[index]);
    });
}

const opposite = { yes: 'no', no: 'yes' } as const;
