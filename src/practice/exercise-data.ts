import { type Circuit, restState } from '../circuit/circuit.js';
import { workMinutes } from '../diagnose/diagnose.js';
import { type Symptom, usualInstrument } from '../meter/meter.js';
import type { Raw } from '../text/text.js';
import { stateValue } from './record.js';

/** What of an exercise anybody may read. */
export type OpenExercise = Omit<Raw.RawExercise, 'sealed'>;

/** The file that a learner is given, but for what is sealed. The fault is in it by its symptoms alone. */
export function openExercise(
  circuit: Circuit,
  circuitText: string,
  symptoms: readonly Symptom[],
  words: { readonly complaint: readonly string[]; readonly cautions: readonly string[] },
): OpenExercise {
  const { share, counts, resolution } = usualInstrument.accuracy;
  return {
    loadside: 'exercise/1',
    title: circuit.title,
    complaint: [...words.complaint],
    symptoms: symptoms.map(({ state, load, works }) => ({
      in: stateValue(state),
      load: load.name,
      works: works ? 'yes' : 'no',
    })),
    meter: { accuracy: { percent: share * 100, counts, resolution } },
    rest: Object.fromEntries(restState(circuit).settings),
    costs,
    cautions: [...words.cautions],
    circuit: blockText(circuitText),
  };
}

/** What each thing takes, in the words of the file. */
const costs: Readonly<Record<string, number>> = {
  'red lead': workMinutes.lead,
  'black lead': workMinutes.black,
  clamp: workMinutes.clamp,
  'other input': workMinutes.input,
  'switch set': workMinutes.switch,
  'set by hand': workMinutes.byHand,
  'temperature or level': workMinutes.condition,
  'live work': workMinutes.live,
  'live work with a clamp': workMinutes.liveClamp,
  'isolate and prove dead': workMinutes.isolate,
  'power back on': workMinutes.restore,
  'terminal lifted or put back': workMinutes.lift,
  'connector parted or joined': workMinutes.unplug,
  'part exchanged': workMinutes.swap,
};

/** One line end, and one at the end: so a block of text in a file gives it back. */
function blockText(text: string): string {
  return `${text.replace(/\r\n?/g, '\n').trimEnd()}\n`;
}
