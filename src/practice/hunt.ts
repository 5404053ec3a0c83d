/** From a complaint to a part: readings one after the other, each chosen by a strategy and taken on the appliance. */
import { type Circuit, type Minutes, restState } from '../circuit/circuit.js';
import { type CheckAnswer, probeCost, standingOf, stateCost, totalMinutes } from '../diagnose/diagnose.js';
import type { Job } from '../meter/meter.js';
import type { Appliance } from './appliance.js';
import type { Ask } from './ask.js';
import type { Desk, Strategy } from './desk.js';

export interface Hunt {
  readonly job: Job;
  readonly answer: CheckAnswer;
  /** That all its readings took. */
  readonly minutes: Minutes;
}

/** Nobody takes more readings than this on one fault. */
const mostReadings = 80;

export function hunt(desk: Desk, opening: Job, appliance: Appliance, strategy: Strategy): Hunt {
  let [job, minutes] = [opening, 0];
  for (;;) {
    const answer = desk.check(job);
    const ask = answer.verdict === 'ambiguous' ? desk.next(strategy, job) : undefined;
    if (ask === undefined || job.readings.length >= mostReadings) return { job, answer, minutes };
    minutes += minutesFor(desk.circuit, job, ask);
    const { state, probe } = ask;
    const { where, meter } = probe;
    const shown = appliance.shows(state, probe);
    const reading = { index: job.readings.length + 1, state, where, shown, meter };
    job = { ...job, readings: [...job.readings, reading] };
  }
}

/** What it takes to get from a job's last reading to this one, and to take it. */
export function minutesFor(circuit: Circuit, job: Job, { state, probe }: Ask): Minutes {
  const standing = standingOf(circuit, job, restState(circuit));
  const parts = [...stateCost(circuit, standing.state, state), ...probeCost(circuit, standing, state, probe)];
  return totalMinutes(parts);
}
