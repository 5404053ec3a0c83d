/** The report floor: answers and problems to text and JSON. It reads, and never computes. */
export { checkJson, checkTable } from './check-report.js';
export { asciiOnly, clean } from './clean.js';
export { answerHead, jsonLine, showJson } from './envelope.js';
export { expectJson, expectTable } from './expect-report.js';
export { faultsJson } from './faults-json.js';
export { faultsTable } from './faults-report.js';
export { nextJson, nextTable } from './next-report.js';
export { pinsJson, pinsTable } from './pins-report.js';
export { problemFields, type RatedProblem, showProblems, type TerminalStyle } from './show-problem.js';
export { sweepJson, sweepTable } from './sweep-report.js';
export { traceJson, traceTable } from './trace-report.js';
export { isValid, type ValidatedFile, validateJson, validateTable } from './validate-report.js';
export { version } from './version.js';
export type { Problem } from './word-problem.js';
