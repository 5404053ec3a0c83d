/** What the option table in program.ts calls once it knows the command; bundled apart so that help need not load it. */

export { type CheckOptions, runCheck } from './check.js';
export { type DrawOptions, runDraw } from './draw.js';
export { type ExpectOptions, runExpect } from './expect.js';
export { type FaultsOptions, runFaults } from './faults.js';
export { type NextOptions, runNext } from './next.js';
export { runPins } from './pins.js';
export { type ReportOptions, runReport } from './report.js';
export { runSheet, type SheetOptions } from './sheet.js';
export { runTrace, type TraceOptions } from './trace.js';
export { runValidate } from './validate.js';
