import { deliver, type OutputOptions } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import type { World } from '../world.js';

/** The very file that types and validators are generated from. */
export async function runSchema(world: World, name: string, options: OutputOptions): Promise<ExitStatus> {
  const text = await world.readOwn(`schemas/${name}.schema.json`);
  await deliver(world, options, 'schema', [], {
    table: () => text,
    json: () => ({ schema: JSON.parse(text) }),
    isFile: true,
  });
  return exitStatus.agrees;
}
