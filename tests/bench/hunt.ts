/** From a complaint to a part: readings one after the other, each chosen by a strategy and taken on the appliance. */
import { type Circuit, type Minutes, restState } from '../../src/circuit/circuit.js';
import { type CheckAnswer, usualBlack } from '../../src/diagnose/diagnose.js';
import { probeCost, standingOf, stateCost, totalMinutes } from '../../src/diagnose/next/costs.js';
import { safePlaces } from '../../src/diagnose/next/safe-places.js';
import { instrument, type Job, nominalSupplies, TestStand } from '../../src/meter/meter.js';
import type { Appliance } from './appliance.js';
import { namedStates } from './complaint.js';
import type { Desk } from './desk.js';
import type { Ask, Strategy } from './technician.js';

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

function minutesFor(circuit: Circuit, job: Job, { state, probe }: Ask): Minutes {
  const standing = standingOf(circuit, job, restState(circuit));
  const parts = [...stateCost(circuit, standing.state, state), ...probeCost(circuit, standing, state, probe)];
  return totalMinutes(parts);
}

/**
 * The same job with volts read at every test point in every named state, each against a place it has volts to: what is
 * left then, nothing of the kind can tell apart.
 */
export function readEverywhere(desk: Desk, { job }: Hunt, appliance: Appliance): Hunt {
  const { circuit } = desk;
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const { isTestPoint, isDelicate, isEarth } = safePlaces(circuit, new Set());
  const places = circuit.nodes.filter(({ index }) => isTestPoint(index));
  const mayLoad = (node: number) => !isDelicate(node) && !isEarth(node);
  const home = usualBlack(circuit);
  const readings = [...job.readings];
  for (const state of namedStates(circuit)) {
    const sight = stand.look(state, []);
    if (sight.kind !== 'steady' || !state.power) continue;
    const { view } = sight;
    for (const { index: red } of places) {
      const joined = (node: number | undefined) =>
        node !== undefined && node !== red && view.island(node) === view.island(red);
      const black = joined(home) ? home : places.find(({ index }) => joined(index))?.index;
      if (black === undefined) continue;
      const where = { kind: 'between', red, black } as const;
      const meter = instrument(mayLoad(red) && mayLoad(black) ? 'low-impedance' : 'high-impedance');
      const shown = appliance.shows(state, { where, unit: 'V', meter });
      readings.push({ index: readings.length + 1, state, where, shown, meter });
    }
  }
  const all = { ...job, readings };
  return { job: all, answer: desk.check(all), minutes: Number.POSITIVE_INFINITY };
}
