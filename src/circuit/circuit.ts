/** The circuit floor: what the appliance is, in which state, with which faults; ideal branches for the solver. */
export { type Branch, type BranchRole, type Gate, isConductor } from './branch.js';
export { type BuildResult, buildCircuit, wholeCircuit } from './build.js';
export { type Designated, designateFault, listFaults } from './designate.js';
export { type Change, type Fault, faultName, type Mode } from './fault.js';
export type {
  Circuit,
  CircuitNode,
  Load,
  Module,
  ModuleInput,
  Part,
  PinMapEntry,
  Rule,
  Supply,
  SupplyLeg,
  Switch,
} from './model.js';
export { type CircuitProblem, type CircuitProblemData, circuitSeverities } from './problems.js';
export {
  isClosedByState,
  readState,
  restState,
  type State,
  type StateChanges,
  stateKey,
  withSetting,
} from './state.js';
export type { Amps, Minutes, Ohms, Ratio, Volts } from './units.js';
