import type { NextReport, UnusableReport } from '../answers.js';
import { checkJob, proposeNext } from '../diagnose/diagnose.js';
import { answerHead, nextJson, type Problem } from '../report/report.js';
import type { ReadOptions } from './circuit.js';
import type { Given } from './given.js';
import { modelOf } from './model-of.js';
import { openJob } from './open-files.js';
import { unopened } from './opened.js';
import { readReadings } from './read-files.js';
import { optionsDocument } from './read-given.js';
import type { ReadyCircuit } from './ready-circuit.js';
import { unknownNode } from './unknown-names.js';
import { unusableReport } from './unusable.js';

export interface NextOptions extends ReadOptions {
  /** Nodes that can't be reached. */
  readonly skip?: readonly string[];
}

/**
 * Where to put the leads now, and what each suspect would show there. The same answer as `loadside next --format json`;
 * `readings` as for `check`.
 */
export function next(
  circuit: ReadyCircuit,
  readings: Given,
  { name = 'readings', skip = [] }: NextOptions = {},
): NextReport | UnusableReport<'next'> {
  const model = modelOf(circuit);
  const opened = openJob(model, readReadings(readings, name));
  if (opened.value === undefined) return unusableReport('next', opened);
  const { document, problems: unread } = optionsDocument({ skip });
  if (document === undefined) return unusableReport('next', unopened(unread));
  const nodes = new Set<number>();
  const problems: Problem[] = [];
  for (const [index, each] of skip.entries()) {
    const node = model.nodeByName.get(each);
    if (node === undefined) problems.push(unknownNode(model, document, each, ['skip', index]));
    else nodes.add(node);
  }
  if (problems.length > 0) return unusableReport('next', unopened(problems));
  const answer = proposeNext(model, opened.value, checkJob(model, opened.value), { skip: nodes });
  return { ...answerHead('next', []), ...nextJson(answer) };
}
