import { type Circuit, type CircuitProblem, type Load, readState, type State } from '../circuit/circuit.js';
import {
  type Document,
  nearestName,
  type Path,
  problemAt,
  quantityProblem,
  type Raw,
  readQuantity,
  readReadingValue,
  type TextProblem,
} from '../text/text.js';
import { type Accuracy, type Input, type Instrument, instrument } from './instrument.js';
import type { MeterProblem, MeterProblemData } from './problems.js';

/** What else a job record tells, as the file writes it; nothing is computed from it. */
export type JobRecord = Raw.JobRecord & {
  readonly title?: string;
  readonly note?: string;
  readonly meter?: Pick<Raw.Meter, 'title' | 'category' | 'checked'>;
};

/** Where the meter is: two leads, or a clamp around one conductor. */
export type Where =
  | { readonly kind: 'between'; readonly red: number; readonly black: number }
  | { readonly kind: 'around'; readonly branch: number };

/** What it showed: a number in its unit, beyond range, or (`blank`) nothing that holds still to be noted. */
export type Shown =
  | {
      readonly kind: 'value';
      readonly value: number;
      readonly unit: 'V' | 'A' | 'ohm';
      readonly current?: 'ac' | 'dc';
    }
  | { readonly kind: 'over-range'; readonly unit: 'V' | 'A' | 'ohm' }
  | { readonly kind: 'blank' };

/** One observation with a meter. */
export interface Reading {
  /** Its place in the file, from 1. */
  readonly index: number;
  readonly state: State;
  readonly where: Where;
  readonly shown: Shown;
  readonly meter: Instrument;
  readonly note?: string;
}

/** A reading with nothing written down yet: it was not taken, and says nothing. */
export type Blank = Omit<Reading, 'shown'>;

/** One observation without a meter: this load does, or does not, do its job. */
export interface Symptom {
  readonly index: number;
  readonly state: State;
  readonly load: Load;
  readonly works: boolean;
  readonly note?: string;
}

/** A protector seen to blow or trip on going into a state; the building's, by the name of its supply. */
export interface Trip {
  readonly index: number;
  readonly state: State;
  readonly protector: string;
  readonly note?: string;
}

/** A readings file understood against its circuit. */
export interface Job {
  readonly meter: Instrument;
  /** Supply name to the volts the outlet measured. */
  readonly supply: ReadonlyMap<string, number>;
  readonly symptoms: readonly Symptom[];
  readonly trips: readonly Trip[];
  readonly readings: readonly Reading[];
  /** What the file lists and nobody filled in: readings, and symptoms by number. */
  readonly blank?: { readonly readings: readonly Blank[]; readonly symptoms: readonly number[] };
  readonly record?: JobRecord;
}

type Found = TextProblem | CircuitProblem | MeterProblem;

/** A readings file to readings and symptoms; every problem of the file in one run, none skipped. */
export function readJob(
  circuit: Circuit,
  document: Document,
  raw: Raw.RawReadings,
): { readonly job: Job; readonly problems: readonly Found[] } {
  const reader = new ObservationReader(circuit, document, instrumentOf(raw.meter));
  const supply = reader.supplies(raw.supply ?? {});
  const symptoms: Symptom[] = [];
  const trips: Trip[] = [];
  const blank: { readings: Blank[]; symptoms: number[] } = { readings: [], symptoms: [] };
  for (const [index, each] of (raw.symptoms ?? []).entries()) {
    const seen = each && reader.seen(each, ['symptoms', index], index + 1);
    if (seen === undefined) continue;
    if (seen === 'blank') blank.symptoms.push(index + 1);
    else if ('protector' in seen) trips.push(seen);
    else symptoms.push(seen);
  }
  const readings: Reading[] = [];
  for (const [index, each] of (raw.readings ?? []).entries()) {
    const reading = each && reader.reading(each, ['readings', index], index + 1);
    if (reading === undefined) continue;
    if ('shown' in reading) readings.push(reading);
    else blank.readings.push(reading);
  }
  const left = blank.readings.length + blank.symptoms.length === 0 ? {} : { blank };
  const record = recordOf(raw);
  const job = { meter: reader.meter, supply, symptoms, trips, readings, ...left, ...record };
  return { job, problems: reader.problems };
}

function recordOf({ title, note, meter, record }: Raw.RawReadings): Pick<Job, 'record'> {
  const { title: name, category, checked } = meter ?? {};
  const tool = {
    ...(name === undefined ? {} : { title: name }),
    ...(category === undefined ? {} : { category }),
    ...(checked === undefined ? {} : { checked }),
  };
  const whole: JobRecord = {
    ...record,
    ...(title === undefined ? {} : { title }),
    ...(note === undefined ? {} : { note }),
    ...(Object.keys(tool).length === 0 ? {} : { meter: tool }),
  };
  return Object.keys(whole).length === 0 ? {} : { record: whole };
}

/** What a circuit file says of itself, in file order. */
export type Expectation =
  | { readonly kind: 'reading'; readonly path: Path; readonly reading: Reading }
  | { readonly kind: 'symptom'; readonly path: Path; readonly symptom: Symptom };

/** A circuit's own expectations, read as readings and symptoms. */
export function readExpectations(
  circuit: Circuit,
  raw: readonly Raw.Expectation[],
): { readonly expectations: readonly Expectation[]; readonly problems: readonly Found[] } {
  const reader = new ObservationReader(circuit, circuit.document, instrumentOf(undefined));
  const expectations: Expectation[] = [];
  for (const [index, each] of raw.entries()) {
    // A mended file has empty places.
    if (each === undefined) continue;
    const path = ['expectations', index];
    const before = reader.problems.length;
    const { works } = each;
    if (each.load !== undefined && each.reads !== undefined) {
      reader.report('reading-keys-conflict', { keys: ['load', 'reads'] }, [...path, 'reads'], 'key');
    } else if (each.load !== undefined && works !== undefined) {
      const symptom = reader.symptom({ in: each.in, load: each.load, works }, path, index + 1);
      if (symptom !== undefined) expectations.push({ kind: 'symptom', path, symptom });
    } else if (each.reads !== undefined) {
      const reading = reader.reading(each, path, index + 1);
      if (reading !== undefined && 'shown' in reading) expectations.push({ kind: 'reading', path, reading });
      else if (reading !== undefined) reader.report('expectation-empty', {}, path);
    } else {
      reader.report('expectation-empty', {}, path);
    }
    // One that is wrong as written is not held against the circuit as well.
    if (reader.problems.length > before && expectations.at(-1)?.path === path) expectations.pop();
  }
  return { expectations, problems: reader.problems };
}

function instrumentOf(raw: Raw.Meter | undefined): Instrument {
  const usual = instrument(raw?.input ?? 'high-impedance');
  const { percent, counts, resolution } = raw?.accuracy ?? {};
  const accuracy: Accuracy = {
    share: percent === undefined ? usual.accuracy.share : percent / 100,
    counts: counts ?? usual.accuracy.counts,
    resolution: resolution ?? usual.accuracy.resolution,
  };
  return { ...usual, accuracy };
}

/** Collects problems while reading; used once per file. */
class ObservationReader {
  readonly problems: Found[] = [];
  readonly meter: Instrument;
  private readonly circuit: Circuit;
  private readonly document: Document;

  constructor(circuit: Circuit, document: Document, meter: Instrument) {
    this.circuit = circuit;
    this.document = document;
    this.meter = meter;
  }

  supplies(raw: NonNullable<Raw.RawReadings['supply']>): Map<string, number> {
    const measured = new Map<string, number>();
    for (const [name, value] of Object.entries(raw)) {
      const path = ['supply', name];
      const supply = this.circuit.supplies.get(name);
      if (supply === undefined) {
        this.unknown('supply', name, [...this.circuit.supplies.keys()], path, 'key');
        continue;
      }
      const volts = value === null ? undefined : this.quantity(value, path);
      if (volts === undefined) continue;
      const [least, most] = [supply.stated * 0.5, supply.stated * 1.5];
      if (volts < least || volts > most) {
        const { legs, stated, volts: ofLeg } = supply;
        const toNeutral = stated === ofLeg && legs.filter(({ live }) => live).length > 1;
        const limits = { least: `${least} V`, most: `${most} V` };
        this.report('supply-range', { supply: name, found: `${volts} V`, ...limits, toNeutral }, path);
      } else measured.set(name, volts);
    }
    return measured;
  }

  /** What was seen without a meter: a load that works or does not, or a protector that opened. */
  seen(raw: Raw.Symptom, path: Path, index: number): Symptom | Trip | 'blank' | undefined {
    const { load, works, opens } = raw;
    if (opens !== undefined) {
      const beside = (['load', 'works'] as const).filter((key) => raw[key] !== undefined);
      const [first] = beside;
      if (first !== undefined)
        this.report('reading-keys-conflict', { keys: ['opens', ...beside] }, [...path, first], 'key');
      return this.trip(raw, opens, path, index);
    }
    if (load === undefined || works === undefined) {
      this.report('symptom-empty', {}, path);
      return undefined;
    }
    // A blank one still has to name a state and a load that there are.
    const symptom = this.symptom({ ...raw, load, works: works ?? 'no' }, path, index);
    return works === null && symptom !== undefined ? 'blank' : symptom;
  }

  private trip(raw: Raw.Symptom, opens: string, path: Path, index: number): Trip | undefined {
    const state = this.state(raw.in, [...path, 'in']);
    const { protectors, supplies } = this.circuit;
    if (!protectors.has(opens) && !supplies.has(opens)) {
      this.unknown('protector', opens, [...protectors.keys(), ...supplies.keys()], [...path, 'opens']);
      return undefined;
    }
    return { index, state, protector: opens, ...(raw.note === undefined ? {} : { note: raw.note }) };
  }

  symptom(
    raw: Raw.Symptom & { load: string; works: NonNullable<Raw.Symptom['works']> },
    path: Path,
    index: number,
  ): Symptom | undefined {
    const state = this.state(raw.in, [...path, 'in']);
    const load = this.circuit.loads.get(raw.load);
    if (load === undefined) {
      this.unknown('load', raw.load, [...this.circuit.loads.keys()], [...path, 'load']);
      return undefined;
    }
    const works = raw.works === true || raw.works === 'yes';
    return { index, state, load, works, ...(raw.note === undefined ? {} : { note: raw.note }) };
  }

  reading(raw: Raw.Reading, path: Path, index: number): Reading | Blank | undefined {
    const state = this.state(raw.in, [...path, 'in']);
    const where = this.where(raw, path);
    const shown = this.shown(raw.reads ?? null, [...path, 'reads']);
    if (where === undefined || shown === undefined) return undefined;
    const input: Input = raw.input ?? this.meter.input;
    const meter = input === this.meter.input ? this.meter : instrument(input, this.meter.accuracy);
    const blank = { index, state, where, meter, ...(raw.note === undefined ? {} : { note: raw.note }) };
    if (shown === 'blank') return blank;
    this.checkUnit(where, shown, state, [...path, 'reads']);
    return { ...blank, shown };
  }

  private state(value: unknown, path: Path): State {
    const { state, problems } = readState(this.circuit, value, this.document, path);
    this.problems.push(...problems);
    return state;
  }

  private where(raw: Raw.Reading, path: Path): Where | undefined {
    if (raw.on !== undefined) {
      const leads = (['red', 'black'] as const).filter((key) => raw[key] !== undefined);
      const [first] = leads;
      if (first !== undefined) {
        this.report('reading-keys-conflict', { keys: ['on', ...leads] }, [...path, first], 'key');
      }
      return this.around(raw.on, [...path, 'on']);
    }
    for (const key of ['red', 'black'] as const) {
      if (raw[key] === undefined) this.report('reading-lead-missing', { missing: key }, path);
    }
    if (raw.red === undefined || raw.black === undefined) return undefined;
    const red = this.node(raw.red, [...path, 'red']);
    const black = this.node(raw.black, [...path, 'black']);
    if (red === undefined || black === undefined) return undefined;
    if (red === black) this.report('reading-same-node', { node: raw.red }, path);
    return { kind: 'between', red, black };
  }

  private around(part: string, path: Path): Where | undefined {
    const { parts, branches } = this.circuit;
    const found = parts.get(part);
    const [branch, second] = found?.branches ?? [];
    if (found === undefined) {
      const wires = [...parts.values()].filter((each) => each.kind === 'wire').map((each) => each.name);
      this.unknown('wire', part, [...wires, ...parts.keys()], path);
      return undefined;
    }
    if (branch === undefined || second !== undefined || branches[branch] === undefined) {
      this.report('reading-clamp', { part }, path);
      return undefined;
    }
    return { kind: 'around', branch };
  }

  private node(name: string, path: Path): number | undefined {
    const { nodes, nodeByName } = this.circuit;
    const index = nodeByName.get(name);
    if (index === undefined) {
      this.unknown('node', name, [...nodeByName.keys()], path);
      return undefined;
    }
    const hazard = nodes[index]?.hazard;
    if (hazard !== undefined) this.report('reading-hazard', { node: name, hazard }, path);
    return index;
  }

  private shown(
    raw: string | number | null,
    path: Path,
  ): Exclude<Shown, { kind: 'blank' }> | 'blank' | undefined {
    const read = readReadingValue(raw);
    switch (read.kind) {
      case 'blank':
        return 'blank';
      case 'over-range':
        return {
          kind: 'over-range',
          unit: read.of === 'voltage' ? 'V' : read.of === 'current' ? 'A' : 'ohm',
        };
      case 'voltage':
        return {
          kind: 'value',
          value: read.volts,
          unit: 'V',
          ...(read.current && { current: read.current }),
        };
      case 'current':
        return { kind: 'value', value: read.amps, unit: 'A', ...(read.current && { current: read.current }) };
      case 'resistance':
        return { kind: 'value', value: read.ohms, unit: 'ohm' };
      case 'unreadable':
        this.problems.push(quantityProblem(read.trouble, this.document.locate(path, 'value')));
        return undefined;
    }
  }

  private checkUnit(where: Where, shown: Exclude<Shown, { kind: 'blank' }>, state: State, path: Path): void {
    if (where.kind === 'around' && shown.unit !== 'A') {
      this.report('reading-unit-misplaced', { found: shown.unit, expected: 'A' }, path);
    } else if (where.kind === 'between' && shown.unit === 'A') {
      this.report('reading-unit-misplaced', { found: 'A', expected: 'V or ohm' }, path);
    } else if (shown.unit === 'ohm' && state.power) {
      this.report('reading-ohms-live', {}, path);
    }
  }

  private quantity(value: string | number, path: Path): number | undefined {
    const read = readQuantity(value, 'voltage', { least: 1e-3, most: 1e6 });
    if (read.ok) return read.value;
    this.problems.push(quantityProblem(read, this.document.locate(path, 'value')));
    return undefined;
  }

  private unknown(
    what: 'node' | 'load' | 'supply' | 'wire' | 'protector',
    found: string,
    allowed: readonly string[],
    path: Path,
    part: 'key' | 'value' = 'value',
  ): void {
    const data = { what, found, of: undefined, nearest: nearestName(found, allowed), allowed };
    this.problems.push({ code: 'reference-unknown', data, at: this.document.locate(path, part) });
  }

  report<Code extends keyof MeterProblemData>(
    code: Code,
    data: MeterProblemData[Code],
    path: Path,
    part: 'key' | 'value' = 'value',
  ): void {
    this.problems.push(problemAt(this.document, code, data, path, part) as MeterProblem);
  }
}
