import { dirname, join, normalize, sep } from 'node:path';
import type { Included } from '../answer/answer.js';
import type { CircuitProblem, CircuitProblemData, Piece } from '../circuit/circuit.js';
import type { Problem } from '../report/report.js';
import {
  decode,
  type FileRead,
  limits,
  type Raw,
  readCircuitFile,
  type Source,
  type Spot,
} from '../text/text.js';
import type { Input } from './loaded.js';
import { isFileTrouble, type World } from './world.js';

interface LoadedIncludes extends Included {
  readonly inputs: readonly Input[];
}

/**
 * Reads the pieces a circuit includes, and what those include. Each lies in the folder of the circuit or below it, links
 * followed; standard input counts as lying in the working folder. Of a file that does not say it is an assembly nothing
 * is told but that.
 */
export async function loadIncludes(
  world: World,
  path: string,
  source: Source,
  read: FileRead<Raw.RawCircuit>,
): Promise<LoadedIncludes> {
  const folder = path === '-' ? '.' : forward(dirname(path));
  const loader = new Loader(world, folder, source.text.length);
  const piece = await loader.pieceOf({ read, folder, prefix: '', includedAt: [], within: [] });
  return { ...loader.result(), piece };
}

function forward(path: string): string {
  return path.split(sep).join('/');
}

/** Why a path may not stand in a file, whatever is there; undefined where it may. */
function whyRefused(file: string): string | undefined {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: a path with one can trick who reads it, or end it early
  if (/[\u0000-\u001f\u007f]/.test(file)) return 'holds a control character';
  if (/^(?:\/\/|\\\\)/.test(file)) return 'names another machine';
  if (/^[A-Za-z]:/.test(file)) return 'names a drive';
  if (/^[A-Za-z][A-Za-z0-9+.-]+:/.test(file)) return 'is an address, not a path';
  if (file.startsWith('/')) return 'starts at the root of the disk';
  return file.includes('\\') ? 'has a backslash in it' : undefined;
}

const outside = 'leads out of the folder of the circuit';

/** A file that may include others, with how one got there. */
interface Including {
  readonly read: FileRead<Raw.RawCircuit>;
  readonly folder: string;
  /** Of its names in the circuit; empty for the circuit itself. */
  readonly prefix: string;
  /** Where it is included, nearest first. */
  readonly includedAt: readonly Spot[];
  /** Files it is included by, itself last; the circuit is not counted. */
  readonly within: readonly { readonly real: string; readonly name: string }[];
}

/** What one circuit includes. */
class Loader {
  private readonly problems: Problem[] = [];
  private readonly inputs: Input[] = [];
  private readonly sources: Source[] = [];
  private readonly omitted = new Set<string>();
  private readonly guessed = new Set<string>();
  private readonly prefixes: string[] = [];
  private readonly texts = new Map<string, Source | undefined>();
  private readonly world: World;
  private readonly root: string;
  private more = 0;
  private count = 0;
  private length: number;

  constructor(world: World, root: string, length: number) {
    this.world = world;
    this.root = root;
    this.length = length;
  }

  result(): Omit<LoadedIncludes, 'piece'> {
    const { problems, more, inputs, sources, omitted, guessed, prefixes } = this;
    return { problems, more, inputs, sources, leftOut: { names: omitted, prefixes, guessed } };
  }

  async pieceOf(including: Including): Promise<Piece> {
    const { document, raw } = including.read;
    const includes: Piece['includes'][number][] = [];
    const taken = new Set<string>();
    for (const [entry, include] of (raw.include ?? []).entries()) {
      if (include === undefined) continue;
      const { prefix } = include;
      if (taken.has(prefix)) this.report(including, entry, 'prefix', 'name-duplicate', { name: prefix });
      const piece = taken.has(prefix) ? undefined : await this.included(including, entry, include);
      taken.add(prefix);
      if (piece === undefined) this.prefixes.push(prefixed(including, prefix));
      else includes.push({ entry, piece });
    }
    return { document, raw, includes };
  }

  private async included(
    including: Including,
    entry: number,
    include: Raw.Include,
  ): Promise<Piece | undefined> {
    const { file, prefix } = include;
    const refuse = (why: string) => this.report(including, entry, 'file', 'include-path', { file, why });
    const why = whyRefused(file);
    const name = forward(normalize(join(including.folder, file)));
    if (why !== undefined || !isBelow(name, forward(normalize(this.root)))) return refuse(why ?? outside);
    if (!this.isWithinLimits(including, entry)) return undefined;
    const real = await this.realFile(including, entry, file, name);
    if (real === undefined) return undefined;
    if (!isBelow(real, await this.world.realPath(this.root))) return refuse(`${outside} through a link`);
    const first = including.within.findIndex((each) => each.real === real);
    if (first !== -1) {
      const files = including.within.slice(first).map((each) => each.name);
      return this.report(including, entry, 'file', 'include-loop', { files });
    }
    const source = await this.sourceOf(real, name);
    if (source === undefined) return this.report(including, entry, 'file', 'include-kind', { file });
    this.length += source.text.length;
    if (this.length > limits.circuitBytes)
      return this.tooMuch(including, entry, 'included bytes', this.length);
    const includedAt = [this.spotOf(including, entry, 'file'), ...including.includedAt];
    const { file: sound, mended, problems, more } = readCircuitFile(source);
    for (const problem of problems) this.problems.push({ ...problem, at: { ...problem.at, includedAt } });
    this.more += more;
    for (const each of mended?.omitted ?? []) this.omitted.add(prefixed(including, `${prefix}-${each}`));
    for (const each of mended?.guessed ?? []) this.guessed.add(prefixed(including, `${prefix}-${each}`));
    const read = sound ?? mended;
    if (read === undefined) return undefined;
    const within = [...including.within, { real, name }];
    const folder = forward(dirname(name));
    return this.pieceOf({ read, folder, prefix: prefixed(including, prefix), includedAt, within });
  }

  private isWithinLimits(including: Including, entry: number): boolean {
    this.count += 1;
    if (this.count > limits.includes) this.tooMuch(including, entry, 'includes', this.count);
    else if (including.within.length >= limits.includeDepth)
      this.tooMuch(including, entry, 'include depth', including.within.length + 1);
    else return true;
    return false;
  }

  /** The real path of an ordinary file; undefined, and told, where there is none. A pipe would be waited for. */
  private async realFile(
    including: Including,
    entry: number,
    file: string,
    name: string,
  ): Promise<string | undefined> {
    const missing = (why: string) => this.report(including, entry, 'file', 'include-missing', { file, why });
    try {
      const kind = await this.world.kindOf(name);
      if (kind === undefined) return missing('there is no such file');
      return kind === 'file' ? await this.world.realPath(name) : missing('it is no ordinary file');
    } catch (error) {
      if (!isFileTrouble(error)) throw error;
      return missing(error.message);
    }
  }

  /** The text of an assembly; undefined for any other file. */
  private async sourceOf(real: string, name: string): Promise<Source | undefined> {
    if (this.texts.has(real)) return this.texts.get(real);
    const bytes = await this.world.readBytes(name, limits.circuitBytes);
    const { source, problems } = decode(name, bytes, limits.circuitBytes);
    const isAssembly = source !== undefined && problems.length === 0 && assemblyLine.test(source.text);
    this.texts.set(real, isAssembly ? source : undefined);
    this.inputs.push({ path: name, bytes });
    if (isAssembly) this.sources.push(source);
    return isAssembly ? source : undefined;
  }

  private tooMuch(including: Including, entry: number, what: keyof typeof mostOf, found: number): undefined {
    const at = this.spotOf(including, entry, 'file');
    this.problems.push({ code: 'limit-exceeded', data: { what, found, ...mostOf[what] }, at });
    return undefined;
  }

  private report<Code extends CircuitProblem['code']>(
    including: Including,
    entry: number,
    key: 'file' | 'prefix',
    code: Code,
    data: CircuitProblemData[Code],
  ): undefined {
    this.problems.push({ code, data, at: this.spotOf(including, entry, key) } as CircuitProblem);
    return undefined;
  }

  private spotOf({ read, includedAt }: Including, entry: number, key: 'file' | 'prefix'): Spot {
    const spot = read.document.locate(['include', entry, key], 'value');
    return includedAt.length === 0 ? spot : { ...spot, includedAt };
  }
}

const mostOf = {
  includes: { limit: limits.includes, unit: 'files' },
  'include depth': { limit: limits.includeDepth, unit: 'files' },
  'included bytes': { limit: limits.circuitBytes, unit: 'bytes' },
} as const;

const assemblyLine = /^loadside:[ \t]*(['"]?)assembly\/1\1[ \t]*(?:#.*)?$/m;

function prefixed({ prefix }: Including, name: string): string {
  return prefix === '' ? name : `${prefix}-${name}`;
}

function isBelow(path: string, folder: string): boolean {
  if (folder === '.') return !path.startsWith('/') && path !== '..' && !path.startsWith('../');
  return path.startsWith(folder.endsWith('/') ? folder : `${folder}/`);
}
