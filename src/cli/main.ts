import { clean, version } from '../report/report.js';
import { type ExitStatus, exitStatus } from './exit-status.js';
import { isFileTrouble, type World } from './world.js';

/**
 * Arguments (without node and script) to exit status. Everything that can be wrong is told on standard error in
 * words; only a defect of ours shows a stack, and that only when LOADSIDE_DEBUG is set.
 */
export async function main(args: readonly string[], world: World): Promise<ExitStatus> {
  if (args.length === 1 && (args[0] === '--version' || args[0] === '-V')) {
    world.out(`${version}\n`);
    return exitStatus.agrees;
  }
  try {
    const { runProgram } = await import('./run-program.js');
    return await runProgram(args, world);
  } catch (error) {
    if (isFileTrouble(error)) {
      world.err(`loadside: ${clean(error.path)}: ${clean(error.message)}\n`);
      return exitStatus.unusable;
    }
    const what = error instanceof Error ? error.message : String(error);
    world.err(
      `loadside: a defect in loadside, not in your files: ${clean(JSON.stringify(what))}\nPlease report it with the command you gave. LOADSIDE_DEBUG=1 shows where it happened.\n`,
    );
    if (world.env['LOADSIDE_DEBUG'] && error instanceof Error)
      world.err(`${clean(JSON.stringify(error.stack))}\n`);
    return exitStatus.defect;
  }
}
