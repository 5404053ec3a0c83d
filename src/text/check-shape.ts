import type { Document, Path } from './document.js';
import { type FileKind, noKind, otherKind } from './file-kind.js';
import { limits } from './limits.js';
import { type Mended, mendShape, withoutHoles } from './mend-shape.js';
import type { TextProblem } from './problems.js';
import { type Shape, type ShapeRef, shapes } from './shape-keys.generated.js';
import { type PlacedError, placeErrors, valueAt } from './shape-places.js';
import { wordShapeError } from './shape-problems.js';
import type { Validate } from './validators.generated.js';

export interface CheckedShape {
  readonly problems: readonly TextProblem[];
  /** How many problems were found beyond those listed. */
  readonly more: number;
}

/**
 * Holds a document against the shape its file must have: each mistake one problem, in the order of the file, at
 * most `limits.problems` of them. `root` names the file's entry in the table of keys.
 */
export function checkShape<T>(
  document: Document,
  root: FileKind,
  validate: Validate<T>,
): CheckedShape & { readonly raw?: T; readonly mended?: Mended } {
  const { data } = document;
  if (validate(data)) return { raw: data, problems: [], more: 0 };
  const placed = placeErrors(document, validate.errors ?? []);
  const other = otherKind(document, root) ?? (saysNoKind(placed, data) ? noKind(document, root) : undefined);
  if (other !== undefined) return { problems: [other], more: 0 };
  const wrongKind = placed.find(({ error }) => error.instancePath === '/loadside');
  // A file of another kind has every key wrong, and that is one mistake.
  const reported = wrongKind === undefined ? withoutEchoes(placed, document, root) : [wrongKind];
  reported.sort((one, other) => one.span.start - other.span.start);
  const mistakes = reported.slice(0, limits.problems).map((one) => ({
    path: one.path,
    problem: wordShapeError(document, one, shapeAt(root, parentPath(one))),
  }));
  const problems = mistakes.map(({ problem }) => problem);
  const more = reported.length - problems.length;
  if (wrongKind !== undefined || more > 0) return { problems, more };
  const mended = mendShape(data, mistakes);
  // A key put right may uncover a value that is wrong as well: then the rest has to wait for the next run.
  return validate(withoutHoles(mended.data)) ? { problems, more, mended } : { problems, more };
}

/** Without a word of its kind, and with several keys that do not belong, no fewer than those that do. */
function saysNoKind(placed: readonly PlacedError[], data: unknown): boolean {
  const isRoot = ({ error }: PlacedError) => error.instancePath === '';
  const isSilent = placed.some((one) => isRoot(one) && one.error.params['missingProperty'] === 'loadside');
  if (!isSilent || typeof data !== 'object' || data === null) return false;
  const foreign = placed.filter((one) => isRoot(one) && one.error.keyword === 'additionalProperties').length;
  return foreign > 1 && foreign >= Object.keys(data).length - foreign;
}

/**
 * Drops what only follows from another mistake: "key missing" where the key is there but misspelt, "too few" where
 * an entry is malformed, as [A.1 B.1] without its comma is one malformed name, and a bad value behind a bad key, as
 * {power off} and CTL.HV {hazard: gas} are without their colon.
 */
function withoutEchoes(placed: readonly PlacedError[], document: Document, root: FileKind): PlacedError[] {
  const meant = new Set<string>();
  for (const one of placed) {
    const { keyword } = one.error;
    if (keyword === 'pattern') meant.add(JSON.stringify(one.path.slice(0, -1)));
    if (keyword !== 'additionalProperties' && keyword !== 'propertyNames') continue;
    if (isScalar(valueAt(document.data, one.path))) meant.add(JSON.stringify(one.path));
    const problem = wordShapeError(document, one, shapeAt(root, parentPath(one)));
    const nearest = problem.code === 'key-unknown' ? problem.data.nearest : undefined;
    if (nearest !== undefined) meant.add(JSON.stringify([...parentPath(one), nearest]));
  }
  const echoing = new Set(['required', 'minItems', 'type', 'enum', 'pattern']);
  return placed.filter(({ error, path }) => !echoing.has(error.keyword) || !meant.has(JSON.stringify(path)));
}

function isScalar(value: unknown): boolean {
  return value === null || typeof value !== 'object';
}

function parentPath({ path, part }: PlacedError): Path {
  return part === 'key' ? path.slice(0, -1) : path;
}

/** What the table of keys says of a path: a shape, the name of a definition of single values, or nothing. */
function shapeAt(root: FileKind, path: Path): ShapeRef | undefined {
  let ref: ShapeRef | undefined = root;
  for (const step of path) {
    const shape: Shape | undefined = resolve(ref);
    const keys = shape?.keys;
    ref =
      keys !== undefined && typeof step === 'string' && Object.hasOwn(keys, step) ? keys[step] : shape?.each;
  }
  return resolve(ref) ?? ref;
}

function resolve(ref: ShapeRef | undefined): Shape | undefined {
  if (typeof ref !== 'string') return ref;
  return Object.hasOwn(shapes, ref) ? shapes[ref] : undefined;
}
