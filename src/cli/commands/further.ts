/** What the option table in program.ts calls once it knows the command, those called most aside (everyday.ts). */

export { runCompletion } from './completion.js';
export { runDiff } from './diff.js';
export { type DrawOptions, runDraw } from './draw.js';
export { type FaultsOptions, runFaults } from './faults.js';
export { type FormatOptions, runFormat } from './format.js';
export { type NewOptions, runNew } from './new.js';
export { runPins } from './pins.js';
export { type AnswerOptions, runPracticeAnswer } from './practice/answer.js';
export { type GradeOptions, runPracticeGrade } from './practice/grade.js';
export { type MeasureOptions, runPracticeMeasure } from './practice/measure.js';
export { type NewOptions as PracticeNewOptions, runPracticeNew } from './practice/new.js';
export type { ExerciseOptions } from './practice/session.js';
export { runPracticeSwap } from './practice/swap.js';
export { runPracticeTry, type TryOptions } from './practice/try.js';
export { type ReportOptions, runReport } from './report.js';
export { runRules } from './rules.js';
export { runSchema } from './schema.js';
export { runSheet, type SheetOptions } from './sheet.js';
export { runTrace, type TraceOptions } from './trace.js';
