import { checkJob, proposeNext, triageOf } from '../../diagnose/diagnose.js';
import { drawJob } from '../../draw/draw.js';
import {
  asHtml,
  asMarkdown,
  asText,
  type RecordParts,
  recordJson,
  recordPaper,
} from '../../report/report.js';
import { deliver, type OutputOptions, recordOf, refuse } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import type { Input, LoadedJob } from '../load.js';
import { withJob } from '../with-job.js';
import type { World } from '../world.js';

export interface ReportOptions extends OutputOptions {
  /** In place of the circuit the readings file names. */
  readonly circuit?: string;
  /** Readings taken after the repair. */
  readonly after?: string;
}

/** A record that could be written is an answer, whatever it tells. */
export async function runReport(world: World, readings: string, options: ReportOptions): Promise<ExitStatus> {
  const { after } = options;
  if (after === '-' && (readings === '-' || options.circuit === '-'))
    return refuse(world, 'standard input can be read once only.', 'Give the other readings as a file.');
  return withJob(world, readings, 'report', options, async (loaded, inputs) => {
    if (after === undefined) return deliverRecord(world, options, loaded, inputs, undefined);
    // The same appliance: what its readings name, where a circuit was not given.
    const circuit = options.circuit ?? loaded.circuitPath;
    return withJob(world, after, 'report', { ...options, circuit }, async (later, more) => {
      const own = more.filter(({ path }) => inputs.every((each) => each.path !== path));
      return deliverRecord(world, options, loaded, [...inputs, ...own], later);
    });
  });
}

async function deliverRecord(
  world: World,
  options: ReportOptions,
  { circuit, job }: LoadedJob,
  inputs: readonly Input[],
  later: LoadedJob | undefined,
): Promise<ExitStatus> {
  const answer = checkJob(circuit, job);
  const next = proposeNext(circuit, job, answer);
  const parts: RecordParts = {
    answer,
    onward: { triage: triageOf(answer), next },
    picture: drawJob(answer, next),
    ...(later === undefined ? {} : { after: checkJob(later.circuit, later.job) }),
    inputs: await recordOf(inputs),
  };
  const paper = () => recordPaper(parts);
  await deliver(world, options, 'report', inputs, {
    table: (style) => asText(paper(), style),
    json: () => recordJson(parts),
    markdown: () => asMarkdown(paper()),
    html: () => asHtml(paper()),
  });
  return exitStatus.agrees;
}
