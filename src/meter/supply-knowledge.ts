import type { Circuit, Ratio, Supply } from '../circuit/circuit.js';
import { rmsVolts } from '../solve/solve.js';
import { displayError } from './instrument.js';
import type { Job, Reading } from './readings.js';
import { type SupplyKnowledge, standOf } from './test-stand.js';

/** Every supply at its nominal voltage, give or take its tolerance. */
export function nominalSupplies(circuit: Circuit): SupplyKnowledge {
  const supplies = [...circuit.supplies.values()];
  const spreads = new Map(supplies.map((each) => [each.name, each.tolerance]));
  return { scale: new Map(), spreads, spread: Math.max(0, ...spreads.values()), measured: [] };
}

/**
 * What the job says of its supplies: the `supply:` entry, else the first live reading across a supply's own
 * terminals that is within its tolerance (one outside is a discrepancy, not a house's voltage). A measured
 * supply is known to the meter's error; the others keep their tolerance, and so does one that the meter can't tell
 * more closely.
 */
export function measuredSupplies(circuit: Circuit, job: Job): SupplyKnowledge {
  const scale = new Map<string, number>();
  const spreads = new Map<string, number>();
  for (const supply of circuit.supplies.values()) {
    const { name, tolerance } = supply;
    const found = statedScale(supply, job) ?? readScale(circuit, supply, job);
    const error = found === undefined ? 0 : errorOf(found, supply, job);
    const tellsMore =
      error < tolerance || (found !== undefined && Math.abs(found.scale - 1) > tolerance + error);
    if (found === undefined || !tellsMore) {
      spreads.set(name, tolerance);
      continue;
    }
    scale.set(name, found.scale);
    spreads.set(name, error);
  }
  return { scale, spreads, spread: Math.max(0, ...spreads.values()), measured: [...scale.keys()] };
}

/** A supply as a meter showed it, as a share of nominal. */
interface MeasuredScale {
  readonly scale: number;
  /** What the sound circuit, as it runs then, takes off at the terminals. */
  readonly sag: Ratio;
}

/**
 * By what share the supply may be above what was shown, which is more than it may be below: the meter's error goes by
 * what is there, v <= (shown + counts) / (1 - share), and with no load on them the terminals have the sag as well.
 */
function errorOf({ scale, sag }: MeasuredScale, { volts }: Supply, { meter: { accuracy } }: Job): Ratio {
  const shown = scale * volts;
  const most = (shown + displayError({ ...accuracy, share: 0 }, shown)) / (1 - accuracy.share);
  return most / shown / (1 - sag) - 1;
}

/** What an outlet measured is taken to be without load. */
function statedScale(supply: Supply, job: Job): MeasuredScale | undefined {
  const volts = job.supply.get(supply.name);
  return volts === undefined ? undefined : { scale: volts / supply.stated, sag: 0 };
}

function readScale(circuit: Circuit, supply: Supply, job: Job): MeasuredScale | undefined {
  for (const reading of job.readings) {
    const nominal = nominalBetweenTerminals(supply, reading);
    if (nominal === undefined || reading.shown.kind !== 'value') continue;
    const scale = reading.shown.value / nominal;
    if (!(Math.abs(scale - 1) <= supply.tolerance)) return undefined;
    return { scale, sag: sagIn(circuit, reading, nominal) };
  }
  return undefined;
}

function sagIn(circuit: Circuit, reading: Reading, nominal: number): Ratio {
  const { state, where } = reading;
  const sight = standOf(circuit, nominalSupplies(circuit)).look(state, []);
  if (sight.kind !== 'steady' || where.kind !== 'between') return 0;
  const loaded = rmsVolts(sight.view, where.red, where.black) ?? Math.abs(nominal);
  return Math.max(0, 1 - loaded / Math.abs(nominal));
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
