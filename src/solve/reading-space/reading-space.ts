/** Reading space: faults laid over a solved network in closed form, and followed through all that contacts then do. */
export { AtWorst } from './at-worst.js';
export { FaultWalk } from './fault-walk.js';
export type { SeenNetwork, Sums } from './seen.js';
