import { checkShape } from './check-shape.js';
import type { Document } from './document.js';
import { type FileKind, otherKindOfText } from './file-kind.js';
import { limits } from './limits.js';
import type { Mended } from './mend-shape.js';
import { byPlace } from './problem.js';
import type { TextProblem } from './problems.js';
import type { RawCircuit } from './raw-circuit.generated.js';
import type { RawExercise } from './raw-exercise.generated.js';
import type { RawJob } from './raw-job.generated.js';
import type { RawReadings } from './raw-readings.generated.js';
import type { RawRecord } from './raw-record.generated.js';
import { readCsv } from './read-csv.js';
import { readEitherYaml } from './read-either-yaml.js';
import { readJson } from './read-json.js';
import type { Source } from './source.js';
import {
  type Validate,
  validateCircuit,
  validateExercise,
  validateJob,
  validateReadings,
  validateRecord,
} from './validators.generated.js';

export { type Allowance, readAllowances } from './allowances.js';
export { isAscii } from './ascii.js';
export { type Decoded, decode } from './decode.js';
export { type Document, type Path, partOf } from './document.js';
export { formatCircuit } from './format-circuit.js';
export { limits } from './limits.js';
export {
  byPlace,
  type ProblemOf,
  problemAt,
  type Related,
  type Severity,
} from './problem.js';
export { type TextProblem, type TextProblemData, textSeverities } from './problems.js';
export {
  type Dimension,
  type QuantityRange,
  type QuantityResult,
  type QuantityTrouble,
  quantityProblem,
  readQuantity,
} from './quantity.js';
export type * as Raw from './raw.js';
export { readJson as readJsonDocument } from './read-json.js';
export { type ReadingValue, readReadingValue } from './reading-value.js';
export { type Place, placeOf, type Source, type Span, type Spot } from './source.js';
export { settingOf } from './state-setting.js';
export { nearestName } from './suggest.js';
export { type NameKind, type Rename, withNames } from './walk-names.js';
export { writeFlow } from './write-flow.js';

/** A file whose text and shape are sound. */
export interface FileRead<Shaped> {
  readonly document: Document;
  /** The document's data, typed. */
  readonly raw: Shaped;
}

export interface ReadFile<Shaped> {
  /** Absent when any problem was found. */
  readonly file?: FileRead<Shaped>;
  /** In its place, when only the shape is wrong: the rest of the file, to be looked at for more problems. */
  readonly mended?: FileRead<Shaped> & Omit<Mended, 'data'>;
  /** At most `limits.problems`, by place. */
  readonly problems: readonly TextProblem[];
  /** How many problems were found beyond those listed. */
  readonly more: number;
}

/** Reads a circuit file: YAML, then its shape. Units and names are for the circuit floor to judge. */
export function readCircuitFile(source: Source): ReadFile<RawCircuit> {
  const read = readEitherYaml(source, { ...limits, bytes: limits.circuitBytes });
  return checked(read, 'circuit', validateCircuit, source);
}

/** Reads a readings file, as CSV when its name ends in .csv, else as YAML. */
export function readReadingsFile(source: Source): ReadFile<RawReadings> {
  const isCsv = source.name.toLowerCase().endsWith('.csv');
  const read = isCsv ? readCsv(source) : readEitherYaml(source, { ...limits, bytes: limits.readingsBytes });
  return checked(read, 'readings', validateReadings, source);
}

/** Reads an exercise; the circuit in it stands there as one text. */
export function readExerciseFile(source: Source): ReadFile<RawExercise> {
  const room = { ...limits, bytes: limits.exerciseBytes, textLength: limits.circuitBytes };
  return checked(readEitherYaml(source, room), 'exercise', validateExercise, source);
}

/** Reads a record of practice. */
export function readRecordFile(source: Source): ReadFile<RawRecord> {
  const read = readEitherYaml(source, { ...limits, bytes: limits.recordBytes });
  return checked(read, 'record', validateRecord, source);
}

/** What a circuit file holds, as JSON or as a part of a document read before. */
export function readCircuitData(given: Source | Document): ReadFile<RawCircuit> {
  return checked(dataIn(given, limits.circuitBytes), 'circuit', validateCircuit);
}

/** What a readings file holds, as JSON or as a part of a document read before. */
export function readReadingsData(given: Source | Document): ReadFile<RawReadings> {
  return checked(dataIn(given, limits.readingsBytes), 'readings', validateReadings);
}

/** One line of a batch, in JSON. A text in it may be a whole file, so that only the line itself is bounded. */
export function readBatchJob(source: Source): ReadFile<RawJob> {
  const read = readJson(source, { ...limits, bytes: limits.jobBytes, textLength: limits.jobBytes });
  return checked(read, 'job', validateJob);
}

function dataIn(given: Source | Document, bytes: number): Read {
  return 'data' in given ? { document: given, problems: [] } : readJson(given, { ...limits, bytes });
}

interface Read {
  readonly document?: Document;
  readonly problems: readonly TextProblem[];
}

/** `source`, where it is a file, tells what kind it is before anything else is said of one that can't be read. */
function checked<Shaped>(
  read: Read,
  root: FileKind,
  validate: Validate<Shaped>,
  source?: Source,
): ReadFile<Shaped> {
  const { document } = read;
  if (document === undefined) {
    const other = source && otherKindOfText(source, root);
    return capped(other === undefined ? read.problems : [other]);
  }
  const { raw, problems, more, mended } = checkShape(document, root, validate);
  if (raw !== undefined) return { file: { document, raw }, problems, more };
  if (mended === undefined) return { problems, more };
  const { data, omitted, guessed } = mended;
  return { mended: { document, raw: data as Shaped, omitted, guessed }, problems, more };
}

function capped(problems: readonly TextProblem[]): { problems: readonly TextProblem[]; more: number } {
  const sorted = [...problems].sort(byPlace);
  return { problems: sorted.slice(0, limits.problems), more: Math.max(0, sorted.length - limits.problems) };
}
