/** Whole processes beside one that does nothing, in turn: the machine is as busy for the one as for the other. */
import { spawnSync } from 'node:child_process';
import { spreadOf } from './ratios.js';

export type Call = readonly string[];

function millisecondsOf(call: Call, cwd: string): number {
  const start = performance.now();
  spawnSync(process.execPath, [...call], { cwd, stdio: ['ignore', 'ignore', 'ignore'] });
  return performance.now() - start;
}

/** Each call as a multiple of `node -e 0`, which is run in every round. */
export function besideEmptyRun(
  calls: readonly Call[],
  rounds: number,
  cwd = '.',
): readonly ReturnType<typeof spreadOf>[] {
  const all: number[][] = calls.map(() => []);
  for (let round = 0; round < rounds; round += 1) {
    const empty = millisecondsOf(['-e', '0'], cwd);
    for (const [index, call] of calls.entries()) all[index]!.push(millisecondsOf(call, cwd) / empty);
  }
  return all.map(spreadOf);
}

/** Milliseconds of a process that does nothing. */
export function emptyMilliseconds(rounds = 15): number {
  return spreadOf(Array.from({ length: rounds }, () => millisecondsOf(['-e', '0'], '.'))).median;
}
