import type { ExpectReport, UnusableReport } from '../answers.js';
import { type Circuit, type Fault, readState } from '../circuit/circuit.js';
import { expectPoints, usualBlack } from '../diagnose/diagnose.js';
import { answerHead, expectJson, type Problem } from '../report/report.js';
import { type Document, problemAt } from '../text/text.js';
import { modelOf } from './model-of.js';
import { unopened } from './opened.js';
import { optionsDocument } from './read-given.js';
import type { ReadyCircuit } from './ready-circuit.js';
import { namedFault, unknownNode } from './unknown-names.js';
import { unusableReport } from './unusable.js';

/** A state as files write it: the name of a named one, a map of what differs from rest, or a list of those, later ones winning. */
export type GivenState = string | Readonly<Record<string, unknown>> | readonly GivenState[];

export interface ExpectOptions {
  /** At rest where absent. */
  readonly state?: GivenState;
  /** Faults to plant: PART[.CONTACT]:MODE[=VALUE]. */
  readonly faults?: readonly string[];
  /** Where the black lead is; the first supply's neutral (or negative) where absent. */
  readonly black?: string;
  /** The meter's input; high-impedance where absent. */
  readonly input?: 'high-impedance' | 'low-impedance';
}

/**
 * What every test point reads in a state, with what faults, and which loads do their job: a band, or floating. The same
 * answer as `loadside expect --format json`. Names that lead nowhere make it unusable, with all of them.
 */
export function expect(
  circuit: ReadyCircuit,
  options: ExpectOptions = {},
): ExpectReport | UnusableReport<'expect'> {
  const model = modelOf(circuit);
  const { document, problems: unread } = optionsDocument(options);
  if (document === undefined) return unusableReport('expect', unopened(unread));
  const { state, problems } = readState(model, options.state ?? {}, document, ['state']);
  const { faults, problems: ofFaults } = namedFaults(model, document, options.faults ?? []);
  const black = blackNode(model, document, options.black);
  const wrong = [...problems, ...ofFaults, ...('problem' in black ? [black.problem] : [])];
  if ('problem' in black || wrong.length > 0) return unusableReport('expect', unopened(wrong));
  const question = { circuit: model, faults, black: black.node, input: options.input ?? 'high-impedance' };
  return { ...answerHead('expect', []), ...expectJson(expectPoints(question, state)) };
}

function namedFaults(
  circuit: Circuit,
  document: Document,
  texts: readonly string[],
): { readonly faults: readonly Fault[]; readonly problems: readonly Problem[] } {
  const read = texts.map((text, index) => namedFault(circuit, document, text, ['faults', index]));
  return {
    faults: read.flatMap((each) => ('fault' in each ? [each.fault] : [])),
    problems: read.flatMap((each) => ('problem' in each ? [each.problem] : [])),
  };
}

function blackNode(
  circuit: Circuit,
  document: Document,
  name: string | undefined,
): { readonly node: number } | { readonly problem: Problem } {
  const node = name === undefined ? usualBlack(circuit) : circuit.nodeByName.get(name);
  if (node === undefined && name !== undefined)
    return { problem: unknownNode(circuit, document, name, ['black']) };
  if (node === undefined) return { problem: problemAt(document, 'key-missing', { key: 'black' }, []) };
  const hazard = circuit.nodes[node]?.hazard;
  if (hazard === undefined) return { node };
  return { problem: problemAt(document, 'reading-hazard', { node: name ?? '', hazard }, ['black']) };
}
