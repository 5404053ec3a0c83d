/** The diagnose floor: readings against the circuit, what bounds a fault, and what the sound circuit should do. */
export { type AuditAnswer, auditCircuit } from './audit.js';
export type { Discrepancy } from './bracket.js';
export {
  type CheckAnswer,
  type CheckVerdict,
  checkJob,
  type HasAllItNeeds,
  type Need,
  suspectsIn,
} from './check.js';
export type { Clearance } from './clearing/cleared.js';
export type { Witness } from './clearing/observation.js';
export type { Proven } from './clearing/proven.js';
export {
  type DiffAnswer,
  diffCircuits,
  isSameCircuit,
  type LoadChange,
  type OutcomeChange,
  type PartChange,
  type PointChange,
} from './diff/diff.js';
export type { Fact, FactKind } from './diff/part-facts.js';
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
export {
  type CostKind,
  type CostPart,
  minutes as workMinutes,
  probeCost,
  standingOf,
  stateCost,
  swapMinutes,
  totalMinutes,
} from './next/costs.js';
export { type NextAnswer, type NextOptions, type NoProposal, proposeNext } from './next/next.js';
export type { Proposal, ReadingOutcome } from './next/proposal.js';
export { type SafePlaces, safePlaces } from './next/safe-places.js';
export { type ReadingWorth, worthOf } from './next/worth.js';
export { derivePins, type Pin, type PinsAnswer, type Requirement } from './pins.js';
export {
  type AuditProblem,
  type AuditProblemData,
  allowableAuditCodes,
  auditSeverities,
} from './problems.js';
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
export { openedBy } from './suspects/opened.js';
export { partsOf, type Suspect } from './suspects/suspects.js';
export type { LookedState } from './testability/looked-states.js';
export { type TestabilityAnswer, type TestedFault, testFaults } from './testability/testability.js';
export {
  type HeldThreshold,
  holdThresholds,
  type Thresholds,
  testabilityProblems,
} from './testability/thresholds.js';
export { type TraceAnswer, type TracedOutput, type TracedSide, traceLoad } from './trace.js';
export { type LoadInStates, type Triage, triageOf } from './triage.js';
