import { type Circuit, type CircuitProblem, readState, type State } from '../circuit/circuit.js';
import { instrument, type Shown, type Where } from '../meter/meter.js';
import { type Document, nearestName, type Path, type Raw } from '../text/text.js';
import type { Ask } from './ask.js';
import type { PracticeProblem } from './problems.js';
import type { Act, Session } from './session.js';

/** A line of a record before it is sealed. */
export type RecordLine = Omit<Raw.Act, 'seal'>;

/** An act as its line of a record. */
export function lineOf(circuit: Circuit, act: Act): RecordLine {
  switch (act.kind) {
    case 'measure':
      return { act: 'measure', ...askLine(circuit, act.ask), reads: shownText(act.shown) };
    case 'refused':
      return { act: 'refused', ...askLine(circuit, act.ask), why: act.why };
    case 'swap':
      return { act: 'swap', part: act.part, cured: act.cured ? 'yes' : 'no' };
    case 'answer':
      return {
        act: 'answer',
        parts: [...act.parts],
        ...(act.mode === undefined ? {} : { mode: act.mode }),
      };
  }
}

function askLine(circuit: Circuit, { state, probe }: Ask): Omit<RecordLine, 'act'> {
  const { where, unit, current, meter } = probe;
  const name = (node: number) => circuit.nodes[node]?.name ?? '';
  const places =
    where.kind === 'around'
      ? { on: circuit.branches[where.branch]?.part ?? '' }
      : { red: name(where.red), black: name(where.black) };
  const set = unit === 'V' && current !== undefined ? (`V ${current}` as const) : unit;
  return { in: stateValue(state), ...places, function: set, input: meter.input };
}

/** A state as a file writes it: its name, or what differs from rest. */
export function stateValue({ name, changes }: State): NonNullable<Raw.Act['in']> {
  return name ?? (changes as NonNullable<Raw.Act['in']>);
}

/** What a meter showed, as a readings file writes it; null for a display that never came to rest. */
export function shownText(shown: Shown): string | null {
  if (shown.kind === 'blank') return null;
  if (shown.kind === 'over-range') return 'OL';
  const { value, unit, current } = shown;
  return current === undefined ? `${value} ${unit}` : `${value} ${unit} ${current}`;
}

/**
 * Does again what a record says, in order, in a session that is new. The first line that the exercise does not give
 * again is told, and nothing after it is done. Lines must be sealed as they stand.
 */
export function replay(
  session: Session,
  document: Document,
  acts: readonly Raw.Act[],
): readonly (PracticeProblem | CircuitProblem)[] {
  for (const [index, raw] of acts.entries()) {
    const path = ['acts', index];
    const problems: (PracticeProblem | CircuitProblem)[] = [];
    const act = done(session, document, raw, path, problems);
    if (problems.length > 0 || act === undefined) return problems;
    const [found, expected] = [resultOf(raw), resultOf(lineOf(session.exercise.circuit, act))];
    if (found !== expected) {
      const data = { act: index + 1, found, expected };
      return [{ code: 'record-replay', data, at: document.locate(path, 'value') }];
    }
  }
  return [];
}

/** What came of it, in a few words. */
function resultOf(line: RecordLine): string {
  switch (line.act) {
    case 'measure':
      return line.reads ?? 'no steady reading';
    case 'refused':
      return `refused (${line.why ?? ''})`;
    case 'swap':
      return line.cured === 'yes' ? 'it works again' : 'no change';
    case 'answer':
      return 'an answer';
  }
}

function done(
  session: Session,
  document: Document,
  raw: Raw.Act,
  path: Path,
  problems: (PracticeProblem | CircuitProblem)[],
): Act | undefined {
  const { circuit } = session.exercise;
  switch (raw.act) {
    case 'measure':
    case 'refused': {
      const ask = askOf(circuit, document, raw, path, problems);
      return ask && session.measure(ask);
    }
    case 'swap':
      return session.swap(raw.part ?? '');
    case 'answer':
      return session.answer(raw.parts ?? [], raw.mode as Parameters<Session['answer']>[1]);
  }
}

function askOf(
  circuit: Circuit,
  document: Document,
  raw: Raw.Act,
  path: Path,
  problems: (PracticeProblem | CircuitProblem)[],
): Ask | undefined {
  const read = readState(circuit, raw.in ?? {}, document, [...path, 'in']);
  problems.push(...read.problems);
  const find = (key: 'red' | 'black' | 'on', known: ReadonlyMap<string, unknown>) => {
    const found = raw[key] ?? '';
    if (known.has(found)) return found;
    const allowed = [...known.keys()];
    const what = key === 'on' ? 'wire' : 'node';
    const data = { what, found, of: undefined, nearest: nearestName(found, allowed), allowed } as const;
    problems.push({ code: 'reference-unknown', data, at: document.locate([...path, key], 'value') });
    return undefined;
  };
  const where = raw.on === undefined ? betweenOf(circuit, find) : aroundOf(circuit, find);
  if (where === undefined || problems.length > 0) return undefined;
  const set = raw.function ?? 'V';
  const [unit, current] = set.split(' ') as ['V' | 'ohm' | 'A', 'ac' | 'dc' | undefined];
  const meter = instrument(raw.input ?? 'high-impedance');
  return {
    state: read.state,
    probe: { where, unit, meter, ...(current === undefined ? {} : { current }) },
  };
}

type Find = (key: 'red' | 'black' | 'on', known: ReadonlyMap<string, unknown>) => string | undefined;

function betweenOf({ nodeByName }: Circuit, find: Find): Where | undefined {
  const [red, black] = [find('red', nodeByName), find('black', nodeByName)];
  if (red === undefined || black === undefined) return undefined;
  return { kind: 'between', red: nodeByName.get(red) ?? 0, black: nodeByName.get(black) ?? 0 };
}

function aroundOf({ parts }: Circuit, find: Find): Where | undefined {
  const name = find('on', parts);
  const [branch] = parts.get(name ?? '')?.branches ?? [];
  return branch === undefined ? undefined : { kind: 'around', branch };
}

/** What each line is sealed with: itself, behind the seal of the line before it. */
export function sealedText(line: RecordLine, before: string): string {
  return `${before}\n${JSON.stringify(line)}`;
}

/** The first line that is not as it was sealed; undefined where all are. `seal` is the one that wrote them. */
export function changedLine(acts: readonly Raw.Act[], seal: (text: string) => string): number | undefined {
  let before = '';
  for (const [index, { seal: found, ...line }] of acts.entries()) {
    if (seal(sealedText(line, before)) !== found) return index;
    before = found;
  }
  return undefined;
}
