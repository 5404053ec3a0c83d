import type { ExpectAnswer, SweepAnswer } from '../diagnose/diagnose.js';
import { cautions, shortCaution } from './cautions.js';
import { clean } from './clean.js';
import { columnsOf, fold } from './columns.js';
import { expectHeadline, neverProbed, stateJson, wordUnsettled } from './expect-report.js';
import { count, showValue } from './number.js';
import { paintFor } from './paint.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { faultJson } from './word-fault.js';
import { wordState } from './word-state.js';

/** States that nothing on the bench could tell apart have one column between them. */
interface Column {
  readonly number: number;
  readonly first: ExpectAnswer;
  readonly cells: readonly string[];
}

/** Every state with the loads that work in it, then every test point by state, as many columns as the width holds. */
export function sweepTable(answer: SweepAnswer, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const { columns, columnOf } = columnsIn(answer);
  const lines = [paint.strong(fold(`${expectHeadline(answer)} ${extent(answer)}`, style)), ''];
  lines.push(stateTable(answer, columnOf, style));
  for (const line of notes(answer, columns)) lines.push(fold(line, style));
  const steady = columns.filter(({ first }) => first.outcome.kind === 'steady');
  for (const block of blocksOf(steady, answer, style)) lines.push('', pointTable(answer, block, style));
  lines.push(...neverProbed(answer, style), '', paint.faint(fold(shortCaution, style)));
  return `${lines.join('\n')}\n`;
}

function extent({ answers, complete }: SweepAnswer): string {
  return complete
    ? `All ${count(answers.length, 'state')}.`
    : `The first ${answers.length} states: there are more.`;
}

function columnsIn(answer: SweepAnswer): {
  columns: Column[];
  columnOf: ReadonlyMap<ExpectAnswer, Column>;
} {
  const { answers } = answer;
  const byCells = new Map<string, Column>();
  const columnOf = new Map<ExpectAnswer, Column>();
  for (const first of answers) {
    const cells = cellsOf(first);
    const key = `${outcomeWords(answer, first)} ${cells.join(' ')} ${working(first).join(' ')}`;
    const column = byCells.get(key) ?? { number: byCells.size + 1, first, cells };
    byCells.set(key, column);
    columnOf.set(first, column);
  }
  return { columns: [...byCells.values()], columnOf };
}

function outcomeWords({ circuit }: SweepAnswer, { outcome }: ExpectAnswer): string {
  return outcome.kind === 'steady' ? '' : wordUnsettled(circuit, outcome);
}

function cellsOf({ outcome }: ExpectAnswer): string[] {
  if (outcome.kind !== 'steady') return [];
  return outcome.points.map(({ expected }) =>
    expected.kind === 'driven' ? showValue(expected.nominal, 'V').replace(/ V$/, '') : 'float',
  );
}

function working({ outcome }: ExpectAnswer): string[] {
  if (outcome.kind !== 'steady') return [];
  return outcome.loads.filter(({ works }) => works === 'yes').map(({ load }) => clean(load.name));
}

function stateTable(
  answer: SweepAnswer,
  columnOf: ReadonlyMap<ExpectAnswer, Column>,
  style: TerminalStyle,
): string {
  const rows = answer.answers.map((each) => {
    const works = each.outcome.kind === 'steady' ? working(each).join(', ') || 'none' : outcomeWord(each);
    return [String(columnOf.get(each)?.number ?? ''), wordState(each.state), works];
  });
  return showTable(['#', 'state', 'loads that do their job'], rows, style, [1, 2]);
}

function outcomeWord({ outcome }: ExpectAnswer): string {
  switch (outcome.kind) {
    case 'steady':
      return '';
    case 'short':
      return 'SHORT CIRCUIT';
    case 'overload':
      return `${clean(outcome.protector)} OPENS`;
    case 'chattering':
      return 'NEVER SETTLES';
  }
}

/** What one number stands for, and what is amiss in states that have no readings. */
function notes({ answers, alike, circuit }: SweepAnswer, columns: readonly Column[]): string[] {
  const lines: string[] = [];
  if (columns.length < answers.length) lines.push('States with one number read alike at every test point.');
  for (const [name, groups] of alike) {
    for (const group of groups)
      lines.push(`${clean(name)} = ${clean(group[0] ?? '')} stands for ${group.map(clean).join(', ')}.`);
  }
  for (const { first, number } of columns) {
    const { outcome } = first;
    if (outcome.kind !== 'steady') lines.push(`${number}: ${wordUnsettled(circuit, outcome)}`);
  }
  return lines;
}

/** As many columns as fit beside the names of the test points. */
function blocksOf(columns: readonly Column[], answer: SweepAnswer, style: TerminalStyle): Column[][] {
  const names = Math.max(...['test point', ...pointNames(answer)].map(columnsOf));
  let cell = 4;
  for (const { cells } of columns) for (const each of cells) cell = Math.max(cell, each.length);
  const size = Math.max(1, Math.floor((style.width - names - 1) / (cell + 2)));
  const blocks: Column[][] = [];
  for (let start = 0; start < columns.length; start += size) blocks.push(columns.slice(start, start + size));
  return blocks;
}

function pointNames({ answers }: SweepAnswer): string[] {
  for (const { outcome } of answers)
    if (outcome.kind === 'steady') return outcome.points.map(({ node }) => clean(node.name));
  return [];
}

function pointTable(answer: SweepAnswer, block: readonly Column[], style: TerminalStyle): string {
  const head = ['volts in state', ...block.map(({ number }) => String(number))];
  const rows = pointNames(answer).map((name, point) => [
    name,
    ...block.map(({ cells }) => cells[point] ?? ''),
  ]);
  return showTable(head, rows, style);
}

/** The `expect --all-states` answer of schemas/report.schema.json. */
export function sweepJson(answer: SweepAnswer): Readonly<Record<string, unknown>> {
  const { faults, input, hazardous, answers, complete, alike } = answer;
  return {
    faults: faults.map(faultJson),
    input,
    complete,
    alike: Object.fromEntries([...alike].filter(([, groups]) => groups.length > 0)),
    sweep: answers.map(stateJson),
    neverProbed: hazardous.map((node) => ({ node: node.name, hazard: node.hazard })),
    cautions,
  };
}
