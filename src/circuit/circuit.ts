/** The circuit floor: what the appliance is, in which state, with which faults; ideal branches for the solver. */
export { type Assembled, assemble, type Piece } from './assemble.js';
export { type Branch, type BranchRole, type Gate, type Impedance, isConductor } from './branch.js';
export { type BuildResult, buildCircuit, wholeCircuit } from './build.js';
export { curveOhms } from './curve.js';
export { transformerOpensAt } from './defaults.js';
export { type Designated, designateFault, listFaults } from './designate.js';
export { type Change, type Fault, faultName, type Mode, type VariableFault } from './fault.js';
export { asLifted } from './leaks.js';
export type {
  Actuator,
  Circuit,
  CircuitNode,
  Connector,
  Face,
  Load,
  Module,
  ModuleInput,
  Part,
  PartKindName,
  PinMapEntry,
  Protector,
  Rule,
  Supply,
  SupplyLeg,
  Switch,
} from './model.js';
export { namedStates } from './named-states.js';
export {
  allowableCircuitCodes,
  type CircuitProblem,
  type CircuitProblemData,
  circuitSeverities,
} from './problems.js';
export { readState } from './read-state.js';
export {
  isClosedByState,
  restState,
  type State,
  type StateChanges,
  stateKey,
  withLoose,
  withPowerOff,
  withSetting,
  withSwitchesAtRest,
} from './state.js';
export type { Amps, Minutes, Ohms, Ratio, Volts } from './units.js';
export { ownerOf, type WireEnd, wireEndsByOwner } from './wire-ends.js';
export { inTerminalOrder } from './wrong-pins.js';
