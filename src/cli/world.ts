import type { ExitStatus } from './exit-status.js';

/** The outside as one object, so that a run can be tested in process. Nothing else below or beside cli touches it. */
export interface World {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** The bytes of a file, or of standard input for `-`. Throws a `FileTrouble`. */
  readonly readBytes: (path: string, most: number) => Promise<Uint8Array>;
  /** What a path leads to, links followed; undefined where there is nothing. Throws a `FileTrouble`. */
  readonly kindOf: (path: string) => Promise<FileKind | undefined>;
  /** What a folder holds, in order of UTF-16 units. Throws a `FileTrouble`. */
  readonly listFolder: (path: string) => Promise<readonly FolderEntry[]>;
  /** The absolute path without links, with forward slashes. Throws a `FileTrouble`. */
  readonly realPath: (path: string) => Promise<string>;
  /** The text of a file of this package, named from its folder. Throws a `FileTrouble`. */
  readonly readOwn: (name: string) => Promise<string>;
  /** Makes a folder where there is none. Throws a `FileTrouble`. */
  readonly makeFolder: (path: string) => Promise<void>;
  /** Adds to the end of a file, which is made where there is none. Throws a `FileTrouble`. */
  readonly append: (path: string, text: string) => Promise<void>;
  /** Writes a file whole or not at all, and never over one of `inputs`. Throws a `FileTrouble`. */
  readonly writeWhole: (path: string, text: string, inputs: readonly string[]) => Promise<void>;
  /** Somebody types at standard input. */
  readonly inIsTerminal: boolean;
  /** Asks for lines there, one after the other; `complete` gives what a word that was begun may become. */
  readonly converse: (complete: (begun: string) => readonly string[]) => Promise<Conversation>;
  /** The same for an answer that comes piece by piece. */
  readonly startWhole: (path: string, inputs: readonly string[]) => Promise<WholeFile>;
  /** Standard input as it comes. Throws a `FileTrouble`. */
  readonly readChunks: () => AsyncIterable<Uint8Array>;
  /** When what was written to standard output has been taken, or nearly so. */
  readonly drained: () => Promise<void>;
  /** Calls `act` once at the first signal to stop, with the exit status it asks for; a second one ends the process. */
  readonly onStop: (act: (status: ExitStatus) => void) => void;
  /** Processors to work on. */
  readonly cores: () => Promise<number>;
  readonly outIsTerminal: boolean;
  readonly errIsTerminal: boolean;
  /** Milliseconds, from any zero: only for how long something has been going on. */
  readonly now: () => number;
  /** Of standard output, and of standard error; undefined where it is no terminal. */
  readonly columns: number | undefined;
  readonly errColumns: number | undefined;
  readonly env: Readonly<Record<string, string | undefined>>;
}

/** A file in the making, under another name until it is whole. */
export interface WholeFile {
  readonly write: (text: string) => void;
  readonly keep: () => void;
  readonly drop: () => void;
}

/** A pipe or device is neither a file nor a folder. */
export type FileKind = 'file' | 'folder' | 'other';

/** A link to a file counts as a file, one to a folder as something else: who follows it may walk for ever. */
export interface FolderEntry {
  readonly name: string;
  readonly kind: FileKind;
}

/** Lines typed at a terminal. */
export interface Conversation {
  /** The next line; undefined where there is none any more. */
  readonly ask: (prompt: string) => Promise<string | undefined>;
  readonly end: () => void;
}

/** A file that can't be read or written: not a problem in what somebody wrote, but of the call. */
export class FileTrouble extends Error {
  override readonly name = 'FileTrouble';
  readonly path: string;

  constructor(path: string, reason: string) {
    super(reason);
    this.path = path;
  }
}

/** By name: the two bundles each have a class of their own, so that `instanceof` would tell them apart. */
export function isFileTrouble(error: unknown): error is FileTrouble {
  return error instanceof Error && error.name === 'FileTrouble' && 'path' in error;
}
