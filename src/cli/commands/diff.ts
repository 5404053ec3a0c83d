import { diffCircuits, isSameCircuit } from '../../diagnose/diagnose.js';
import { diffJson, diffMarkdown, diffTable } from '../../report/report.js';
import { deliver, type OutputOptions, refuse } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { progressOf } from '../progress.js';
import { withCircuit } from '../with-circuit.js';
import type { World } from '../world.js';

/** Two circuits, the later against the earlier, in electrical terms. */
export async function runDiff(
  world: World,
  before: string,
  after: string,
  options: OutputOptions,
): Promise<ExitStatus> {
  if (before === '-' && after === '-')
    return refuse(world, 'standard input can be read once only.', 'Give one of the circuits as a file.');
  return withCircuit(world, before, 'diff', options, (earlier, first) =>
    withCircuit(world, after, 'diff', options, async (later, second) => {
      const progress = progressOf(world, options, 'states');
      const answer = diffCircuits(earlier, later, progress.tell);
      progress.end();
      const isSame = isSameCircuit(answer);
      await deliver(world, options, 'diff', [...first, ...second], {
        table: (style) => diffTable(answer, isSame, style),
        json: () => diffJson(answer, isSame),
        markdown: () => diffMarkdown(answer, isSame),
      });
      return isSame ? exitStatus.agrees : exitStatus.found;
    }),
  );
}
