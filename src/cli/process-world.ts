import {
  appendFileSync,
  closeSync,
  fchmodSync,
  fstatSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  readSync,
  realpathSync,
  renameSync,
  statSync,
  unlinkSync,
  writeSync,
} from 'node:fs';
import { basename, dirname, join, sep } from 'node:path';
import process from 'node:process';
import { type ExitStatus, exitStatus } from './exit-status.js';
import { mayBeTerminal, streamOf, write, writeWithoutBlocking } from './process-output.js';
import {
  type Conversation,
  type FileKind,
  FileTrouble,
  type FolderEntry,
  type WholeFile,
  type World,
} from './world.js';

/** The real outside: this process, its streams and the disk. `home` is the folder of this package. */
export function processWorld(home: string = process.cwd()): World {
  return {
    out: (text) => write(1, text),
    err: (text) => write(2, text),
    readBytes: async (path, most) => readBytes(path, most),
    kindOf: async (path) => kindOf(path),
    listFolder: async (path) => listFolder(path),
    realPath: async (path) => realPath(path),
    readOwn: async (name) => Buffer.from(readBytes(join(home, name), 1e9)).toString('utf8'),
    makeFolder: async (path) => makeFolder(path),
    append: async (path, text) => append(path, text),
    writeWhole: async (path, text, inputs) => writeWhole(path, text, inputs),
    get inIsTerminal() {
      return mayBeTerminal(0) && process.stdin.isTTY === true;
    },
    converse,
    startWhole: async (path, inputs) => startWhole(path, inputs),
    readChunks,
    drained,
    onStop,
    cores: async () => (await import('node:os')).availableParallelism(),
    get outIsTerminal() {
      return mayBeTerminal(1) && streamOf(1).isTTY === true;
    },
    get errIsTerminal() {
      return mayBeTerminal(2) && streamOf(2).isTTY === true;
    },
    now: () => performance.now(),
    get columns() {
      return mayBeTerminal(1) ? streamOf(1).columns : undefined;
    },
    get errColumns() {
      return mayBeTerminal(2) ? streamOf(2).columns : undefined;
    },
    env: process.env,
  };
}

const reasons: Readonly<Record<string, string>> = {
  ENOENT: 'no such file',
  EISDIR: 'is a folder, not a file',
  EACCES: 'may not be read or written by you',
  ENOTDIR: 'a part of its path is not a folder',
  ENOSPC: 'the disk is full',
  EROFS: 'the disk is read-only',
  ELOOP: 'its links lead in a circle',
};

function trouble(path: string, error: unknown): FileTrouble {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return new FileTrouble(path, reasons[code] ?? `can't be used (${code || 'unknown reason'})`);
}

/** At most one byte beyond `most`, so that the limit can be told, whatever the file is (a device never ends). */
function readBytes(path: string, most: number): Uint8Array {
  try {
    const file = path === '-' ? 0 : openSync(path, 'r');
    try {
      if (fstatSync(file).isDirectory()) throw new FileTrouble(path, reasons['EISDIR'] ?? '');
      return readUpTo(file, most + 1);
    } finally {
      if (file !== 0) closeSync(file);
    }
  } catch (error) {
    throw error instanceof FileTrouble ? error : trouble(path, error);
  }
}

function readUpTo(file: number, most: number): Uint8Array {
  const chunks: Buffer[] = [];
  let length = 0;
  while (length < most) {
    const chunk = Buffer.allocUnsafe(Math.min(65_536, most - length));
    const got = readChunk(file, chunk);
    if (got === 0) break;
    chunks.push(chunk.subarray(0, got));
    length += got;
  }
  return Buffer.concat(chunks);
}

/** A pipe on standard input may have nothing yet: wait a little and ask again. */
function readChunk(file: number, chunk: Buffer): number {
  for (;;) {
    try {
      return readSync(file, chunk);
    } catch (error) {
      const code = error instanceof Error && 'code' in error ? error.code : undefined;
      if (code === 'EOF') return 0;
      if (code !== 'EAGAIN') throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 10);
    }
  }
}

function kindOf(path: string): FileKind | undefined {
  try {
    const found = statSync(path);
    return found.isFile() ? 'file' : found.isDirectory() ? 'folder' : 'other';
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    if (code === 'ENOENT' || code === 'ENOTDIR') return undefined;
    throw trouble(path, error);
  }
}

function listFolder(path: string): FolderEntry[] {
  try {
    const entries = readdirSync(path, { withFileTypes: true }).map((entry): FolderEntry => {
      const { name } = entry;
      if (entry.isDirectory()) return { name, kind: 'folder' };
      if (entry.isSymbolicLink()) return { name, kind: kindOfLink(join(path, name)) };
      return { name, kind: entry.isFile() ? 'file' : 'other' };
    });
    return entries.sort((a, b) => (a.name < b.name ? -1 : 1));
  } catch (error) {
    throw trouble(path, error);
  }
}

/** One that leads nowhere, or in a circle, counts as a file: whoever reads it is told so. */
function kindOfLink(path: string): FileKind {
  try {
    return statSync(path).isFile() ? 'file' : 'other';
  } catch {
    return 'file';
  }
}

function realPath(path: string): string {
  try {
    return realpathSync(path).split(sep).join('/');
  } catch (error) {
    throw trouble(path, error);
  }
}

function makeFolder(path: string): void {
  try {
    mkdirSync(path, { recursive: true });
  } catch (error) {
    throw trouble(path, error);
  }
}

function append(path: string, text: string): void {
  try {
    appendFileSync(path, text, { flush: true });
  } catch (error) {
    throw trouble(path, error);
  }
}

/** Prompts and what is typed are for the terminal, whatever standard output is. */
async function converse(complete: (begun: string) => readonly string[]): Promise<Conversation> {
  const { createInterface } = await import('node:readline');
  writeWithoutBlocking();
  const lines = createInterface({
    input: process.stdin,
    output: streamOf(2),
    completer: (line: string) => {
      const begun = /\S*$/.exec(line)?.[0] ?? '';
      return [[...complete(begun)], begun];
    },
  });
  let over = false;
  let waiting: ((line: string | undefined) => void) | undefined;
  const typed: string[] = [];
  lines.on('line', (line) => {
    if (waiting === undefined) typed.push(line);
    else waiting(line);
    waiting = undefined;
  });
  lines.on('close', () => {
    over = true;
    waiting?.(undefined);
  });
  return {
    ask: (prompt) => {
      const [next] = typed.splice(0, 1);
      if (next !== undefined || over) return Promise.resolve(next);
      lines.setPrompt(prompt);
      lines.prompt();
      return new Promise((answer) => {
        waiting = answer;
      });
    },
    end: () => lines.close(),
  };
}

function writeWhole(path: string, text: string, inputs: readonly string[]): void {
  const file = startWhole(path, inputs);
  try {
    file.write(text);
    file.keep();
  } catch (error) {
    file.drop();
    throw error;
  }
}

/** A new file beside the target, flushed, then renamed over it: the target is the old one or the new one, never a part. */
function startWhole(path: string, inputs: readonly string[]): WholeFile {
  return told(path, () => {
    if (inputs.some((input) => isSameFile(input, path))) {
      throw new FileTrouble(path, 'is one of the files read, and is not written over');
    }
    if (isStream(path)) {
      const file = openSync(path, 'w');
      const close = () => told(path, () => closeSync(file));
      return { write: (text) => told(path, () => writeAll(file, text)), keep: close, drop: () => {} };
    }
    const target = resolved(path);
    const temporary = join(dirname(target), `.${basename(target)}.${process.pid}.loadside-tmp`);
    const file = openSync(temporary, 'wx', 0o666);
    const drop = () => unlinkSync(temporary);
    try {
      const before = statSync(target, { throwIfNoEntry: false });
      if (before !== undefined) fchmodSync(file, before.mode);
    } catch (error) {
      drop();
      throw error;
    }
    return {
      write: (text) => told(path, () => writeAll(file, text)),
      keep: () =>
        told(path, () => {
          fsyncSync(file);
          closeSync(file);
          renameSync(temporary, target);
        }),
      drop,
    };
  });
}

/** Whatever the disk refuses, as a trouble with this file. */
function told<Result>(path: string, act: () => Result): Result {
  try {
    return act();
  } catch (error) {
    throw error instanceof FileTrouble ? error : trouble(path, error);
  }
}

async function* readChunks(): AsyncIterable<Uint8Array> {
  writeWithoutBlocking();
  try {
    for await (const chunk of process.stdin) yield chunk;
  } catch (error) {
    throw trouble('-', error);
  }
}

async function drained(): Promise<void> {
  const stdout = streamOf(1);
  if (!stdout.writableNeedDrain) return;
  await new Promise<void>((resolve) => stdout.once('drain', resolve));
}

function onStop(act: (status: ExitStatus) => void): void {
  writeWithoutBlocking();
  let stopped = false;
  const statuses = { SIGINT: exitStatus.interrupted, SIGTERM: exitStatus.terminated } as const;
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.on(signal, () => {
      if (stopped) process.exit(statuses[signal]);
      stopped = true;
      // What may still come there would keep the process waiting.
      process.stdin.destroy();
      act(statuses[signal]);
    });
  }
}

function writeAll(file: number, text: string): void {
  const bytes = Buffer.from(text);
  let at = 0;
  while (at < bytes.length) at += writeSync(file, bytes, at);
}

/** One file under two names counts as one: by link, by another way to it, by letter case where the disk ignores that. */
function isSameFile(a: string, b: string): boolean {
  const [first, second] = [a, b].map((path) => statSync(path, { throwIfNoEntry: false }));
  return first !== undefined && second !== undefined && first.dev === second.dev && first.ino === second.ino;
}

/** A pipe or a device is written directly. */
function isStream(path: string): boolean {
  const found = statSync(path, { throwIfNoEntry: false });
  return found !== undefined && !found.isFile() && !found.isDirectory();
}

function resolved(path: string): string {
  return statSync(path, { throwIfNoEntry: false }) === undefined ? path : realpathSync(path);
}
