import { type Assembled, assemble, buildCircuit, type Circuit } from '../circuit/circuit.js';
import { readExpectations } from '../meter/meter.js';
import type { Problem } from '../report/report.js';
import { type Allowance, limits, problemAt, type Raw, readCircuitFile } from '../text/text.js';
import { readRemarks, sift } from './allowances.js';
import { loadIncludes } from './load-includes.js';
import { isUnreadable, type Loaded, listed, rate, readSource, unrelated } from './loaded.js';
import type { World } from './world.js';

export interface LoadedCircuit {
  readonly circuit: Circuit;
  /** With all that the file includes. */
  readonly raw: Raw.RawCircuit;
  /** Remarks that let findings pass, in any of its files. */
  readonly allowances: readonly Allowance[];
}

/** A circuit file from the disk to the model. One with errors is looked through to its end all the same. */
export async function loadCircuit(world: World, path: string): Promise<Loaded<LoadedCircuit>> {
  const { source, inputs: own, problems: undecoded } = await readSource(world, path, limits.circuitBytes);
  if (source === undefined) return { problems: rate(undecoded), more: 0, unreadable: true, inputs: own };
  const { file, mended, problems, more } = readCircuitFile(source);
  const read = file ?? mended;
  if (read === undefined) {
    const { problems: shown, more: hidden } = listed(problems, more, source.name);
    return { problems: rate(shown), more: hidden, unreadable: isUnreadable(problems), inputs: own };
  }
  if (read.raw.loadside === 'assembly/1') {
    const data = { found: 'assembly/1', expected: 'circuit/1' };
    const kind = problemAt(read.document, 'file-kind', data, ['loadside']);
    return { problems: rate([kind]), more: 0, unreadable: false, inputs: own };
  }
  const { piece, sources, leftOut, ...included } = await loadIncludes(world, path, source, read);
  const inputs = [...own, ...included.inputs];
  const whole = assemble(piece);
  const { allowances, problems: remarks } = readRemarks([source, ...sources]);
  const early = [...problems, ...included.problems];
  const late = [...whole.problems, ...remarks];
  if (file === undefined || early.length > 0) {
    const names = new Set([...(mended?.omitted ?? []), ...leftOut.names]);
    const guessed = new Set([...(mended?.guessed ?? []), ...leftOut.guessed]);
    const further = unrelated([...late, ...circuitProblems(whole)], { ...leftOut, names, guessed });
    const { problems: shown, more: hidden } = listed(
      [...early, ...further],
      more + included.more,
      source.name,
    );
    return { problems: rate(shown), more: hidden, unreadable: false, inputs };
  }
  const built = buildCircuit(whole.document, whole.raw);
  const isSound = built.circuit !== undefined && late.length === 0;
  const all = listed([...late, ...(isSound ? built.problems : circuitProblems(whole))], 0, source.name);
  const { kept, allowed } = sift(rate(all.problems), allowances);
  const loaded = { problems: kept, more: all.more, unreadable: false, inputs, allowed };
  if (!isSound || built.circuit === undefined) return loaded;
  return { ...loaded, value: { circuit: built.circuit, raw: whole.raw, allowances } };
}

/** Everything wrong in a circuit as it was put together, its expectations included. */
function circuitProblems({ document, raw }: Assembled): readonly Problem[] {
  const { partial, problems } = buildCircuit(document, raw);
  return [...problems, ...readExpectations(partial, raw.expectations ?? []).problems];
}
