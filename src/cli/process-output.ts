import { fstatSync, writeSync } from 'node:fs';
import process from 'node:process';
import { type ExitStatus, exitStatus } from './exit-status.js';

/** Standard output and standard error, as they are numbered. */
export type OutputFile = 1 | 2;

/**
 * Node's stream for each, once it was asked for: making one loads a tenth of what a short call takes, so that files and
 * pipes are written to directly, and only a terminal, or a pipe that takes no more for now, gets its stream.
 */
const streams = new Map<OutputFile, NodeJS.WriteStream>();

let mustNotBlock = false;

/** From now on a slow reader holds nothing up, for there are signals to answer, or lines to read. */
export function writeWithoutBlocking(): void {
  mustNotBlock = true;
}

/** A reader that has seen enough (`| head`) closes the pipe: stop quietly, as if by SIGPIPE. */
export function write(file: OutputFile, text: string): void {
  if (mustNotBlock || streams.has(file) || mayBeTerminal(file)) {
    streamOf(file).write(text);
    return;
  }
  const rest = writtenAtOnce(file, Buffer.from(text));
  if (rest.length > 0) streamOf(file).write(rest);
}

/** What the other side, which asked not to be waited for, does not take yet. */
function writtenAtOnce(file: OutputFile, bytes: Uint8Array): Uint8Array {
  let at = 0;
  try {
    while (at < bytes.length) at += writeSync(file, bytes, at);
  } catch (error) {
    const failed = error as NodeJS.ErrnoException;
    if (failed.code !== 'EAGAIN') giveUp(file, failed);
  }
  return bytes.subarray(at);
}

export function streamOf(file: OutputFile): NodeJS.WriteStream {
  const known = streams.get(file);
  if (known !== undefined) return known;
  const stream = file === 1 ? process.stdout : process.stderr;
  streams.set(file, stream);
  return stream.on('error', (error: NodeJS.ErrnoException) => giveUp(file, error));
}

function giveUp(file: OutputFile, { code }: NodeJS.ErrnoException): never {
  if (code === 'EPIPE') process.exit(141);
  if (file === 1) write(2, `loadside: the answer can't be written (${code ?? 'unknown reason'}).\n`);
  process.exit(exitStatus.unusable);
}

/** The null device as Linux numbers it: nobody looks at it. */
const nullDevice = 0x103;

/** Whether a stream is worth making to ask it. */
export function mayBeTerminal(file: 0 | OutputFile): boolean {
  try {
    const found = fstatSync(file);
    return found.isCharacterDevice() && found.rdev !== nullDevice;
  } catch {
    return true;
  }
}

/**
 * Ends the process with this status: at once where everything is written, for taking its memory down in good order
 * lasts as long as a part of the work did.
 */
export function endProcess(status: ExitStatus): void {
  process.exitCode = status;
  if (mustNotBlock) return;
  if (streams.size === 0) process.exit();
  // A stream tells of what went wrong a little later.
  setImmediate(() => {
    if ([...streams.values()].every((stream) => stream.writableLength === 0)) process.exit();
  });
}
