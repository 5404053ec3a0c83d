import type { Path } from './document.js';
import type { TextProblem } from './problems.js';

/** One mistake of shape: where it is, and the problem it was told as. */
export interface ShapeMistake {
  readonly path: Path;
  readonly problem: TextProblem;
}

/** Data that has its shape again, for looking at the rest of the file; never for an answer. */
export interface Mended {
  readonly data: unknown;
  /** Names and texts of what had to be left out: nothing else is wrong for referring to them. */
  readonly omitted: ReadonlySet<string>;
  /** Parts of which a misspelt choice was guessed: what follows from that choice is no mistake of its own. */
  readonly guessed: ReadonlySet<string>;
}

type Tree = Record<string, unknown> | unknown[];

/**
 * The data with each mistake put right where it is plain what was meant (a misspelt key or choice), else without
 * the entry it stands in: a part, or an item of a list, whose place stays empty so that the others keep theirs.
 */
export function mendShape(data: unknown, mistakes: readonly ShapeMistake[]): Mended {
  const copy = copied(data);
  const omitted = new Set<string>();
  const guessed = mistakes
    .filter(({ problem }) => problem.code === 'value-choice')
    .map(({ path: [, entry] }) => String(entry));
  // Renaming a key moves what is below it: deeper mistakes first.
  for (const { path, problem } of [...mistakes].sort((a, b) => b.path.length - a.path.length)) {
    if (!mendInPlace(copy, path, problem)) omitEntry(copy, path, omitted);
  }
  return { data: copy, omitted, guessed: new Set(guessed) };
}

function mendInPlace(root: unknown, path: Path, problem: TextProblem): boolean {
  const parent = at(root, path.slice(0, -1));
  const key = path.at(-1);
  if (!isTree(parent) || key === undefined) return false;
  if (problem.code === 'value-choice' && problem.data.nearest !== undefined) {
    Object.assign(parent, { [key]: problem.data.nearest });
    return true;
  }
  if (problem.code !== 'key-unknown' || Array.isArray(parent)) return false;
  const { nearest } = problem.data;
  const value = parent[String(key)];
  if (value === null && /^\d/.test(String(key))) return rejoinNumber(parent, String(key));
  delete parent[String(key)];
  if (nearest !== undefined && !Object.hasOwn(parent, nearest)) parent[nearest] = value;
  return true;
}

/** `reads: 121,2 V` inside { } is 121 and a key `2 V`; a key of digits only has lost its place, so its entry goes. */
function rejoinNumber(parent: Record<string, unknown>, key: string): boolean {
  const keys = Object.keys(parent);
  const before = keys[keys.indexOf(key) - 1];
  if (before === undefined) return false;
  parent[before] = `${parent[before]}.${key}`;
  delete parent[key];
  return true;
}

/** Entries stand two steps below the root: `loads.FAN`, `wires.3`. */
function omitEntry(root: unknown, path: Path, omitted: Set<string>): void {
  const [section, entry] = path;
  const holder = section === undefined ? undefined : at(root, [section]);
  if (section === undefined || entry === undefined || !isTree(holder)) {
    if (section !== undefined && isTree(root) && !Array.isArray(root)) {
      noteTexts(root[String(section)], omitted);
      delete root[String(section)];
    }
    return;
  }
  if (typeof entry === 'string') omitted.add(entry);
  noteTexts(at(holder, [entry]), omitted);
  if (Array.isArray(holder)) holder[Number(entry)] = undefined;
  else delete holder[String(entry)];
}

function noteTexts(value: unknown, omitted: Set<string>): void {
  if (typeof value === 'string') {
    // `LAMP.1` in what is left out may be all that speaks of LAMP.
    omitted.add(value).add(value.split('.')[0] ?? value);
  } else if (isTree(value)) for (const each of Object.values(value)) noteTexts(each, omitted);
}

function at(root: unknown, path: Path): unknown {
  let value = root;
  for (const step of path)
    value = isTree(value) && Object.hasOwn(value, step) ? Reflect.get(value, step) : undefined;
  return value;
}

/** Without the empty places of what was left out of lists. */
export function withoutHoles(value: unknown): unknown {
  if (Array.isArray(value)) return value.filter((each) => each !== undefined).map(withoutHoles);
  if (!isTree(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, withoutHoles(each)]));
}

function copied(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(copied);
  if (!isTree(value)) return value;
  const copy: Record<string, unknown> = Object.create(null);
  for (const [key, each] of Object.entries(value)) copy[key] = copied(each);
  return copy;
}

function isTree(value: unknown): value is Tree {
  return typeof value === 'object' && value !== null;
}
