/** The diagnose floor: readings against the circuit, what bounds a fault, and what the sound circuit should do. */
export { type AuditAnswer, auditCircuit } from './audit.js';
export type { Discrepancy } from './bracket.js';
export { type CheckAnswer, type CheckVerdict, checkJob, type HasAllItNeeds, type Need } from './check.js';
export type { Clearance } from './clearing/cleared.js';
export type { Witness } from './clearing/observation.js';
export type { Proven } from './clearing/proven.js';
export type { Doubt, Likeness, MovedSwitch } from './doubts/doubts.js';
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
export type { CostKind, CostPart } from './next/costs.js';
export { type NextAnswer, type NextOptions, type NoProposal, proposeNext } from './next/next.js';
export type { Proposal, ReadingOutcome } from './next/proposal.js';
export { derivePins, type Pin, type PinsAnswer, type Requirement } from './pins.js';
export { type AuditProblem, type AuditProblemData, auditSeverities } from './problems.js';
export {
  type Exchange,
  listReconnections,
  type ReconnectAnswer,
  type Reconnection,
  reconnectable,
  type Shift,
  type TerminalRow,
} from './sheet/reconnect.js';
export type { Stretch } from './sheet/walk.js';
export {
  makeSheet,
  type SheetAnswer,
  type SheetReading,
  type SheetSection,
  type Worksheet,
} from './sheet/worksheet.js';
export type { Slip, SlipEffect } from './slips/exchange.js';
export type { SlipProof } from './slips/slip-proof.js';
export type { ReadingEvidence, SymptomEvidence, TripEvidence } from './suspects/evidence.js';
export type { Suspect } from './suspects/suspects.js';
export type { LookedState } from './testability/looked-states.js';
export { type TestabilityAnswer, type TestedFault, testFaults } from './testability/testability.js';
export { type HeldThreshold, holdThresholds } from './testability/thresholds.js';
export { type TraceAnswer, type TracedOutput, type TracedSide, traceLoad } from './trace.js';
export { type LoadInStates, type Triage, triageOf } from './triage.js';
