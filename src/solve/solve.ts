/** The solve floor: ideal branches to voltages and currents, in any state and with any fault. */
export type { Chattering, ShortCircuit } from './operating-point.js';
export { type Plan, planCircuit, type SupplyScale } from './plan.js';
export { pathsToPair, type Step, type SupplyPath } from './supply-path.js';
export { type CutOff, cutOff, driverHertz, highestVolts, impedanceSpread } from './surroundings.js';
export { type Control, type Sweep, sweepStates } from './sweep.js';
export type { TiedVolts } from './tied-volts.js';
export { type Complex, isPresent, rmsVolts, type View } from './view.js';
export { type Sight, Workbench } from './workbench.js';
export { branchFigures, loadFigures, type Works, worksIn } from './works.js';
