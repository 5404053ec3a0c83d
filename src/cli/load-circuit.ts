import { isAssembly, type OpenedCircuit, openCircuit, unopened } from '../answer/answer.js';
import { limits, readCircuitFile } from '../text/text.js';
import { loadIncludes } from './load-includes.js';
import { type Loaded, readSource } from './loaded.js';
import type { World } from './world.js';

/** A circuit file with all it includes, from the disk to the model. */
export async function loadCircuit(world: World, path: string): Promise<Loaded<OpenedCircuit>> {
  const { source, inputs, problems } = await readSource(world, path, limits.circuitBytes);
  if (source === undefined) return { ...unopened(problems), inputs };
  const read = readCircuitFile(source);
  const held = read.file ?? read.mended;
  if (held === undefined || isAssembly(held)) return { ...openCircuit(read), inputs };
  const included = await loadIncludes(world, path, source, held);
  return { ...openCircuit(read, included), inputs: [...inputs, ...included.inputs] };
}
