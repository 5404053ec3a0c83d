import type { Circuit, Ratio, Volts } from '../circuit/circuit.js';
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
export const leastShare = 0.03;

/** With parts as they should be. `spread` is how far the supply may be off. */
export function nominalSymptomVolts(stand: TestStand, symptom: Symptom, spread: Ratio): SymptomVolts {
  const { does } = symptom.load;
  if (does.kind !== 'volts') return { least: 0, most: 0 };
  return { least: does.atLeast / (1 + spread), most: stand.fullVolts(symptom) / (1 - spread) };
}

/**
 * A sound appliance works, wherever its parts are in their tolerances. Under a fault one whose parts are off may stop
 * while the nominal one just goes on, or the other way round: `view` is of the network with the fault.
 */
export function symptomVolts(stand: TestStand, symptom: Symptom, spread: Ratio, view: View): SymptomVolts {
  const { does } = symptom.load;
  const nominal = nominalSymptomVolts(stand, symptom, spread);
  if (does.kind !== 'volts') return nominal;
  const parts = Math.min(partSpread(view, does.branch), widest(stand.circuit));
  return within(stand, symptom, nominal, parts < leastShare ? 0 : parts);
}

/** As far as tolerances could move a load's volts in any network: holds every `symptomVolts`, without a view. */
export function widestSymptomVolts(stand: TestStand, symptom: Symptom, spread: Ratio): SymptomVolts {
  return within(stand, symptom, nominalSymptomVolts(stand, symptom, spread), widest(stand.circuit));
}

/** Bounds with nominal parts, widened by what tolerances move. */
function within(
  stand: TestStand,
  symptom: Symptom,
  { least, most }: SymptomVolts,
  parts: Ratio,
): SymptomVolts {
  return {
    least: least / (1 + parts),
    most: Math.max(most, Math.min(most / (1 - parts), (1 - leastShare) * soundVolts(stand, symptom))),
  };
}

const knownSound = new WeakMap<TestStand, WeakMap<Symptom, Volts>>();

/** Volts across a load in the sound circuit. */
function soundVolts(stand: TestStand, symptom: Symptom): Volts {
  const ofStand = knownSound.get(stand) ?? new WeakMap<Symptom, Volts>();
  knownSound.set(stand, ofStand);
  const kept = ofStand.get(symptom);
  if (kept !== undefined) return kept;
  const { does } = symptom.load;
  const sight = stand.look(symptom.state, []);
  const sound = sight.kind === 'steady' && does.kind === 'volts' ? workingVolts(sight.view, does.branch) : 0;
  ofStand.set(symptom, sound);
  return sound;
}

const knownWidest = new WeakMap<Circuit, Ratio>();

/** Two parts in series, one at either end of the circuit's largest tolerance. */
export function widest(circuit: Circuit): Ratio {
  const kept = knownWidest.get(circuit);
  if (kept !== undefined) return kept;
  const tolerance = Math.max(0, ...circuit.branches.map(({ impedance }) => impedance.tolerance));
  const parts = Math.min(mostShare, (2 * tolerance) / (1 - tolerance));
  knownWidest.set(circuit, parts);
  return parts;
}

/** A part whose value nobody knows tells nothing of its neighbours' volts (judgement, no source). */
const mostShare = 0.5;

/** How far parts within their tolerances move the volts of a load. */
function partSpread(view: View, branch: number): Ratio {
  return spreadBetween(view, view.ends(branch), workingVolts(view, branch));
}

/** The same between any two places; where several frequencies are there, of the one they move most. */
export function spreadBetween(view: View, [a, b]: readonly [number, number], volts: Volts): Ratio {
  if (volts === 0) return 0;
  const each = [...view.point.phasors.keys()].map((frequency) => {
    const { re, im } = view.volts(frequency, a, b);
    const own = Math.hypot(re, im);
    if (own === 0) return 0;
    const spread = voltsSpread(view, frequency, a, b, usualInstrument.inputOhms, new Map());
    const { low, high } = magnitudes(spread);
    return Math.max(high - own, own - low) / volts;
  });
  return Math.max(0, ...each);
}
