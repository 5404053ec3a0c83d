import { CommanderError } from 'commander';
import { runComplete } from './completion/run-complete.js';
import { type ExitStatus, exitStatus } from './exit-status.js';
import { makeProgram } from './program.js';
import type { World } from './world.js';

/** The call that the arguments make; what is wrong with them is told. Throws what a command throws. */
export async function runProgram(args: readonly string[], world: World): Promise<ExitStatus> {
  let status: ExitStatus = exitStatus.agrees;
  const finish = (reached: ExitStatus): void => {
    status = reached;
  };
  const wiring = {
    world,
    finish,
    commands: () => import('./commands/further.js'),
    everyday: () => import('./commands/everyday.js'),
  };
  if (args[0] === 'complete') {
    // What a completion script asks: words of a line that is not finished, which are not to be read as options of ours.
    await runComplete(args.slice(1), wiring);
    return status;
  }
  const program = makeProgram(wiring, args[0]);
  if (args.length === 0) {
    program.outputHelp({ error: true });
    return exitStatus.unusable;
  }
  try {
    await program.parseAsync([...args], { from: 'user' });
    return status;
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    return error.exitCode === 0 ? exitStatus.agrees : exitStatus.unusable;
  }
}
