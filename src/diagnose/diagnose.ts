/** The diagnose floor: readings against the circuit, what bounds a fault, and what the sound circuit should do. */
export { type AuditAnswer, auditCircuit } from './audit.js';
export type { Discrepancy } from './bracket.js';
export { type CheckAnswer, type CheckVerdict, checkJob, type HasAllItNeeds, type Need } from './check.js';
export type { Clearance } from './cleared.js';
export type { CostKind, CostPart } from './costs.js';
export type { Doubt, Likeness, MovedSwitch } from './doubts.js';
export type { ReadingEvidence, SymptomEvidence, TripEvidence } from './evidence.js';
export type { Slip, SlipEffect } from './exchange.js';
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
export { type NextAnswer, type NextOptions, type NoProposal, proposeNext } from './next.js';
export type { Witness } from './observation.js';
export { derivePins, type Pin, type PinsAnswer, type Requirement } from './pins.js';
export { type AuditProblem, type AuditProblemData, auditSeverities } from './problems.js';
export type { Proposal, ReadingOutcome } from './proposal.js';
export type { Proven } from './proven.js';
export type { SlipProof } from './slip-proof.js';
export type { Suspect } from './suspects.js';
export type { LookedState } from './testability/looked-states.js';
export { type TestabilityAnswer, type TestedFault, testFaults } from './testability/testability.js';
export { type HeldThreshold, holdThresholds } from './testability/thresholds.js';
export { type TraceAnswer, type TracedOutput, type TracedSide, traceLoad } from './trace.js';
export { type LoadInStates, type Triage, triageOf } from './triage.js';
