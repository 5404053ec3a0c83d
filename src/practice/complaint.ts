/** What a customer and a technician note before any meter is out: loads that do wrong, and those that do right. */
import { type Circuit, type Load, namedStates } from '../circuit/circuit.js';
import { type Job, type Symptom, usualInstrument } from '../meter/meter.js';
import type { Appliance } from './appliance.js';

/** What somebody without a meter can see or hear at work: not an output of a module that only closes a contact. */
export function seenLoads({ loads, actuators }: Circuit): Load[] {
  return [...loads.values()].filter(({ name, part, job, does }) => {
    const actuator = does.kind === 'actuator' ? actuators[does.actuator] : undefined;
    const closes = actuator?.kind === 'output' && actuator.branch !== undefined;
    // What the circuit calls it where the file does not.
    return !(closes && job === `${name.slice(part.length + 1)} output closes`);
  });
}

/** Symptoms of the broken appliance; `wrong` are those of loads that do other than in the sound one. */
export function symptomsOf(
  circuit: Circuit,
  sound: Appliance,
  broken: Appliance,
  loads: readonly Load[] = [...circuit.loads.values()],
): { readonly symptoms: readonly Symptom[]; readonly wrong: readonly Symptom[] } {
  const symptoms: Symptom[] = [];
  const wrong: Symptom[] = [];
  for (const state of namedStates(circuit)) {
    for (const load of loads) {
      const works = broken.works(load.name, state);
      if (works === undefined) continue;
      const isWrong = works !== sound.works(load.name, state);
      if (!isWrong && !works) continue;
      const symptom = { index: symptoms.length + 1, state, load, works };
      symptoms.push(symptom);
      if (isWrong) wrong.push(symptom);
    }
  }
  return { symptoms, wrong };
}

/** The job as it stands before the first reading. */
export function openingJob(symptoms: readonly Symptom[], supply: ReadonlyMap<string, number>): Job {
  return { meter: usualInstrument, supply, symptoms, trips: [], readings: [] };
}
