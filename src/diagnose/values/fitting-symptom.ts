import { nominalSymptomVolts, type Symptom, symptomVolts, type TestStand } from '../../meter/meter.js';
import {
  everything,
  type Intervals,
  intersect,
  lacksOnlyVolts,
  unite,
  whereAtLeast,
  whereAtMost,
} from '../../solve/solve.js';
import { liveAt } from './reading-curve.js';
import type { Look } from './regimes.js';

/**
 * A load's volts are a curve, and enough of them or not; what an actuator does is the same throughout a regime. Parts are
 * within their tolerances, or nominal.
 */
export function fittingSymptom(
  stand: TestStand,
  symptom: Symptom,
  { view, curves }: Look,
  withNominalParts: boolean,
): Intervals {
  const { load, works } = symptom;
  const { does } = load;
  const { overlay } = view.point;
  if (does.kind === 'actuator' || !lacksOnlyVolts(view, load)) {
    const expected = stand.worksIn(view, symptom);
    return expected === 'marginal' || (expected === 'yes') === works ? everything : [];
  }
  const [from, to] = view.ends(does.branch);
  const [only, second] = liveAt(view, from, to);
  if (only === undefined) return works ? [] : everything;
  if (second !== undefined) return everything;
  const bounds = withNominalParts ? nominalSymptomVolts : symptomVolts;
  const { least, most } = bounds(stand, symptom, stand.spreadIn(view));
  const level = works ? least : most;
  const volts = curves.volts(only, from, to, Number.POSITIVE_INFINITY);
  const met = works ? whereAtLeast(volts, level) : whereAtMost(volts, level);
  if (!overlay.worn.has(does.branch)) return met;
  // Its own resistance is what is wrong: it must carry what it should, too (`worksIn`).
  const { ohms, reactanceOhms } = stand.circuit.branches[does.branch]?.impedance ?? {
    ohms: 1,
    reactanceOhms: 0,
  };
  const amps = curves.amps(only, does.branch);
  const enough = level / Math.hypot(ohms, reactanceOhms);
  return works ? intersect(met, whereAtLeast(amps, enough)) : unite([...met, ...whereAtMost(amps, enough)]);
}
