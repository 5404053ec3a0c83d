/**
 * A line of bash as a scenario has it. Of a line that is a pipeline of plain words, the program's own stages run in
 * process, with the real disk; whatever asks more of the shell is left to it whole, with the program as it is installed.
 */
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { main, processWorld } from '../../src/cli/cli.js';
import type { World } from '../../src/cli/world.js';
import { root } from './run.js';

export interface Said {
  readonly stdout: string;
  readonly stderr: string;
  readonly status: number | undefined;
}

/** `own` are the program's arguments, `set` what is put into its environment; anything else is for the shell. */
interface OwnStage {
  readonly own: readonly string[];
  readonly set: readonly string[];
}
type Stage = OwnStage | { readonly shell: string };

/** Both streams and the status that bash would give, of a line run in a folder. */
export async function runLine(line: string, folder: string, stdin: string): Promise<Said> {
  let said: Said = { stdout: stdin, stderr: '', status: undefined };
  for (const stage of stagesOf(line) ?? [{ shell: line }]) {
    const next =
      'own' in stage
        ? await inProcess(stage, folder, said.stdout)
        : await inShell(stage.shell, folder, said.stdout);
    said = { ...next, stderr: said.stderr + next.stderr };
  }
  return said;
}

/** Undefined where a line is more than stages joined by pipes. */
export function stagesOf(line: string): readonly Stage[] | undefined {
  const pieces = line.match(/'[^']*'|"[^"$`\\]*"|[^\s'"|]+|\||\s+/g) ?? [];
  const isQuoted = (piece: string) => /^['"]/.test(piece);
  if (
    pieces.join('') !== line ||
    pieces.some((piece) => !isQuoted(piece) && /[;&<>$`(){}*?[\]~#!\\]/.test(piece))
  )
    return undefined;
  const stages: string[][] = [[]];
  for (const piece of pieces) piece === '|' ? stages.push([]) : stages.at(-1)?.push(piece);
  if (stages.some((stage) => stage.join('').trim() === '')) return undefined;
  const found: Stage[] = [];
  for (const stage of stages) {
    const words = stage.map((piece) => (isQuoted(piece) ? piece.slice(1, -1) : piece.replace(/\s+/, '\n')));
    const given = words.join('').trim().split('\n');
    const set = given.slice(0, Math.max(0, given.indexOf('loadside')));
    const last = found.at(-1);
    if (given[set.length] === 'loadside' && set.every((word) => /^[A-Z_]+=/.test(word)))
      found.push({ own: given.slice(set.length + 1), set });
    else if (last !== undefined && 'shell' in last)
      found[found.length - 1] = { shell: `${last.shell}|${stage.join('')}` };
    else found.push({ shell: stage.join('') });
  }
  return found;
}

async function inProcess({ own, set }: OwnStage, folder: string, stdin: string): Promise<Said> {
  const said = { stdout: '', stderr: '' };
  const bytes = new TextEncoder().encode(stdin);
  const outside = processWorld(root);
  const world: World = {
    ...outside,
    out: (text) => {
      said.stdout += text;
    },
    err: (text) => {
      said.stderr += text;
    },
    readBytes: (path, most) =>
      path === '-' ? Promise.resolve(bytes.subarray(0, most + 1)) : outside.readBytes(path, most),
    readChunks: async function* () {
      yield bytes;
    },
    drained: async () => {},
    onStop: () => {},
    inIsTerminal: false,
    outIsTerminal: false,
    errIsTerminal: false,
    columns: undefined,
    errColumns: undefined,
    // No workers: those run the program as it is built.
    cores: async () => 1,
    env: { ...environment(folder), ...Object.fromEntries(set.map((word) => word.split(/=(.*)/s))) },
  };
  const before = process.cwd();
  process.chdir(folder);
  try {
    const status = await main(own, world);
    return { ...said, status };
  } finally {
    process.chdir(before);
  }
}

function inShell(line: string, folder: string, stdin: string): Promise<Said> {
  const bin = join(root, 'bin/loadside.js');
  const script = `loadside() { "${process.execPath}" "${bin}" "$@"; }; export -f loadside; ${line}`;
  const child = spawn('bash', ['--norc', '-c', script], { cwd: folder, env: environment(folder) });
  const said = { stdout: '', stderr: '' };
  child.stdout.setEncoding('utf8').on('data', (text: string) => (said.stdout += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (said.stderr += text));
  child.stdin.on('error', () => undefined).end(stdin);
  return new Promise((done) => child.on('close', (status) => done({ ...said, status: status ?? undefined })));
}

function environment(folder: string): Record<string, string> {
  return { PATH: process.env['PATH'] ?? '', HOME: folder, LANG: 'C.UTF-8' };
}
