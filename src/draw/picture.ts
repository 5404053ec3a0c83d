import { type Circuit, type Fault, type State, stateKey } from '../circuit/circuit.js';
import type { CheckAnswer, NextAnswer, Proposal, ReadingEvidence } from '../diagnose/diagnose.js';
import type { Element } from './elements.js';
import { findLadder, type Ladder } from './ladder.js';
import { lookAt, type Scene } from './scene.js';

/** What a drawing shows: the wiring, in a state or without one, and what a job found in it. */
export interface Picture {
  readonly ladder: Ladder;
  readonly scene: Scene;
  readonly job?: JobPicture;
}

/** A job's readings and findings, by where they are on the ladder. */
export interface JobPicture {
  readonly answer: CheckAnswer;
  /** Readings taken in the state that is drawn. */
  readonly here: readonly ReadingEvidence[];
  readonly elsewhere: readonly ReadingEvidence[];
  /** Elements of the parts that bound the fault, by `Element.index`. */
  readonly bracket: ReadonlySet<number>;
  /** Where the leads go next; its state may be another one than is drawn. */
  readonly next?: Proposal;
  readonly nextIsHere: boolean;
}

/** A circuit in a state, with faults planted; without a state the wiring alone. */
export function drawCircuit(circuit: Circuit, state?: State, faults: readonly Fault[] = []): Picture {
  const ladder = findLadder(circuit);
  return { ladder, scene: lookAt(ladder, state, faults) };
}

/**
 * A job on its circuit, as the sound circuit is in one state: the one given, else that of the first discrepancy, else
 * that of the first reading.
 */
export function drawJob(answer: CheckAnswer, next: NextAnswer, given?: State): Picture {
  const { circuit, readings, symptoms, firstDiscrepancy } = answer;
  const { kind, index } = firstDiscrepancy ?? { kind: 'reading', index: 1 };
  const first =
    kind === 'symptom'
      ? symptoms.find(({ symptom }) => symptom.index === index)?.symptom.state
      : readings.find(({ reading }) => reading.index === index)?.reading.state;
  const state = given ?? first;
  const picture = drawCircuit(circuit, state);
  const isHere = (other: State) => state !== undefined && stateKey(other) === stateKey(state);
  const [proposal] = next.proposals;
  return {
    ...picture,
    job: {
      answer,
      here: readings.filter(({ reading }) => isHere(reading.state)),
      elsewhere: readings.filter(({ reading }) => !isHere(reading.state)),
      bracket: bracketIn(picture.ladder, firstDiscrepancy?.bounds ?? []),
      ...(proposal === undefined ? {} : { next: proposal }),
      nextIsHere: proposal !== undefined && isHere(proposal.state),
    },
  };
}

/** Whatever is of a part that bounds the fault; a connector stands for its pins. */
function bracketIn({ elements }: Ladder, bounds: readonly string[]): ReadonlySet<number> {
  const parts = new Set(bounds);
  const isIn = ({ part }: Element) => parts.has(part) || parts.has(part.split(':')[0] ?? part);
  return new Set(elements.filter(isIn).map(({ index }) => index));
}
