import {
  type Circuit,
  designateFault,
  type Fault,
  restState,
  type State,
} from '../../src/circuit/circuit.js';
import {
  compare,
  type Input,
  instrument,
  nominalSupplies,
  type Reading,
  TestStand,
  type Verdict,
} from '../../src/meter/meter.js';
import { node, openCircuit, openState } from '../published/front-doors.js';

/** What a meter that makes no error shows. */
export type Shows =
  | { readonly kind: 'volts' | 'ohms'; readonly value: number }
  | { readonly kind: 'floating' }
  | { readonly kind: 'short' | 'chattering' | 'overload' };

/** A circuit file's text on the bench: faults planted and readings taken by name, at nominal supply. */
export class Bench {
  readonly circuit: Circuit;
  private readonly stand: TestStand;

  constructor(text: string) {
    this.circuit = openCircuit(text);
    this.stand = new TestStand(this.circuit, nominalSupplies(this.circuit));
  }

  state(changes: unknown = {}): State {
    return openState(this.circuit, changes);
  }

  fault(name: string): Fault {
    const designated = designateFault(this.circuit, name);
    if (!designated.ok) throw new Error(`no fault ${name}`);
    return designated.fault;
  }

  /** Volts of the red lead against the black one, RMS; dc with its sign. */
  volts(red: string, black: string, given: Given = {}): Shows {
    return this.reads(red, black, 'V', given);
  }

  /** With the power off. */
  ohms(red: string, black: string, { state = {}, ...given }: Given = {}): Shows {
    return this.reads(red, black, 'ohm', { ...given, state: { ...(state as object), power: 'off' } });
  }

  private reads(red: string, black: string, unit: 'V' | 'ohm', given: Given): Shows {
    const { state, faults = [], input = 'high-impedance', current } = given;
    const where = {
      kind: 'between',
      red: node(this.circuit, red),
      black: node(this.circuit, black),
    } as const;
    const probe = {
      where,
      unit,
      meter: instrument(input),
      ...(current === undefined ? {} : { current }),
    } as const;
    const expected = this.stand.expect(
      this.state(state),
      probe,
      faults.map((name) => this.fault(name)),
    );
    if (expected.kind === 'driven') return { kind: unit === 'V' ? 'volts' : 'ohms', value: expected.nominal };
    return { kind: expected.kind };
  }

  /** How a recorded voltage compares with what the circuit should give. */
  verdict(red: string, black: string, shown: number, given: Given = {}): Verdict {
    const { state, faults = [], input = 'high-impedance' } = given;
    const where = {
      kind: 'between',
      red: node(this.circuit, red),
      black: node(this.circuit, black),
    } as const;
    const reading: Reading = {
      index: 1,
      state: state === undefined ? restState(this.circuit) : this.state(state),
      where,
      shown: { kind: 'value', value: shown, unit: 'V' },
      meter: instrument(input),
    };
    const probe = { where, unit: 'V', meter: reading.meter } as const;
    const planted = faults.map((name) => this.fault(name));
    return compare(reading, this.stand.expect(reading.state, probe, planted));
  }
}

export interface Given {
  /** As a file writes it; rest where absent. */
  readonly state?: unknown;
  readonly faults?: readonly string[];
  readonly input?: Input;
  readonly current?: 'ac' | 'dc';
}
