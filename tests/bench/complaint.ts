/** What a customer and a technician note before any meter is out: loads that do wrong, and those that do right. */
import { type Circuit, readState, restState, type State, withLoose } from '../../src/circuit/circuit.js';
import { displayError } from '../../src/meter/instrument.js';
import { instrument, type Job, type Symptom, usualInstrument } from '../../src/meter/meter.js';
import type { Appliance } from './appliance.js';

/** Rest and the named states, as a technician would try them. */
export function namedStates(circuit: Circuit): State[] {
  const named = [...circuit.states.keys()].map(
    (name) => readState(circuit, name, circuit.document, []).state,
  );
  return [restState(circuit), ...named];
}

/** Symptoms of the broken appliance; `wrong` is how many loads do other than in the sound one. */
export function symptomsOf(
  circuit: Circuit,
  sound: Appliance,
  broken: Appliance,
): { readonly symptoms: readonly Symptom[]; readonly wrong: number } {
  const symptoms: Symptom[] = [];
  let wrong = 0;
  for (const state of namedStates(circuit)) {
    for (const load of circuit.loads.values()) {
      const works = broken.works(load.name, state);
      if (works === undefined) continue;
      const isWrong = works !== sound.works(load.name, state);
      if (isWrong) wrong += 1;
      if (isWrong || works) symptoms.push({ index: symptoms.length + 1, state, load, works });
    }
  }
  return { symptoms, wrong };
}

/**
 * What the outlet measures with the appliance's wires off it, so that no load pulls it down; noted only where it is a
 * house's voltage and not a fault.
 */
export function measuredOutlets(circuit: Circuit, appliance: Appliance): Map<string, number> {
  const measured = new Map<string, number>();
  for (const { name, legs, stated, tolerance, volts } of circuit.supplies.values()) {
    const [red, ...others] = legs.filter((leg) => leg.live);
    const black = legs.find((leg) => !leg.live && leg.name !== 'earth') ?? others[0];
    if (red === undefined || black === undefined) continue;
    const terminals = new Set(legs.map(({ node }) => circuit.nodes[node]?.name ?? ''));
    const unloaded = withLoose(restState(circuit), terminals, new Set());
    const where = { kind: 'between', red: red.node, black: black.node } as const;
    const shown = appliance.shows(unloaded, { where, unit: 'V', meter: usualInstrument });
    if (shown.kind !== 'value') continue;
    const nominal = black.live ? stated : volts;
    const volted = (shown.value / nominal) * stated;
    const error = displayError(usualInstrument.accuracy, nominal) / nominal;
    if (Math.abs(volted / stated - 1) <= tolerance + error) measured.set(name, Number(volted.toPrecision(6)));
  }
  return measured;
}

/** The job as it stands before the first reading. */
export function openingJob(symptoms: readonly Symptom[], supply: ReadonlyMap<string, number>): Job {
  return { meter: instrument('high-impedance'), supply, symptoms, trips: [], readings: [] };
}
