import { type Circuit, type Fault, namedStates } from '../circuit/circuit.js';
import { type SafePlaces, safePlaces } from '../diagnose/diagnose.js';
import type { Shown } from '../meter/meter.js';
import { Appliance, builtStand } from './appliance.js';
import type { Ask } from './ask.js';
import { seenLoads, symptomsOf } from './complaint.js';
import { numbersFrom, seedOf } from './random.js';

/** Supplies of an exercise lie within this share of nominal (judgement, no source). */
const supplyShare = 0.03;

/** The appliance that a seed builds, with these faults in it, and a meter of its own. */
export function applianceOf(circuit: Circuit, faults: readonly Fault[], seed: number): Appliance {
  const stand = builtStand(circuit, supplyShare, numbersFrom(seedOf('parts', seed)));
  return new Appliance(stand, faults, (reading) => numbersFrom(seedOf(reading, seed)));
}

/** What nobody is let do, on no bench. */
export type Unsafe =
  /** Ohms with the power on. */
  | 'ohms-live'
  /** A lead on a place that is marked as hazardous. */
  | 'hazard'
  /** The power on with the protective earth off. */
  | 'earth-off';

export type Taken =
  | {
      readonly kind: 'shown';
      readonly shown: Shown;
      /** Supplies whose protector in the building was heard to open. */
      readonly tripped: readonly string[];
    }
  | { readonly kind: 'refused'; readonly why: Unsafe };

/** The broken appliance as it stands, and whatever was blown or exchanged since. */
export class Bench {
  private readonly circuit: Circuit;
  private readonly seed: number;
  private readonly places: SafePlaces;
  private appliance: Appliance;

  constructor(circuit: Circuit, fault: Fault, seed: number) {
    this.circuit = circuit;
    this.seed = seed;
    this.places = safePlaces(circuit, new Set());
    this.appliance = this.tried([fault]);
  }

  take(ask: Ask): Taken {
    const why = this.unsafe(ask);
    if (why !== undefined) return { kind: 'refused', why };
    const before = this.appliance.faults.length;
    const shown = this.appliance.shows(ask.state, ask.probe);
    const opened = this.appliance.faults.slice(before).map(({ part }) => part);
    return { kind: 'shown', shown, tripped: opened.filter((part) => this.circuit.supplies.has(part)) };
  }

  /** A sound part in place of this one, or the wire made anew: whether everything works then. */
  swap(part: string): boolean {
    this.appliance = this.tried(
      this.appliance.faults.filter((fault) => fault.part !== part && fault.with !== part),
    );
    const sound = applianceOf(this.circuit, [], this.seed);
    return symptomsOf(this.circuit, sound, this.appliance, seenLoads(this.circuit)).wrong.length === 0;
  }

  private tried(faults: readonly Fault[]): Appliance {
    const appliance = applianceOf(this.circuit, faults, this.seed);
    appliance.use(namedStates(this.circuit));
    return appliance;
  }

  private unsafe({ state, probe: { where, unit } }: Ask): Unsafe | undefined {
    const ends = where.kind === 'between' ? [where.red, where.black] : [];
    if (ends.some((end) => this.circuit.nodes[end]?.hazard !== undefined)) return 'hazard';
    if (!state.power) return undefined;
    if (unit === 'ohm') return 'ohms-live';
    return this.places.isAllowed({ ...state, removed: new Set() }) ? undefined : 'earth-off';
  }
}
