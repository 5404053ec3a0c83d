/** What is called most: a bundle of its own, so that a short call loads nothing of what draws, grades or writes paper. */

export { answerJobs } from '../batch/answer-jobs.js';
export { type BatchOptions, runBatch } from './batch.js';
export { type CheckOptions, runCheck } from './check.js';
export { circuitNames } from './circuit-names.js';
export { type ExpectOptions, runExpect } from './expect.js';
export { type NextOptions, runNext } from './next.js';
export { runValidate, type ValidateOptions } from './validate.js';
