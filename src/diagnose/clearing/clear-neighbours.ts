import type { Circuit } from '../../circuit/circuit.js';
import type { Job, TestStand } from '../../meter/meter.js';
import type { Discrepancy } from '../bracket.js';
import { mostStates, statesOf } from '../states.js';
import type { ReadingEvidence, SymptomEvidence } from '../suspects/evidence.js';
import { partsOf, type Suspect } from '../suspects/suspects.js';
import { type Clearance, clearanceOf } from './cleared.js';
import { neighboursOf, type Pair } from './neighbours.js';
import { observationsOf } from './observation.js';
import { suppositionsOn } from './suppositions.js';

/**
 * Why the parts next to the bracket are out of it. Nothing is told where suspects are pairs of faults: what one fault
 * alone contradicts, it may yet have done together with another.
 */
export function clearNeighbours(
  stand: TestStand,
  job: Job,
  readings: readonly ReadingEvidence[],
  symptoms: readonly SymptomEvidence[],
  discrepancy: Discrepancy,
  suspects: readonly Suspect[],
): readonly Clearance[] {
  const { circuit } = stand;
  const states = statesOf(circuit, job);
  if (states.length > mostStates) return [];
  if (suspects.length === 0 || suspects.some(({ faults }) => faults.length > 1)) return [];
  const at =
    discrepancy.kind === 'reading'
      ? readings.find(({ reading }) => reading.index === discrepancy.index)?.reading
      : symptoms.find(({ symptom }) => symptom.index === discrepancy.index)?.symptom;
  const pair = at && ('load' in at ? pairOfLoad(circuit, at.load) : pairOfReading(circuit, at.where));
  const sight = at && stand.look(at.state, []);
  if (pair === undefined || sight?.kind !== 'steady') return [];
  const observations = observationsOf(readings, symptoms);
  const ground = { stand, observations, states, widths: new Map(), suppose: suppositionsOn(stand, states) };
  return neighboursOf(sight.view, pair, new Set(suspects.flatMap(partsOf))).flatMap((name) => {
    const part = circuit.parts.get(name);
    const clearance = part && clearanceOf(ground, part);
    return clearance === undefined || clearance.by.length === 0 ? [] : [clearance];
  });
}

/** A load's own ends; of a module's output, where the module gets its supply. */
function pairOfLoad(circuit: Circuit, { part, does }: SymptomEvidence['symptom']['load']): Pair | undefined {
  const { branch } = does;
  if (branch === undefined) {
    const between = circuit.modules.get(part)?.supply.between;
    return between && { between };
  }
  const { from, to } = circuit.branches[branch] ?? { from: -1, to: -1 };
  return { between: [from, to], load: branch };
}

function pairOfReading(circuit: Circuit, where: ReadingEvidence['reading']['where']): Pair {
  if (where.kind === 'around') {
    const { from, to } = circuit.branches[where.branch] ?? { from: -1, to: -1 };
    return { between: [from, to] };
  }
  const { red, black } = where;
  const across = circuit.branches.find(
    ({ role, from, to }) =>
      role === 'load' && ((from === red && to === black) || (from === black && to === red)),
  );
  return { between: [red, black], ...(across === undefined ? {} : { load: across.index }) };
}
