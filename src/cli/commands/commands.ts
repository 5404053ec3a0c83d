/** What the option table in program.ts calls once it knows the command; bundled apart so that help need not load it. */

export { answerJobs } from '../batch/answer-jobs.js';
export { type BatchOptions, runBatch } from './batch.js';
export { type CheckOptions, runCheck } from './check.js';
export { type ExpectOptions, runExpect } from './expect.js';
export { type FaultsOptions, runFaults } from './faults.js';
export { type NextOptions, runNext } from './next.js';
export { runPins } from './pins.js';
export { runTrace, type TraceOptions } from './trace.js';
export { runValidate } from './validate.js';
