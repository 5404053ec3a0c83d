/** The practice floor: planting a fault, a bench to look for it on, and grading how that was done. */

export type { Ask } from './ask.js';
export type { Unsafe } from './bench.js';
export { drawExercise, type FaultClass } from './draw.js';
export {
  type AnswerSecret,
  type BenchSecret,
  type Difficulty,
  difficultyOf,
  type Exercise,
  type Par,
} from './exercise.js';
export { type OpenExercise, openExercise } from './exercise-data.js';
export { fullMarks, type Grade, Grader, type Idle, type MarkName, type Step } from './grade.js';
export {
  faultParts,
  isSolvable,
  kindOfFault,
  type Planted,
  Planter,
  type Planting,
  type Unsuitable,
} from './plant.js';
export { type PracticeProblem, type PracticeProblemData, practiceSeverities } from './problems.js';
export { changedLine, lineOf, type RecordLine, replay, sealedText } from './record.js';
export { type Act, type ActOf, Session } from './session.js';
export { readVerdict, type Verdict } from './verdict.js';
