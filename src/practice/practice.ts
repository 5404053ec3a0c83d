/** The practice floor: planting a fault, a bench to look for it on, and grading how that was done. */
export type { Unsafe } from './bench.js';
export { drawExercise, type FaultClass, faultClasses } from './draw.js';
export {
  type AnswerSecret,
  type BenchSecret,
  type Difficulty,
  difficulties,
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
export { changedLine, lineOf, type RecordLine, replay, sealedText, shownText, stateValue } from './record.js';
export { type Act, type ActOf, Session } from './session.js';
export type { Ask } from './technician.js';
export { readVerdict, type Verdict } from './verdict.js';
