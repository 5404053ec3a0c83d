import { buildCircuit, type Circuit } from '../circuit/circuit.js';
import { limits, readCircuitFile, readReadingsFile, type Source } from '../text/text.js';
import { besideReadings } from './load.js';
import { readSource } from './loaded.js';
import { isFileTrouble, type World } from './world.js';

/**
 * The circuit a file is or, where it holds readings, names; of one with mistakes whatever can be read of it. Undefined
 * where that is nothing.
 */
export async function loadNamedCircuit(world: World, path: string): Promise<Circuit | undefined> {
  const source = await sourceOrNothing(world, path, limits.circuitBytes);
  if (source === undefined) return undefined;
  if (!/^loadside: *readings/m.test(source.text)) return partialCircuit(source);
  const { file, mended } = readReadingsFile(source);
  const beside = besideReadings(path, (file ?? mended)?.raw.circuit);
  const named = beside === undefined ? undefined : await sourceOrNothing(world, beside, limits.circuitBytes);
  return named === undefined ? undefined : partialCircuit(named);
}

function partialCircuit(source: Source): Circuit | undefined {
  const { file, mended } = readCircuitFile(source);
  const read = file ?? mended;
  return read === undefined ? undefined : buildCircuit(read.document, read.raw).partial;
}

async function sourceOrNothing(world: World, path: string, most: number): Promise<Source | undefined> {
  try {
    return (await readSource(world, path, most)).source;
  } catch (error) {
    if (!isFileTrouble(error)) throw error;
    return undefined;
  }
}
