import type { Circuit } from '../../circuit/circuit.js';
import type { ReadingEvidence } from '../../diagnose/diagnose.js';
import type { Picture } from '../../draw/draw.js';
import { clean } from '../clean.js';
import { listed } from '../phrases.js';
import { wordExpected, wordShown } from '../word-expected.js';
import { wordState } from '../word-state.js';
import { type Block, type TableCell, tableBlock, textListBlock } from './block.js';
import type { JobNotes } from './lettering.js';
import type { Palette } from './palette.js';

/** Where readings were taken: `red 2: 0.3 V`, `black 1, 2`, `clamp 3: 5.1 A`; and where the leads go next. */
export function jobNotes({ job }: Picture): JobNotes {
  if (job === undefined) return { node: () => [], wire: () => [] };
  const next = job.nextIsHere ? job.next?.probe.where : undefined;
  const taken = (lead: string, { reading, verdict }: ReadingEvidence) =>
    `${lead} ${reading.index}: ${wordShown(reading)}${verdict === 'differs' ? ' \u2260' : ''}`;
  return {
    node: (node) => {
      const at = (lead: 'red' | 'black') =>
        job.here.filter(({ reading: { where } }) => where.kind === 'between' && where[lead] === node);
      const black = at('black').map(({ reading }) => reading.index);
      const leads = (['red', 'black'] as const).filter(
        (lead) => next?.kind === 'between' && next[lead] === node,
      );
      return [
        ...at('red').map((each) => taken('red', each)),
        ...(black.length === 0 ? [] : [`black ${black.join(', ')}`]),
        ...leads.map((lead) => `NEXT: ${lead}`),
      ];
    },
    wire: (branch) => [
      ...job.here.flatMap((each) => {
        const { where } = each.reading;
        return where.kind === 'around' && where.branch === branch ? [taken('clamp', each)] : [];
      }),
      ...(next?.kind === 'around' && next.branch === branch ? ['NEXT: clamp'] : []),
    ],
  };
}

/** What the readings came to: the bracket and the next reading, a line each. */
export function jobHeadline(picture: Picture): readonly string[] {
  const { ladder, job } = picture;
  if (job === undefined) return [];
  const { answer, next } = job;
  const { firstDiscrepancy: first } = answer;
  const bounds = first?.bounds.map(clean) ?? [];
  return [
    first === undefined
      ? answer.verdict === 'agrees'
        ? 'Every reading agrees with the drawing.'
        : 'Nothing conclusive was measured yet.'
      : `First discrepancy: ${first.kind} ${first.index}. ` +
        (bounds.length === 0
          ? 'No part of the drawing bounds it.'
          : `The fault is bounded by ${listed(bounds, 'and')}.`),
    ...(next === undefined
      ? []
      : [
          `Next: ${wordWhere(ladder.circuit, next.probe.where)} (${next.probe.unit}), state ${wordState(next.state)}. ` +
            (next.live ? 'Live: only if trained and allowed to.' : 'Power off, proved dead.'),
        ]),
  ];
}

function wordWhere({ nodes, branches }: Circuit, where: ReadingEvidence['reading']['where']): string {
  if (where.kind === 'around') return `clamp around ${clean(branches[where.branch]?.name ?? '')}`;
  return `red on ${clean(nodes[where.red]?.name ?? '')}, black on ${clean(nodes[where.black]?.name ?? '')}`;
}

const verdicts = { agrees: 'agrees', differs: 'DIFFERS \u2260', inconclusive: 'proves nothing' } as const;

/** Every reading with what should be read, in file order; the head first. */
export function readingRows({ ladder, job }: Picture): readonly (readonly string[])[] {
  const rows = (job?.answer.readings ?? []).map(({ reading, expected, verdict }) => [
    String(reading.index),
    wordState(reading.state),
    wordWhere(ladder.circuit, reading.where),
    wordShown(reading),
    wordExpected(expected),
    verdicts[verdict],
  ]);
  return rows.length === 0 ? [] : [['No.', 'state', 'leads', 'shown', 'expected', ''], ...rows];
}

export function readingsBlock(picture: Picture, palette: Palette): Block | undefined {
  const rows = readingRows(picture);
  if (rows.length === 0) return undefined;
  const bold = (row: readonly string[]) => row.at(-1) === verdicts.differs;
  const [head = [], ...rest] = rows;
  const cells = rest.map((row) => row.map((text): TableCell => ({ text, bold: bold(row) })));
  return tableBlock('Readings', [head.map((text) => ({ text })), ...cells], palette);
}

/** Symptoms under a heading, a line each. */
export function symptomLines({ job }: Picture): readonly string[] {
  const symptoms = job?.answer.symptoms ?? [];
  const lines = symptoms.map(
    ({ symptom: { state, load, works } }) =>
      `${wordState(state)}: ${clean(load.name)} ${works ? 'does its job' : 'does not do its job'} (${clean(load.job)})`,
  );
  return lines.length === 0 ? [] : ['Symptoms', ...lines];
}

export function symptomsBlock(picture: Picture, palette: Palette, columns: number): Block | undefined {
  const lines = symptomLines(picture);
  return lines.length === 0 ? undefined : textListBlock(lines, palette, { width: 330, columns });
}
