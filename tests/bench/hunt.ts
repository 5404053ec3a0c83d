/** From a complaint to a part: readings one after the other, each chosen by a strategy and taken on the appliance. */
import type { Circuit } from '../../src/circuit/circuit.js';
import { type CheckAnswer, checkJob } from '../../src/diagnose/diagnose.js';
import type { Job } from '../../src/meter/meter.js';
import type { Appliance } from './appliance.js';
import type { Strategy } from './technician.js';

export interface Hunt {
  readonly job: Job;
  readonly answer: CheckAnswer;
}

/** Nobody takes more readings than this on one fault. */
const mostReadings = 80;

export function hunt(circuit: Circuit, opening: Job, appliance: Appliance, next: Strategy): Hunt {
  let job = opening;
  for (;;) {
    const answer = checkJob(circuit, job);
    const ask = answer.verdict === 'ambiguous' ? next(circuit, job, answer) : undefined;
    if (ask === undefined || job.readings.length >= mostReadings) return { job, answer };
    const { state, probe } = ask;
    const { where, meter } = probe;
    const shown = appliance.shows(state, probe);
    const reading = { index: job.readings.length + 1, state, where, shown, meter };
    job = { ...job, readings: [...job.readings, reading] };
  }
}
