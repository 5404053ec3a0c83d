/** The diagnose floor: readings against the circuit, what bounds a fault, and what the sound circuit should do. */
export { type AuditAnswer, auditCircuit } from './audit.js';
export type { Discrepancy } from './bracket.js';
export { type CheckAnswer, type CheckVerdict, checkJob, type HasAllItNeeds, type Need } from './check.js';
export type { ReadingEvidence, SymptomEvidence } from './evidence.js';
export {
  type ExpectAnswer,
  type ExpectedLoad,
  type ExpectedPoint,
  type ExpectQuestion,
  expectEveryState,
  expectPoints,
  type SweepAnswer,
  usualBlack,
} from './expect.js';
export type { LookedState } from './looked-states.js';
export { derivePins, type Pin, type PinsAnswer, type Requirement } from './pins.js';
export { type AuditProblem, type AuditProblemData, auditSeverities } from './problems.js';
export type { Suspect } from './suspects.js';
export { type TestabilityAnswer, type TestedFault, testFaults } from './testability.js';
export { type HeldThreshold, holdThresholds } from './thresholds.js';
export { type TraceAnswer, type TracedOutput, type TracedSide, traceLoad } from './trace.js';
