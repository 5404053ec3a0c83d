import { type Circuit, type Fault, faultName, namedStates } from '../circuit/circuit.js';
import { partsOf } from '../diagnose/diagnose.js';
import type { Symptom } from '../meter/meter.js';
import { applianceOf } from './bench.js';
import { openingJob, seenLoads, symptomsOf } from './complaint.js';
import { Desk } from './desk.js';
import type { Par } from './exercise.js';
import { hunt } from './hunt.js';
import { halfSplit, proposed } from './technician.js';

/** Why a fault makes no exercise. */
export type Unsuitable =
  /** No load does other than it should in any state that has a name. */
  | 'no-complaint'
  /** What is seen is within what the supply may do. */
  | 'within-supply'
  /** Whoever follows the proposed readings ends elsewhere. */
  | 'not-found';

export type Planting =
  | Planted
  | { readonly kind: 'unsuitable'; readonly fault: Fault; readonly why: Unsuitable };

export interface Planted {
  readonly kind: 'planted';
  readonly fault: Fault;
  readonly symptoms: readonly Symptom[];
  /** Those of them that are not as they should be. */
  readonly wrong: readonly Symptom[];
  readonly par: Par;
}

/** What one hunt tells of an exercise. */
export type Hunted = Omit<Par, 'halfSplit'>;

/** The parts that a fault is about: exchanged wires are two. */
export function faultParts(fault: Fault): readonly string[] {
  return partsOf({ faults: [fault] });
}

/** Whether the readings leave the fault's part alone; else it stands in a group that nothing within reach tells apart. */
export function isSolvable({ fault, par }: Pick<Planted, 'fault'> & { readonly par: Hunted }): boolean {
  return par.left.every((part) => faultParts(fault).includes(part));
}

/** Plants faults in one circuit and looks for them, to know what it takes; what was once thought through is kept. */
export class Planter {
  readonly circuit: Circuit;
  private readonly desk: Desk;

  constructor(circuit: Circuit, desk: Desk = new Desk(circuit)) {
    this.circuit = circuit;
    this.desk = desk;
  }

  /**
   * The fault, in the appliance that the seed builds, looked for in both ways. Only where `worth` says so, asked once
   * more is known: hunts take a while.
   */
  plant(
    fault: Fault,
    seed: number,
    worth: (known: Pick<Hunted, 'suspected'> & Partial<Hunted>) => boolean = () => true,
  ): Planting | undefined {
    const { circuit, desk } = this;
    const broken = () => {
      const appliance = applianceOf(circuit, [fault], seed);
      appliance.use(namedStates(circuit));
      return appliance;
    };
    const { symptoms, wrong } = symptomsOf(
      circuit,
      applianceOf(circuit, [], seed),
      broken(),
      seenLoads(circuit),
    );
    if (wrong.length === 0) return { kind: 'unsuitable', fault, why: 'no-complaint' };
    const opening = openingJob(symptoms, new Map());
    const { verdict, suspects } = desk.check(opening);
    if (verdict === 'agrees' || verdict === 'undecided')
      return { kind: 'unsuitable', fault, why: 'within-supply' };
    const suspected = new Set(suspects.flatMap(partsOf)).size;
    if (!worth({ suspected })) return undefined;
    const found = hunt(desk, opening, broken(), proposed);
    const left = [...new Set(found.answer.suspects.flatMap(partsOf))];
    const isFound = faultParts(fault).some((part) => left.includes(part));
    if (!isFound || found.answer.supposed === 'pair') return { kind: 'unsuitable', fault, why: 'not-found' };
    const hunted = { readings: found.job.readings.length, minutes: found.minutes, suspected, left };
    if (!worth(hunted)) return undefined;
    const split = hunt(desk, opening, broken(), halfSplit);
    const par = { ...hunted, halfSplit: { readings: split.job.readings.length, minutes: split.minutes } };
    return { kind: 'planted', fault, symptoms, wrong, par };
  }
}

/** The fault without its value: what is drawn once for a class is not drawn again. */
export function kindOfFault({ value: _, ...fault }: Fault): string {
  return faultName(fault);
}
