import type { Volts } from '../../circuit/circuit.js';
import {
  nominalSymptomVolts,
  type Symptom,
  type SymptomVolts,
  symptomVolts,
  type TestStand,
  widestSymptomVolts,
} from '../../meter/meter.js';
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

/** Where parts are: as they should be, anywhere in their tolerances, or (a first look, which lets more through) anywhere near. */
export type PartsAre = 'nominal' | 'in tolerance' | 'anywhere';

/**
 * A load's volts are a curve, and enough of them or not; what an actuator does is the same throughout a regime. Of values
 * outside those asked for nothing is told.
 */
export function fittingSymptom(
  stand: TestStand,
  symptom: Symptom,
  look: Look,
  values: Intervals,
  parts: PartsAre,
): Intervals {
  const { load, works } = symptom;
  const { does } = load;
  const { view } = look;
  if (does.kind === 'actuator' || !lacksOnlyVolts(view, load)) {
    const expected = stand.worksIn(view, symptom);
    return expected === 'marginal' || (expected === 'yes') === works ? values : [];
  }
  const [from, to] = view.ends(does.branch);
  const [only, second] = liveAt(view, from, to);
  if (only === undefined) return works ? [] : values;
  if (second !== undefined) return values;
  const spread = stand.spreadIn(view);
  const fits = ({ least, most }: SymptomVolts) =>
    intersect(values, whereKept(stand, symptom, look, only, works ? least : most));
  const widest = parts === 'nominal' ? [] : fits(widestSymptomVolts(stand, symptom, spread));
  if (parts === 'anywhere') return widest;
  const nominal = fits(nominalSymptomVolts(stand, symptom, spread));
  if (parts === 'nominal' || isSame(nominal, widest)) return nominal;
  // How far tolerances move the volts changes little over the values at which they decide.
  const edges = (nominal.length > 0 ? nominal : widest).flatMap(({ low, high }) => [low, high]);
  const bounds = [...new Set(edges)].flatMap((value) => {
    const at = look.at(value);
    return at === undefined ? [] : symptomVolts(stand, symptom, spread, at);
  });
  return unite([...nominal, ...bounds.flatMap(fits)]);
}

const kept = new WeakMap<Look, Map<string, Intervals>>();
/** Levels of a look that are kept; most are met by every job. */
const mostLevels = 100;

function whereKept(
  stand: TestStand,
  symptom: Symptom,
  look: Look,
  frequency: number,
  level: Volts,
): Intervals {
  const known = kept.get(look) ?? new Map<string, Intervals>();
  kept.set(look, known);
  const key = `${symptom.load.name} ${symptom.works} ${frequency} ${level}`;
  const found = known.get(key) ?? where(stand, symptom, look, frequency, level);
  if (known.size < mostLevels) known.set(key, found);
  return found;
}

/** At which values a load has at least some volts, or at most those. */
function where(
  stand: TestStand,
  { load: { does }, works }: Symptom,
  { view, curves }: Look,
  frequency: number,
  level: Volts,
): Intervals {
  if (does.kind === 'actuator') return everything;
  const [from, to] = view.ends(does.branch);
  const volts = curves.volts(frequency, from, to, Number.POSITIVE_INFINITY);
  const met = works ? whereAtLeast(volts, level) : whereAtMost(volts, level);
  if (!view.point.overlay.worn.has(does.branch)) return met;
  // Its own resistance is what is wrong: it must carry what it should, too (`worksIn`).
  const { ohms, reactanceOhms } = stand.circuit.branches[does.branch]?.impedance ?? {
    ohms: 1,
    reactanceOhms: 0,
  };
  const amps = curves.amps(frequency, does.branch);
  const enough = level / Math.hypot(ohms, reactanceOhms);
  return works ? intersect(met, whereAtLeast(amps, enough)) : unite([...met, ...whereAtMost(amps, enough)]);
}

function isSame(a: Intervals, b: Intervals): boolean {
  return a.length === b.length && a.every(({ low, high }, at) => low === b[at]?.low && high === b[at]?.high);
}
