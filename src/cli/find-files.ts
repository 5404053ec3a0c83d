import { normalize, sep } from 'node:path';
import { readGlob } from './match-names.js';
import { walkFolder } from './walk-folder.js';
import { isFileTrouble, type World } from './world.js';

/** How names of circuit files end, for those that are looked for in folders. */
export const circuitEndings: readonly string[] = ['.circuit.yaml', '.circuit.yml'];

/** What the arguments of a command on many files led to. */
export interface FoundFiles {
  /** Each file once, in the order of the arguments; those of one folder or glob by name, in order of UTF-16 units. */
  readonly paths: readonly string[];
  /** Arguments, and folders below them, that led to nothing, each with why: the call is unusable where there are any. */
  readonly missing: readonly MissingFiles[];
}

export interface MissingFiles {
  readonly path: string;
  readonly reason: string;
}

/**
 * The files meant by the arguments of a command: `-` and names as they are, folders with all below them whose names
 * end in one of `endings` (`.circuit.yaml`), and globs that the shell left alone; a folder that a glob matches counts
 * like one that is named. On the way down .git, node_modules and what a .gitignore leaves out are skipped, and links to
 * folders are not followed. What is named outright is always taken.
 */
export async function findFiles(
  world: World,
  given: readonly string[],
  endings: readonly string[],
): Promise<FoundFiles> {
  const finder = new Finder(world, endings);
  for (const argument of given) await finder.find(argument);
  return finder;
}

class Finder implements FoundFiles {
  readonly paths: string[] = [];
  readonly missing: MissingFiles[] = [];
  private readonly known = new Set<string>();
  private readonly world: World;
  private readonly endings: readonly string[];

  constructor(world: World, endings: readonly string[]) {
    this.world = world;
    this.endings = endings;
  }

  async find(argument: string): Promise<void> {
    if (argument === '-') {
      this.add(argument);
      return;
    }
    try {
      await this.findNamed(argument);
    } catch (error) {
      if (!isFileTrouble(error)) throw error;
      this.miss(error.path, error.message);
    }
  }

  private async findNamed(argument: string): Promise<void> {
    const kind = await this.world.kindOf(argument);
    if (kind === 'folder') {
      await this.walk(argument, argument, (below) => this.hasEnding(below));
      return;
    }
    const glob = kind === undefined ? readGlob(argument.split(sep).join('/')) : undefined;
    if (glob === undefined) {
      if (kind === undefined) this.miss(argument, 'no such file or folder');
      else this.add(argument);
    } else if ((await this.world.kindOf(glob.base)) === 'folder') {
      // All that is below a folder, like the folder itself, stands for what such a command reads.
      const isAll = /(?:^|\/)\*\*$/.test(argument);
      const isMeant = (below: string) => this.isMatched(below, glob.matches);
      await this.walk(argument, glob.base, (below) => isMeant(below) && (!isAll || this.hasEnding(below)));
    } else {
      this.miss(argument, 'matches no file');
    }
  }

  private hasEnding(name: string): boolean {
    return this.endings.some((ending) => name.endsWith(ending));
  }

  /** By itself, or below a folder that is matched. */
  private isMatched(below: string, matches: (below: string) => boolean): boolean {
    if (matches(below)) return true;
    if (!this.hasEnding(below)) return false;
    const steps = below.split('/');
    return steps.some((_, index) => index > 0 && matches(steps.slice(0, index).join('/')));
  }

  private async walk(argument: string, start: string, isMeant: (below: string) => boolean): Promise<void> {
    const { paths, troubles, isPartial } = await walkFolder(this.world, start, isMeant);
    for (const path of paths) this.add(path);
    for (const { path, message } of troubles) this.miss(path, message);
    if (paths.length > 0 || troubles.length > 0) return;
    const what = start === argument ? `holds no *${this.endings.join(' or *')}` : 'matches no file';
    this.miss(argument, isPartial ? `${what}; what a .gitignore leaves out was not looked at` : what);
  }

  private add(path: string): void {
    const key = path === '-' ? path : normalize(path);
    if (!this.known.has(key)) this.paths.push(path);
    this.known.add(key);
  }

  private miss(path: string, reason: string): void {
    this.missing.push({ path, reason });
  }
}
