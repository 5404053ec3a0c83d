import { scripts } from '../completion/scripts.js';
import type { Shell } from '../completion/shells.js';
import { deliver, type OutputOptions } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import type { World } from '../world.js';

export async function runCompletion(world: World, shell: Shell, options: OutputOptions): Promise<ExitStatus> {
  const text = scripts[shell];
  await deliver(world, options, 'completion', [], {
    table: () => text,
    json: () => ({ text }),
    isFile: true,
  });
  return exitStatus.agrees;
}
