import type { Opened } from '../answer/answer.js';
import type { Problem } from '../report/report.js';
import { decode, type Source } from '../text/text.js';
import type { World } from './world.js';

/** A file that was read, for the record of a JSON answer. */
export interface Input {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** What was opened, with the files it was made from. */
export interface Loaded<Value> extends Opened<Value> {
  readonly inputs: readonly Input[];
}

/** The text of a file, or of standard input; without one where it can't be text, and then with why. */
export async function readSource(
  world: World,
  path: string,
  most: number,
): Promise<{ source: Source | undefined; inputs: Input[]; problems: readonly Problem[] }> {
  const bytes = await world.readBytes(path, most);
  const name = path === '-' ? 'standard input' : path;
  const { source, problems } = decode(name, bytes, most);
  return { source: problems.length > 0 ? undefined : source, inputs: [{ path: name, bytes }], problems };
}
