import type { Ratio, Volts } from '../circuit/circuit.js';
import { magnitudes, type View, voltsSpread, workingVolts } from '../solve/solve.js';
import { usualInstrument } from './instrument.js';
import type { Symptom } from './readings.js';
import type { TestStand } from './test-stand.js';

/** Between which volts a load that a fault touches may be said to work or not: parts are within their tolerances. */
export interface SymptomVolts {
  /** With less it does not work. */
  readonly least: Volts;
  /** With more nobody says that it does not. */
  readonly most: Volts;
}

/** Tolerances that move a load's volts by less, or a fault that lowers them by less, are not why it stops (judgement, no source). */
const leastShare = 0.03;

/** With parts as they should be. `spread` is how far the supply may be off. */
export function nominalSymptomVolts(stand: TestStand, symptom: Symptom, spread: Ratio): SymptomVolts {
  const { does } = symptom.load;
  if (does.kind !== 'volts') return { least: 0, most: 0 };
  return { least: does.atLeast / (1 + spread), most: stand.fullVolts(symptom) / (1 - spread) };
}

/**
 * A sound appliance works, wherever its parts are in their tolerances. Under a fault one whose parts are off may stop
 * while the nominal one just goes on, or the other way round.
 */
export function symptomVolts(stand: TestStand, symptom: Symptom, spread: Ratio): SymptomVolts {
  const { does } = symptom.load;
  const { least, most } = nominalSymptomVolts(stand, symptom, spread);
  if (does.kind !== 'volts') return { least, most };
  const { sound, parts } = soundVolts(stand, symptom, does.branch);
  return {
    least: least / (1 + parts),
    most: Math.max(most, Math.min(most / (1 - parts), (1 - leastShare) * sound)),
  };
}

/** Volts across a load in the sound circuit, and how far parts within their tolerances move them. */
interface Sound {
  readonly sound: Volts;
  readonly parts: Ratio;
}

const known = new WeakMap<TestStand, WeakMap<Symptom, Sound>>();

function soundVolts(stand: TestStand, symptom: Symptom, branch: number): Sound {
  const ofStand = known.get(stand) ?? new WeakMap<Symptom, Sound>();
  known.set(stand, ofStand);
  const kept = ofStand.get(symptom);
  if (kept !== undefined) return kept;
  const sight = stand.look(symptom.state, []);
  const sound = sight.kind === 'steady' ? workingVolts(sight.view, branch) : 0;
  const parts = sight.kind === 'steady' && sound > 0 ? partSpread(sight.view, branch, sound) : 0;
  const found = { sound, parts };
  ofStand.set(symptom, found);
  return found;
}

function partSpread(view: View, branch: number, sound: Volts): Ratio {
  const [a, b] = view.ends(branch);
  const live = [...view.point.phasors.keys()].filter((frequency) => {
    const { re, im } = view.volts(frequency, a, b);
    return re !== 0 || im !== 0;
  });
  const [frequency] = live;
  if (frequency === undefined || live.length > 1) return 0;
  const { low, high } = magnitudes(voltsSpread(view, frequency, a, b, usualInstrument.inputOhms, new Map()));
  const parts = Math.max(high / sound - 1, 1 - low / sound);
  return parts < leastShare ? 0 : parts;
}
