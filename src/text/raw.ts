/** The files as written, before anything is made of them: types generated from schemas/. */
export type * from './raw-circuit.generated.js';
export type { RawExercise, Sealed } from './raw-exercise.generated.js';
export type { RawJob } from './raw-job.generated.js';
export type { Accuracy, JobRecord, Meter, RawReadings, Reading, Symptom } from './raw-readings.generated.js';
export type { Act, RawRecord } from './raw-record.generated.js';
