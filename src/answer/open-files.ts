import {
  type Assembled,
  assemble,
  buildCircuit,
  type Circuit,
  type CircuitProblem,
  type Piece,
} from '../circuit/circuit.js';
import { type Job, readExpectations, readJob } from '../meter/meter.js';
import type { Problem } from '../report/report.js';
import {
  type Allowance,
  type FileRead,
  problemAt,
  type Raw,
  type ReadFile,
  type Source,
} from '../text/text.js';
import { readRemarks, sift } from './allowances.js';
import { type LeftOut, listed, type Opened, rate, ratedList, unopened, unrelated } from './opened.js';

export interface OpenedCircuit {
  readonly circuit: Circuit;
  /** With all that the file includes. */
  readonly raw: Raw.RawCircuit;
  /** Remarks that let findings pass, in any of its files. */
  readonly allowances: readonly Allowance[];
}

/** What a circuit file includes, as far as it could be read. */
export interface Included {
  /** The circuit with what could be read of all that it includes. */
  readonly piece: Piece;
  readonly problems: readonly Problem[];
  readonly more: number;
  /** The files that were read, the circuit's own not among them. */
  readonly sources: readonly Source[];
  readonly leftOut: LeftOut;
}

/** Whether a file holds a piece that circuits include, and no circuit. */
export function isAssembly({ raw }: FileRead<Raw.RawCircuit>): boolean {
  return raw.loadside === 'assembly/1';
}

/**
 * A circuit file that was read, to the model; without `included`, one that stands alone. One with errors is looked
 * through to its end all the same.
 */
export function openCircuit(
  { file, mended, problems, more }: ReadFile<Raw.RawCircuit>,
  included?: Included,
): Opened<OpenedCircuit> {
  const read = file ?? mended;
  if (read === undefined) return unopened(problems, more);
  if (isAssembly(read)) {
    const data = { found: 'assembly/1', expected: 'circuit/1' };
    return unopened([problemAt(read.document, 'file-kind', data, ['loadside'])]);
  }
  const { source } = read.document;
  const { piece, sources, leftOut, ...pieces } = included ?? withoutFiles(read);
  const whole = assemble(piece);
  const { allowances, problems: remarks } = readRemarks([source, ...sources]);
  const early = [...problems, ...pieces.problems];
  const late = [...whole.problems, ...remarks];
  if (file === undefined || early.length > 0) {
    const names = new Set([...(mended?.omitted ?? []), ...leftOut.names]);
    const guessed = new Set([...(mended?.guessed ?? []), ...leftOut.guessed]);
    const further = unrelated([...late, ...circuitProblems(whole)], { ...leftOut, names, guessed });
    return { ...ratedList([...early, ...further], more + pieces.more, source.name), unreadable: false };
  }
  const built = buildCircuit(whole.document, whole.raw);
  const isSound = built.circuit !== undefined && late.length === 0;
  const all = listed([...late, ...(isSound ? built.problems : circuitProblems(whole))], 0, source.name);
  const { kept, allowed } = sift(rate(all.problems), allowances);
  const opened = { problems: kept, more: all.more, unreadable: false, allowed };
  if (!isSound || built.circuit === undefined) return opened;
  return { ...opened, value: { circuit: built.circuit, raw: whole.raw, allowances } };
}

/** A circuit that was not read from a file: none of what it includes can be looked for. */
function withoutFiles({ document, raw }: FileRead<Raw.RawCircuit>): Included {
  const includes = [...(raw.include ?? []).entries()].filter(([, include]) => include !== undefined);
  const problems = includes.map(([entry, { file }]): CircuitProblem => {
    const why = 'a circuit given as text or data has no folder to look in';
    return problemAt(document, 'include-missing', { file, why }, ['include', entry, 'file']);
  });
  const prefixes = includes.map(([, { prefix }]) => prefix);
  const leftOut = { names: new Set<string>(), prefixes, guessed: new Set<string>() };
  return { piece: { document, raw, includes: [] }, problems, more: 0, sources: [], leftOut };
}

/** Everything wrong in a circuit as it was put together, its expectations included. */
function circuitProblems({ document, raw }: Assembled): readonly Problem[] {
  const { partial, problems } = buildCircuit(document, raw);
  return [...problems, ...readExpectations(partial, raw.expectations ?? []).problems];
}

/** A readings file that was read, on its circuit. One with errors is looked through to its end all the same. */
export function openJob(circuit: Circuit, read: ReadFile<Raw.RawReadings>): Opened<Job> {
  const { file, mended, problems, more } = read;
  const held = file ?? mended;
  if (held === undefined) return unopened(problems, more);
  const { job, problems: found } = readJob(circuit, held.document, held.raw);
  const own =
    mended === undefined
      ? found
      : [...problems, ...unrelated(found, { names: mended.omitted, prefixes: [], guessed: mended.guessed })];
  const opened = { ...ratedList(own, more), unreadable: false };
  return own.length > 0 ? opened : { ...opened, value: job };
}
