/** Where faults of one circuit are planted and hunted down: appliances with parts, supplies and a meter off nominal. */
import { type Circuit, type Fault, faultName, namedStates } from '../../src/circuit/circuit.js';
import type { Job, TestStand } from '../../src/meter/meter.js';
import { Appliance, builtStand } from '../../src/practice/appliance.js';
import { openingJob, symptomsOf } from '../../src/practice/complaint.js';
import { Desk } from '../../src/practice/desk.js';
import { numbersFrom, seedOf } from '../../src/practice/random.js';
import { measuredOutlets } from './outlets.js';

/** Supplies lie within this share of nominal. */
const supplyShare = 0.03;

/** Appliances of each circuit that are built, each with part values, supplies and a meter of its own. */
const built = 4;

/** One circuit as it is hunted in: what is looked at once for all faults. */
export interface Workshop {
  readonly circuit: Circuit;
  readonly desk: Desk;
  readonly stands: readonly TestStand[];
  readonly seed: number;
}

/**
 * What a fault makes somebody call for. `nothing`: no load does other than in the sound appliance. `unsure`: it does, but
 * within what supplies may do.
 */
export type Call =
  | { readonly kind: 'plain'; readonly opening: Job; readonly broken: () => Appliance }
  | { readonly kind: 'unsure' | 'nothing' };

export function workshopOf(circuit: Circuit, seed: number): Workshop {
  const stands = Array.from({ length: built }, (_, index) =>
    builtStand(circuit, supplyShare, numbersFrom(seedOf(`${circuit.title} ${index}`, seed))),
  );
  return { circuit, desk: new Desk(circuit), stands, seed };
}

export function callFor({ circuit, desk, stands, seed }: Workshop, fault: Fault): Call {
  const number = seedOf(faultName(fault), seed) % built;
  const stand = stands[number] as TestStand;
  const meter = (reading: string) => numbersFrom(seedOf(`${circuit.title} ${number} ${reading}`, seed));
  const broken = () => {
    const appliance = new Appliance(stand, [fault], meter);
    appliance.use(namedStates(circuit));
    return appliance;
  };
  const sound = new Appliance(stand, [], meter);
  const seen = broken();
  const { symptoms, wrong } = symptomsOf(circuit, sound, seen);
  if (wrong.length === 0) return { kind: 'nothing' };
  const opening = openingJob(symptoms, measuredOutlets(circuit, seen));
  const { verdict } = desk.check(opening);
  if (verdict === 'agrees' || verdict === 'undecided') return { kind: 'unsure' };
  return { kind: 'plain', opening, broken };
}

export function mean(numbers: readonly number[]): number {
  return numbers.reduce((sum, each) => sum + each, 0) / numbers.length;
}
