import { type Fault, type Load, namedStates, type State } from '../../circuit/circuit.js';
import type { Job, TestStand } from '../../meter/meter.js';
import { worksIn } from '../../solve/solve.js';
import { openedBy } from '../suspects/opened.js';
import type { Suspect } from '../suspects/suspects.js';
import { proofOf, type SlipProof } from './slip-proof.js';

/** A slip of the hand that is suspected: what else it would make the appliance do, and the reading that proves it. */
export interface Slip {
  readonly faults: readonly Fault[];
  /** The suspect's. */
  readonly weight: number;
  readonly effects: readonly SlipEffect[];
  readonly proof?: SlipProof;
}

/** What would be otherwise in one state: loads that work and should not, or the other way round; or what opens. */
export interface SlipEffect {
  readonly state: State;
  readonly loads: readonly { readonly load: Load; readonly works: boolean }[];
  readonly opens?: string;
}

/** Slips that are looked into, the likeliest first. */
const mostSlips = 3;

/** For each suspect that is wires exchanged, or one on the wrong pin. */
export function slipsOf(stand: TestStand, job: Job, suspects: readonly Suspect[]): readonly Slip[] {
  return suspects
    .filter(({ faults }) => faults.every(({ mode }) => mode === 'crossed' || mode === 'wrong-pin'))
    .slice(0, mostSlips)
    .map((suspect) => {
      const { faults, weight } = suspect;
      const others = suspects.filter((each) => each !== suspect).flatMap(({ samples }) => samples);
      const proof = proofOf(stand, job, faults, others);
      const effects = effectsOf(stand, faults, namedStates(stand.circuit));
      return { faults, weight, effects, ...(proof === undefined ? {} : { proof }) };
    });
}

/** What slips would make otherwise in these states. */
export function effectsOf(
  stand: TestStand,
  faults: readonly Fault[],
  states: readonly State[],
): SlipEffect[] {
  const { circuit, supplies } = stand;
  return states.flatMap((state): SlipEffect[] => {
    const sound = stand.look(state, []);
    const slipped = stand.look(state, faults);
    if (sound.kind !== 'steady' || slipped.kind === 'chattering') return [];
    if (slipped.kind !== 'steady') return [{ state, loads: [], opens: openedBy(circuit, slipped).part }];
    const loads = [...circuit.loads.values()].flatMap((load) => {
      const [before, after] = [sound, slipped].map(({ view }) => worksIn(view, load, supplies.spread));
      if (before === after || before === 'marginal' || after === 'marginal') return [];
      return [{ load, works: after === 'yes' }];
    });
    return loads.length === 0 ? [] : [{ state, loads }];
  });
}
