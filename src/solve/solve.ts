/** The solve floor: ideal branches to voltages and currents, in any state and with any fault. */
export type { Complex } from './complex.js';
export { everything, type Interval, type Intervals, intersect, unite } from './interval.js';
export { type Chattering, onUnderWay, otherStandings, racesTo } from './operating-point.js';
export { type Plan, type PlanFor, planCircuit, planOf, type SupplyScale } from './plan.js';
export { type Overload, overloadPath } from './protection.js';
export { AtWorst, FaultWalk, type SeenNetwork, type Sums } from './reading-space/reading-space.js';
export { pathsToPair, type ShortCircuit, type Step, type SupplyPath } from './supply-path.js';
export { type CutOff, cutOff, isDcBetween, type Stray, strayOn } from './surroundings.js';
export { type Control, type Sweep, sweepStates } from './sweep.js';
export type { TiedVolts } from './tied-volts.js';
export { magnitudes, type SupplySpreads } from './tolerance/spread.js';
export { ampsSpread, ohmsSpread, voltsSpread } from './tolerance/tolerance.js';
export {
  type Curves,
  curvesOfOhms,
  curvesOfShare,
  type ValueCurve,
  valueAt,
  whereAtLeast,
  whereAtMost,
  whereBetween,
} from './value-curve.js';
export { isPresent, isSameNetwork, rmsVolts, type View } from './view.js';
export { type Sight, Workbench } from './workbench.js';
export { branchFigures, lacksOnlyVolts, loadFigures, type Works, workingVolts, worksIn } from './works.js';
