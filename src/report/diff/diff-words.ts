import type { State } from '../../circuit/circuit.js';
import type { DiffAnswer, Fact, FactKind, PartChange } from '../../diagnose/diagnose.js';
import type { Expected } from '../../meter/meter.js';
import { clean } from '../clean.js';
import { wordUnsettled } from '../expect-report.js';
import { count, fixedPercent, showValue } from '../number.js';
import { listed } from '../phrases.js';
import { wordState } from '../word-state.js';

/** One table of the answer: its head and its rows, clean. */
export interface DiffTable {
  readonly title: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Rows beyond those. */
  readonly more: number;
}

/** More rows than anybody reads; JSON has them all. */
const mostRows = 100;

/** What differs, in one or two sentences. */
export function diffConclusion(answer: DiffAnswer, isSame: boolean): string {
  const { compared, points, against, complete } = answer;
  const looked = `${complete ? '' : 'the first '}${count(compared, 'state')} compared at ${count(points, 'test point')}`;
  const nothing =
    against === undefined ? ' Nothing was predicted: they share no place for the black lead.' : '';
  if (isSame) return `No electrical change: ${looked}.${nothing}`;
  const parts = (kind: PartChange['kind']) => answer.parts.filter((each) => each.kind === kind).length;
  const told = [
    ...(parts('changed') > 0 ? [`${count(parts('changed'), 'part')} changed`] : []),
    ...(parts('new') > 0 ? [`${parts('new')} new`] : []),
    ...(parts('gone') > 0 ? [`${parts('gone')} gone`] : []),
  ];
  const moved = new Set([...answer.readings, ...answer.loads, ...answer.outcomes].map(({ state }) => state))
    .size;
  const places = new Set(answer.readings.map(({ node }) => node)).size;
  const predicted =
    moved === 0
      ? `No prediction differs; ${looked}.`
      : `Predictions differ in ${moved} of ${count(compared, 'state')}: ${count(answer.readings.length, 'reading')} at ${places} of ${count(points, 'test point')}, ${count(answer.loads.length, 'load figure')}.`;
  return `${told.length === 0 ? '' : `Parts: ${listed(told, 'and')}. `}${predicted}${nothing}`;
}

/** All that differs, in tables; none that is empty. */
export function diffTables(answer: DiffAnswer): readonly DiffTable[] {
  const { newPoints, gonePoints, newLoads, goneLoads, newStates, goneStates } = answer;
  const only = (what: string, side: string, names: readonly string[]) =>
    names.length === 0 ? [] : [[what, side, names.slice(0, mostNamed).join(', '), String(names.length)]];
  const words = (states: readonly State[]) => states.map(wordState);
  const tables = [
    table('parts', ['part', 'what', 'before', 'after'], partRows(answer.parts)),
    table(
      'only in one of them',
      ['what', 'only', 'such as', 'how many'],
      [
        ...only('test points', 'after', newPoints.map(clean)),
        ...only('test points', 'before', gonePoints.map(clean)),
        ...only('loads', 'after', newLoads.map(clean)),
        ...only('loads', 'before', goneLoads.map(clean)),
        ...only('states', 'after', words(newStates)),
        ...only('states', 'before', words(goneStates)),
      ],
    ),
    table(
      'states',
      ['state', 'before', 'after'],
      answer.outcomes.map(({ state, before, after }) => [
        wordState(state),
        before.kind === 'steady' ? 'holds still' : wordUnsettled(answer.before, before),
        after.kind === 'steady' ? 'holds still' : wordUnsettled(answer.after, after),
      ]),
    ),
    table('loads', ['load', 'state', 'before', 'after'], inStates(answer.loads, loadCells)),
    table(
      `readings against ${clean(answer.against ?? '')}`,
      ['test point', 'state', 'before', 'after'],
      inStates(answer.readings, ({ node, before, after }) => [clean(node), shown(before), shown(after)]),
    ),
  ];
  return tables.filter(({ rows }) => rows.length > 0);
}

const mostNamed = 3;

function table(title: string, head: readonly string[], rows: readonly (readonly string[])[]): DiffTable {
  return { title, head, rows: rows.slice(0, mostRows), more: Math.max(0, rows.length - mostRows) };
}

/** What changes in the same way in several states stands in one row: [name, states, before, after]. */
function inStates<Change extends { readonly state: State }>(
  changes: readonly Change[],
  cells: (change: Change) => readonly [string, string, string],
): string[][] {
  const rows = new Map<string, { cells: readonly [string, string, string]; states: State[] }>();
  for (const change of changes) {
    const own = cells(change);
    const key = JSON.stringify(own);
    const row = rows.get(key) ?? { cells: own, states: [] };
    row.states.push(change.state);
    rows.set(key, row);
  }
  const all = [...rows.values()];
  const names = [...new Set(all.map(({ cells: [name] }) => name))];
  const byName = names.flatMap((name) => all.filter(({ cells }) => cells[0] === name));
  return byName.map(({ cells: [name, before, after], states: [first, ...others] }) => [
    name,
    `${first === undefined ? '' : wordState(first)}${others.length === 0 ? '' : `; ${others.length} more`}`,
    before,
    after,
  ]);
}

function shown(expected: Expected): string {
  return expected.kind === 'driven' ? showValue(expected.nominal, expected.unit) : 'floating';
}

function loadCells({ load, before, after }: DiffAnswer['loads'][number]): readonly [string, string, string] {
  const word = ({ works, volts, amps }: typeof before) =>
    [
      works === 'marginal' ? 'at its limit' : works === 'yes' ? 'works' : 'idle',
      ...(volts === undefined ? [] : [showValue(volts, 'V')]),
      ...(amps === undefined ? [] : [showValue(amps, 'A')]),
    ].join(', ');
  return [clean(load), word(before), word(after)];
}

function partRows(parts: readonly PartChange[]): string[][] {
  return parts.flatMap(({ part, kind, facts }) => {
    const name = clean(part);
    if (kind !== 'changed') {
      const ends = facts.find((each) => (each.before ?? each.after)?.kind === 'ends');
      const words = ends === undefined ? '' : wordValue(ends.before ?? ends.after);
      return [[name, kind, kind === 'gone' ? words : '', kind === 'new' ? words : '']];
    }
    return facts.map(({ before, after }) => {
      const fact = after ?? before;
      const of = fact === undefined || fact.of === part ? '' : `${clean(fact.of)} `;
      const what = fact === undefined ? '' : factWords[fact.kind].label;
      return [name, `${of}${what}`, wordValue(before), wordValue(after)];
    });
  });
}

function wordValue(fact: Fact | undefined): string {
  if (fact === undefined) return 'none';
  const { value, kind } = fact;
  return typeof value === 'string' ? clean(value) : factWords[kind].show(value);
}

const exactly = (unit: string) => (value: number) => `${Number(value.toPrecision(6))} ${unit}`;
const plain = (value: number) => String(value);

const factWords: Readonly<
  Record<FactKind, { readonly label: string; readonly show: (value: number) => string }>
> = {
  kind: { label: 'kind of part', show: plain },
  ends: { label: 'between', show: plain },
  ohms: { label: 'resistance', show: exactly('ohm') },
  reactance: { label: 'reactance', show: exactly('ohm') },
  'dead-ohms': { label: 'resistance on an ohmmeter', show: exactly('ohm') },
  tolerance: { label: 'tolerance', show: fixedPercent },
  'at-rest-ohms': { label: 'impedance standing still', show: exactly('ohm') },
  'closed-while': { label: 'closed while', show: plain },
  sensor: { label: 'sensor curve', show: plain },
  turns: { label: 'no-load voltage', show: exactly('V') },
  volts: { label: 'voltage', show: exactly('V') },
  hertz: { label: 'frequency', show: exactly('Hz') },
  degrees: { label: 'phase', show: exactly('deg') },
  rating: { label: 'rating', show: exactly('A') },
  'at-least': { label: 'works from', show: exactly('V') },
  'picks-up-at': { label: 'picks up at', show: exactly('V') },
  'drops-out-below': { label: 'drops out below', show: exactly('V') },
  'on-while': { label: 'on while', show: plain },
};
