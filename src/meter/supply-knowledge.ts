import type { Circuit, Supply } from '../circuit/circuit.js';
import { displayError } from './instrument.js';
import type { Job, Reading } from './readings.js';
import type { SupplyKnowledge } from './test-stand.js';

/** Every supply at its nominal voltage, give or take its tolerance. */
export function nominalSupplies(circuit: Circuit): SupplyKnowledge {
  const supplies = [...circuit.supplies.values()];
  const spreads = new Map(supplies.map((each) => [each.name, each.tolerance]));
  return { scale: new Map(), spreads, spread: Math.max(0, ...spreads.values()), measured: [] };
}

/**
 * What the job says of its supplies: the `supply:` entry, else the first live reading across a supply's own
 * terminals that is within its tolerance (one outside is a discrepancy, not a house's voltage). A measured
 * supply is known to the meter's error; the others keep their tolerance.
 */
export function measuredSupplies(circuit: Circuit, job: Job): SupplyKnowledge {
  const scale = new Map<string, number>();
  const spreads = new Map<string, number>();
  for (const supply of circuit.supplies.values()) {
    const found = statedScale(supply, job) ?? readScale(supply, job);
    if (found !== undefined) scale.set(supply.name, found);
    const error = displayError(job.meter.accuracy, supply.volts) / supply.volts;
    spreads.set(supply.name, found === undefined ? supply.tolerance : Math.min(supply.tolerance, error));
  }
  return { scale, spreads, spread: Math.max(0, ...spreads.values()), measured: [...scale.keys()] };
}

function statedScale(supply: Supply, job: Job): number | undefined {
  const volts = job.supply.get(supply.name);
  return volts === undefined ? undefined : volts / supply.stated;
}

function readScale(supply: Supply, job: Job): number | undefined {
  for (const reading of job.readings) {
    const nominal = nominalBetweenTerminals(supply, reading);
    if (nominal === undefined || reading.shown.kind !== 'value') continue;
    const scale = reading.shown.value / nominal;
    return Math.abs(scale - 1) <= supply.tolerance ? scale : undefined;
  }
  return undefined;
}

/** The nominal volts of a live reading from one terminal of the supply to another; undefined for any other reading. */
function nominalBetweenTerminals(supply: Supply, reading: Reading): number | undefined {
  const { where, shown, state } = reading;
  if (where.kind !== 'between' || shown.kind !== 'value' || shown.unit !== 'V' || !state.power)
    return undefined;
  const red = supply.legs.find((leg) => leg.node === where.red);
  const black = supply.legs.find((leg) => leg.node === where.black);
  if (red === undefined || black === undefined || !(red.live || black.live)) return undefined;
  if (red.live && black.live) return supply.volts * (supply.system === 'three-phase' ? Math.sqrt(3) : 2);
  return supply.system === 'dc' && black.live ? -supply.volts : supply.volts;
}
