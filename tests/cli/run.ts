import { readFileSync, realpathSync, statSync } from 'node:fs';
import { normalize, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { main, processWorld } from '../../src/cli/cli.js';
import { type FileKind, FileTrouble, type FolderEntry, type World } from '../../src/cli/world.js';

export const root: string = fileURLToPath(new URL('../..', import.meta.url));

/** What a run finds outside of itself. */
export interface Outside {
  /** Files by the name they are asked for; any other name is looked for on the disk. */
  readonly files?: Readonly<Record<string, string | Uint8Array>>;
  readonly stdin?: string | Uint8Array;
  readonly env?: Readonly<Record<string, string>>;
  /** Lines typed at a terminal; undefined where standard input is none. */
  readonly typed?: readonly string[];
  /** Undefined where there is no terminal. */
  readonly columns?: number | undefined;
  readonly terminal?: { readonly out?: boolean; readonly err?: boolean };
  /** The person at the terminal. */
  readonly ask?: (question: string) => Promise<string | undefined>;
  /** Milliseconds; standing still where absent. */
  readonly now?: () => number;
  /** The folder names on the disk are relative to, itself relative to the package. */
  readonly folder?: string;
}

export interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
  /** What `--output` wrote, by name. */
  readonly written: ReadonlyMap<string, string>;
}

/** The program in process: arguments as a shell would give them, colour off, 80 columns unless said otherwise. */
export async function run(args: readonly string[], outside: Outside = {}): Promise<Ran> {
  let out = '';
  let err = '';
  const written = new Map<string, string>();
  const { files = {}, stdin = '', env = {}, terminal = {}, folder = '', now = () => 0, typed } = outside;
  const world: World = {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    readBytes: async (path, most) => {
      if (path === '-') return bytesOf(stdin).subarray(0, most + 1);
      const given = Object.hasOwn(files, path) ? files[path] : undefined;
      return (given === undefined ? fromDisk(folder, path) : bytesOf(given)).subarray(0, most + 1);
    },
    kindOf: async (path) => kindIn(files, path) ?? processWorld().kindOf(resolve(root, folder, path)),
    listFolder: async (path) => listIn(files, path) ?? processWorld().listFolder(resolve(root, folder, path)),
    realPath: async (path) => {
      const place = resolve(root, folder, path);
      return kindIn(files, path) === undefined ? realpathSync(place) : place;
    },
    readOwn: async (name) => readFileSync(resolve(root, name), 'utf8'),
    makeFolder: async () => {},
    append: async (path, text) => {
      const given = Object.hasOwn(files, path) ? Buffer.from(bytesOf(files[path] ?? '')).toString() : '';
      written.set(path, `${written.get(path) ?? given}${text}`);
    },
    writeWhole: async (path, text, inputs) => {
      if (inputs.some((input) => resolve(input) === resolve(path))) throw new FileTrouble(path, 'is read');
      written.set(path, text);
    },
    inIsTerminal: typed !== undefined || outside.ask !== undefined,
    converse: async () => {
      const lines = [...(typed ?? [])];
      return { ask: outside.ask ?? (async () => lines.shift()), end: () => {} };
    },
    startWhole: async (path, inputs) => {
      let whole = '';
      return {
        write: (text) => {
          whole += text;
        },
        keep: () => void world.writeWhole(path, whole, inputs),
        drop: () => {},
      };
    },
    readChunks: async function* () {
      yield bytesOf(stdin);
    },
    drained: async () => {},
    onStop: () => {},
    // No workers: those run the program as it is built.
    cores: async () => 1,
    outIsTerminal: terminal.out ?? false,
    errIsTerminal: terminal.err ?? false,
    now,
    columns: 'columns' in outside ? outside.columns : 80,
    errColumns: undefined,
    env,
  };
  const status = await main(args, world);
  return { status, out, err, written };
}

function bytesOf(content: string | Uint8Array): Uint8Array {
  return typeof content === 'string' ? new TextEncoder().encode(content) : content;
}

/** Files given hide a folder of the disk of the same name. */
function kindIn(files: NonNullable<Outside['files']>, path: string): FileKind | undefined {
  const name = normalize(path);
  if (Object.hasOwn(files, name)) return 'file';
  return listIn(files, path) === undefined ? undefined : 'folder';
}

function listIn(files: NonNullable<Outside['files']>, path: string): FolderEntry[] | undefined {
  const start = normalize(`${path}/`) === './' ? '' : normalize(`${path}/`);
  const kinds = new Map<string, FileKind>();
  for (const file of Object.keys(files)) {
    if (!file.startsWith(start)) continue;
    const [name = '', ...below] = file.slice(start.length).split('/');
    kinds.set(name, below.length === 0 ? 'file' : 'folder');
  }
  if (kinds.size === 0) return undefined;
  return [...kinds].map(([name, kind]) => ({ name, kind })).sort((a, b) => (a.name < b.name ? -1 : 1));
}

function fromDisk(folder: string, path: string): Uint8Array {
  const place = resolve(root, folder, path);
  const found = statSync(place, { throwIfNoEntry: false });
  if (found === undefined) throw new FileTrouble(path, 'no such file');
  if (found.isDirectory()) throw new FileTrouble(path, 'is a folder, not a file');
  return readFileSync(place);
}

/** The one JSON document a run wrote to standard output. */
export function jsonOf({ out }: Ran): Answer {
  return JSON.parse(out) as Answer;
}

// biome-ignore lint/suspicious/noExplicitAny: an answer's form is its schema's to say, and json.test.ts holds it to that
export type Answer = any;

/** "line:column code" of each problem, as JSON tells them, of a `validate` with one file or of an unusable input. */
export function problemsIn(ran: Ran): readonly FoundProblem[] {
  const answer = jsonOf(ran);
  const files = answer.files === undefined ? [answer] : answer.files;
  return files.flatMap((file: Answer) => file.problems);
}

export interface FoundProblem {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly code: string;
  readonly severity: 'error' | 'warning';
  readonly message: string;
  readonly help?: string;
}
