import type { CheckReport, Json } from '../answers.js';
import type { CheckAnswer, Doubt, Likeness } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { count } from './number.js';
import { listed } from './phrases.js';
import { wordShown } from './word-expected.js';
import { faultJson, wordMode, wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** What speaks against the observations themselves: another state, repeats that differ, one against all others. */
export function doubtLines(answer: CheckAnswer): string[] {
  const moved = answer.movedSwitches.map(({ state, likelier }) => {
    const states = likelier.map(wordState);
    return `All readings given for ${wordState(state)} are what the sound circuit gives in ${listed(states, 'or')}: was it in that state?`;
  });
  const differing = answer.disagreements.map(({ readings }) => {
    const numbers = readings.map(({ index }) => String(index));
    const values = readings.map(wordShown);
    return `Readings ${listed(numbers, 'and')} are of one place in one state and differ: ${listed(values, 'and')}. A connection that comes and goes does that; move the wires, and read again.`;
  });
  return [...moved, ...differing, ...answer.doubts.map((doubt) => wordDoubt(answer, doubt))];
}

function wordDoubt({ circuit }: CheckAnswer, { observation, leaves, likenesses }: Doubt): string {
  const what =
    observation.kind === 'reading'
      ? `reading ${observation.reading.index}`
      : `symptom ${observation.symptom.index}`;
  const [first] = leaves;
  const rest =
    first === undefined
      ? 'everything else is as the sound circuit gives it'
      : leaves.length === 1
        ? `everything else is explained: ${wordPart(circuit, first.part)} ${wordMode(circuit, first)}`
        : `${count(leaves.length, 'single fault')} explain everything else, ${wordPart(circuit, first.part)} ${wordMode(circuit, first)} among them`;
  const like = likenesses.map((each) => wordLikeness(circuit, each));
  const could =
    like.length === 0 ? 'Take it again.' : `Take it again: it would be right ${listed(like, 'or')}.`;
  return `Set ${what} aside, and ${rest}. ${could}`;
}

function wordLikeness(circuit: CheckAnswer['circuit'], likeness: Likeness): string {
  switch (likeness.kind) {
    case 'state':
      return `in ${wordState(likeness.state)}`;
    case 'place':
      return `with the ${likeness.lead} lead on ${clean(circuit.nodes[likeness.node]?.name ?? '')}`;
    case 'input':
      return 'with the other input of the meter';
  }
}

/** The keys of the `check` answer that tell of this. */
export function doubtsJson({
  movedSwitches,
  disagreements,
  doubts,
  circuit,
}: CheckAnswer): Pick<CheckReport, 'movedSwitches' | 'disagreements' | 'doubts'> {
  return {
    movedSwitches: movedSwitches.map(({ state, likelier }) => ({
      in: state.changes,
      likelier: likelier.map((each) => each.changes),
    })),
    disagreements: disagreements.map(({ readings }) => readings.map(({ index }) => index)),
    doubts: doubts.map(({ observation, leaves, likenesses }) => ({
      ...(observation.kind === 'reading'
        ? { reading: observation.reading.index }
        : { symptom: observation.symptom.index }),
      leaves: leaves.map(faultJson),
      likenesses: likenesses.map((each) => likenessJson(circuit, each)),
    })),
  };
}

function likenessJson({ nodes }: CheckAnswer['circuit'], likeness: Likeness): Json.Likeness {
  switch (likeness.kind) {
    case 'state':
      return { in: likeness.state.changes };
    case 'place':
      return { [likeness.lead]: nodes[likeness.node]?.name ?? '' };
    case 'input':
      return { input: 'other' };
  }
}
