import { basename, dirname, normalize, sep } from 'node:path';
import { type Ignores, readIgnores } from './match-names.js';
import { type FileTrouble, isFileTrouble, type World } from './world.js';

export interface Walked {
  /** In order of UTF-16 units. */
  readonly paths: readonly string[];
  /** What could not be looked into. */
  readonly troubles: readonly FileTrouble[];
  /** A file that is meant, or a whole folder, was left out for a .gitignore. */
  readonly isPartial: boolean;
}

const neverEntered: ReadonlySet<string> = new Set(['.git', 'node_modules']);

const mostIgnoreBytes = 1_048_576;

/** The files below a folder that are meant, by their path below it; what git would not look at is left out. */
export async function walkFolder(
  world: World,
  start: string,
  isMeant: (below: string) => boolean,
): Promise<Walked> {
  const walk = new Walk(world, start, isMeant);
  await walk.enter('', await walk.rulesAbove());
  return { paths: walk.paths.sort(), troubles: walk.troubles, isPartial: walk.isPartial };
}

class Walk {
  readonly paths: string[] = [];
  readonly troubles: FileTrouble[] = [];
  isPartial = false;
  private readonly world: World;
  private readonly start: string;
  private readonly isMeant: (below: string) => boolean;

  constructor(world: World, start: string, isMeant: (below: string) => boolean) {
    this.world = world;
    this.start = normalize(start)
      .split(sep)
      .join('/')
      .replace(/(?<=.)\/$/, '');
    this.isMeant = isMeant;
  }

  /** `folder` is empty for the start, else it ends in a slash; `rules` come nearest first. */
  async enter(folder: string, rules: readonly Ignores[]): Promise<void> {
    const entries = (await this.tried(() => this.world.listFolder(this.pathOf(folder)))) ?? [];
    const isRuled = entries.some(({ name }) => name === '.gitignore');
    const own = isRuled ? await this.rulesOf(this.pathOf(`${folder}.gitignore`)) : undefined;
    const all = own === undefined ? rules : [(below: string) => own(below.slice(folder.length)), ...rules];
    for (const { name, kind } of entries) {
      const below = `${folder}${name}`;
      if (kind === 'folder' && !neverEntered.has(name)) {
        if (isLeftOut(all, `${below}/`)) this.isPartial = true;
        else await this.enter(`${below}/`, all);
      } else if (kind === 'file' && this.isMeant(below)) {
        if (isLeftOut(all, below)) this.isPartial = true;
        else this.paths.push(this.pathOf(below));
      }
    }
  }

  /**
   * What stands above the start, up to the folder that git keeps its own in; none where the start is itself left out
   * there, for it was named.
   */
  async rulesAbove(): Promise<readonly Ignores[]> {
    const rules: Ignores[] = [];
    let above = '';
    let isOutside = false;
    const isRoot = async (folder: string) => (await this.world.kindOf(`${folder}/.git`)) !== undefined;
    let folder = await this.world.realPath(this.start);
    while (!(await isRoot(folder))) {
      const parent = dirname(folder);
      // No git here: nothing but what is met on the way down.
      if (parent === folder) return [];
      above = `${basename(folder)}/${above}`;
      folder = parent;
      const path = `${folder}/.gitignore`;
      const own = (await this.world.kindOf(path)) === 'file' ? await this.rulesOf(path) : undefined;
      if (own === undefined) continue;
      const from = above;
      rules.push((below) => own(from + below));
      isOutside ||= own(from) === true;
    }
    return isOutside ? [] : rules;
  }

  private async rulesOf(path: string): Promise<Ignores | undefined> {
    const bytes = await this.tried(() => this.world.readBytes(path, mostIgnoreBytes));
    return bytes === undefined ? undefined : readIgnores(new TextDecoder().decode(bytes));
  }

  /** A folder that may not be read is told, and the rest is still looked at. */
  private async tried<Value>(act: () => Promise<Value>): Promise<Value | undefined> {
    try {
      return await act();
    } catch (error) {
      if (!isFileTrouble(error)) throw error;
      this.troubles.push(error);
      return undefined;
    }
  }

  private pathOf(below: string): string {
    if (this.start === '.') return below === '' ? '.' : below;
    return this.start.endsWith('/') || below === '' ? this.start + below : `${this.start}/${below}`;
  }
}

/** The nearest .gitignore that has a say decides. */
function isLeftOut(rules: readonly Ignores[], below: string): boolean {
  for (const rule of rules) {
    const said = rule(below);
    if (said !== undefined) return said;
  }
  return false;
}
