/** The meter floor: instruments, readings, and what a reading should be. */
export { compare, type Verdict } from './compare.js';
export {
  type Expected,
  floatsIn,
  isAsNominal,
  isFarOff,
  mostVolts,
  nominalVolts,
  strayVolts,
  type Unit,
} from './expected.js';
export { displayError, type Input, type Instrument, instrument, usualInstrument } from './instrument.js';
export { type MeterProblem, type MeterProblemData, meterSeverities } from './problems.js';
export { couldReadAlike } from './read-alike.js';
export {
  type Blank,
  type Expectation,
  type Job,
  type JobRecord,
  type Reading,
  readExpectations,
  readJob,
  type Shown,
  type Symptom,
  type Trip,
  type Where,
} from './readings.js';
export { type Impossible, impossibleReading, readingScreen } from './screened-reading.js';
export {
  canOutputBe,
  mayBeAtLimit,
  mayOutputBe,
  mayStandEitherWay,
  sensesOf,
  soundVoltsAt,
} from './sense-limit.js';
export { measuredSupplies, nominalSupplies } from './supply-knowledge.js';
export { nominalSymptomVolts, type SymptomVolts, symptomVolts, widestSymptomVolts } from './symptom-volts.js';
export {
  type Probe,
  probeKey,
  probeOf,
  probeOfBlank,
  type SupplyKnowledge,
  standOf,
  TestStand,
  type Unsettled,
} from './test-stand.js';
