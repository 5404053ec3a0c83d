import type { Circuit, Mode } from '../../../circuit/circuit.js';
import { readVerdict } from '../../../practice/practice.js';
import { clean } from '../../../report/report.js';
import { refuse, refuseName } from '../../deliver.js';
import type { World } from '../../world.js';

/** Parts by their names or what they are called, and the way the first failed; undefined, and told, when one is none. */
export function readParts(
  world: World,
  circuit: Circuit,
  texts: readonly string[],
): { readonly parts: readonly string[]; readonly mode: Mode | undefined } | undefined {
  const parts: string[] = [];
  let mode: Mode | undefined;
  for (const text of texts) {
    const read = readVerdict(circuit, text);
    if (read.ok) {
      if (!parts.includes(read.part)) parts.push(read.part);
      mode ??= read.mode;
      continue;
    }
    const { what, found, of, nearest, allowed } = read;
    if (what === 'part') refuseName(world, 'part', found, allowed, nearest);
    else {
      const meant = nearest === undefined ? '' : ` Did you mean ${clean(nearest)}?`;
      refuse(
        world,
        `${clean(of ?? '')} has no way to fail called ${clean(found)}.${meant}`,
        `There are: ${allowed.join(', ')}.`,
      );
    }
    return undefined;
  }
  return { parts, mode: parts.length === 1 ? mode : undefined };
}
