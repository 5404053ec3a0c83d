/** The answer floor: text or data in, answers as data out. What the library offers and the commands share; no disk, no terminal. */
export { isAllowable, sift, unused } from './allowances.js';
export { type Comparison, compareJob } from './compare-job.js';
export { type Included, isAssembly, type OpenedCircuit, openCircuit, openJob } from './open-files.js';
export { isUnreadable, type LeftOut, type Opened, rate, ratedList, severities, unopened } from './opened.js';
export { readCircuitGiven, readReadings } from './read-files.js';
export { unusableFields } from './unusable.js';
