import type { AnswerHead } from '../answers.js';
import type { CheckAnswer, NextAnswer, ReadingEvidence } from '../diagnose/diagnose.js';
import type { Picture } from '../draw/draw.js';
import type { Job, JobRecord } from '../meter/meter.js';
import { cautions } from './cautions.js';
import { conclusion } from './check-conclusion.js';
import { checkJson, type Onward } from './check-report.js';
import {
  bandNote,
  blankLines,
  causes,
  floatingLines,
  readingHead,
  readingRows,
  suspectHead,
  suspectNotes,
  suspectRows,
  symptomHead,
  symptomRows,
} from './check-rows.js';
import { clearedLines, provenLines } from './cleared-report.js';
import { discrepancyLines, needsLines } from './discrepancy-report.js';
import { doubtLines } from './doubts-report.js';
import { nextParagraph } from './next-report.js';
import { showValue } from './number.js';
import type { Block, Field, Figure, Paper, Table } from './paper/paper.js';
import { ladderSheets } from './picture/ladder-svg.js';
import { ladderTerminal } from './picture/ladder-terminal.js';
import { slipLines } from './slip-report.js';
import { suspectMatrix } from './suspect-matrix.js';
import { triageLines } from './triage-report.js';
import { version } from './version.js';

/** What a job record is made of. */
export interface RecordParts {
  readonly answer: CheckAnswer;
  readonly onward: Onward;
  /** The circuit as drawn, with the readings and the bracket. */
  readonly picture: Picture;
  /** Readings taken after the repair. */
  readonly after?: CheckAnswer;
  readonly inputs: AnswerHead['inputs'];
}

/**
 * The record of a job: what was complained of and seen, the readings with what they should be, what follows and why, what
 * was done, and the readings after it. What the files do not tell is left open for a pen.
 */
export function recordPaper(parts: RecordParts): Paper {
  const { answer } = parts;
  return {
    title: `Job record: ${answer.circuit.title}`,
    blocks: [
      ...headBlocks(answer),
      ...conclusionBlocks(parts),
      ...evidenceBlocks(answer),
      figureOf(parts),
      ...repairBlocks(parts),
      { kind: 'paragraph', text: cautions.join(' '), role: 'small' },
      { kind: 'paragraph', text: madeFrom(parts.inputs), role: 'small' },
    ],
  };
}

function field(label: string, value: string | number | undefined, room?: 'row' | 'lines'): Field {
  return {
    label,
    ...(value === undefined ? {} : { value: String(value) }),
    ...(room === undefined ? {} : { room }),
  };
}

function headBlocks({ job, circuit }: CheckAnswer): Block[] {
  const record: JobRecord = job.record ?? {};
  const title = record.title === undefined ? [] : [field('Subject', record.title, 'row')];
  const note = record.note === undefined ? [] : [field('Note', record.note, 'lines')];
  const hazards = circuit.hazards;
  return [
    {
      kind: 'form',
      fields: [
        field('Job no.', record.reference),
        field('Date', record.date),
        field('Appliance', record.appliance),
        ...title,
        field('Complaint', record.complaint, 'lines'),
        ...note,
        field('Conditions', record.conditions, 'lines'),
        field('Meter', wordMeter(job), 'row'),
        field('Supply measured', wordSupply(job)),
        field('Isolated and proved dead', record.isolation, 'lines'),
      ],
    },
    ...(hazards.length === 0
      ? []
      : [{ kind: 'paragraph', text: `Hazards of this appliance: ${hazards.join(', ')}.` } as const]),
  ];
}

/** What is known of the meter; its input is stated by every job. */
function wordMeter({ meter: { input }, record }: Job): string {
  const { title, category, checked } = record?.meter ?? {};
  const told = [title, `${input} input`, category, checked === undefined ? undefined : `checked ${checked}`];
  return told.filter((each) => each !== undefined).join(', ');
}

function wordSupply({ supply }: Job): string | undefined {
  const all = [...supply].map(([name, volts]) => `${name} ${showValue(volts, 'V')}`);
  return all.length === 0 ? undefined : all.join(', ');
}

/** The conclusion, how it was reached, how sure it is, and what would tell more. */
function conclusionBlocks({ answer, onward: { triage, next }, after }: RecordParts): Block[] {
  const reasons = [
    ...doubtLines(answer),
    ...discrepancyLines(answer),
    ...needsLines(answer),
    ...clearedLines(answer),
    ...(answer.proven === undefined ? [] : provenLines(answer.proven)),
    ...(triage === undefined ? [] : triageLines(answer.circuit, triage)),
    ...slipLines(answer),
    ...causes(answer),
  ];
  const suspects = suspectRows(answer);
  // Once it is repaired there is nothing more to read for it.
  const paragraph = after === undefined ? nextParagraph(next) : undefined;
  return [
    { kind: 'heading', text: 'Conclusion' },
    { kind: 'paragraph', text: conclusion(answer), role: 'conclusion' },
    ...(reasons.length === 0 ? [] : [{ kind: 'list', items: reasons } as const]),
    ...(suspects.length === 0 ? [] : [plainTable(suspectHead, suspects, [22, 64, 14], [1])]),
    ...suspectNotes(answer).map((text) => ({ kind: 'paragraph', text, role: 'small' }) as const),
    ...(paragraph === undefined ? [] : [{ kind: 'paragraph', text: paragraph } as const]),
    ...(after === undefined ? suspectMatrix(next) : []),
  ];
}

function evidenceBlocks(answer: CheckAnswer): Block[] {
  const symptoms = symptomRows(answer);
  return [
    { kind: 'heading', text: 'Readings' },
    ...readingTable(answer),
    ...[bandNote(answer), ...floatingLines(answer), ...blankLines(answer)].map(
      (text) => ({ kind: 'paragraph', text, role: 'small' }) as const,
    ),
    ...(symptoms.length === 0
      ? []
      : [
          { kind: 'heading', text: 'What was seen' } as const,
          plainTable(
            [...symptomHead(answer), 'note'],
            withNotes(symptoms, answer.job.symptoms, answer.job.trips),
            [5, 20, 18, 12, 10, 12, 23],
            [1, 6],
          ),
        ]),
  ];
}

function readingTable(answer: CheckAnswer): Block[] {
  const rows = withNotes(
    readingRows(answer),
    answer.readings.map(({ reading }) => reading),
  );
  if (rows.length === 0) return [{ kind: 'paragraph', text: 'No readings were taken.' }];
  return [plainTable([...readingHead, 'note'], rows, [5, 16, 13, 13, 19, 10, 11, 13], [1, 7])];
}

interface Noted {
  readonly index: number;
  readonly note?: string;
}

/** Each row with the note of the observation whose number it begins with. */
function withNotes(
  rows: readonly (readonly string[])[],
  ...lists: readonly (readonly Noted[])[]
): string[][] {
  const notes = new Map(lists.flat().map(({ index, note }) => [String(index), note]));
  return rows.map((row) => [...row, notes.get(row[0] ?? '') ?? '']);
}

function plainTable(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  widths: readonly number[],
  wraps: readonly number[],
): Table {
  return {
    kind: 'table',
    columns: head.map((each, index) => ({
      head: each,
      ...(widths[index] === undefined ? {} : { width: widths[index] }),
      ...(wraps.includes(index) ? { wraps: true } : {}),
    })),
    groups: [{ rows }],
  };
}

function figureOf({ picture }: RecordParts): Figure {
  const caption =
    'The circuit as it should be, with the readings where they were taken and what bounds the fault marked.';
  const { way, svgs } = ladderSheets(picture, { theme: 'light' });
  return {
    kind: 'figure',
    caption,
    svgs,
    page: way,
    lines: (style) =>
      ladderTerminal(picture, { ...style, level: 0 })
        .trimEnd()
        .split('\n'),
  };
}

/** What was done, the readings after it, safety tests, and how it was left. */
function repairBlocks(parts: RecordParts): Block[] {
  const record: JobRecord = parts.answer.job.record ?? {};
  const { left } = record;
  const ticks = ['in service', 'made safe', 'not repaired'] as const;
  return [
    { kind: 'heading', text: 'Repair' },
    {
      kind: 'form',
      fields: [
        field('Repaired or replaced', record.replaced, 'lines'),
        field('Why it failed', record.cause, 'lines'),
      ],
    },
    ...afterBlocks(parts),
    testTable(record),
    ...(left === undefined
      ? [{ kind: 'ticks', items: ticks.map((each) => `Left ${each}`) } as const]
      : [{ kind: 'paragraph', text: `Left ${left}.`, role: 'conclusion' } as const]),
    {
      kind: 'form',
      fields: [field('Recommendations', record.recommendations, 'lines'), field('Signature', undefined)],
    },
  ];
}

function afterBlocks({ answer, after }: RecordParts): Block[] {
  const heading = { kind: 'heading', text: 'Readings after the repair' } as const;
  if (after !== undefined) {
    const symptoms = symptomRows(after);
    return [
      heading,
      { kind: 'paragraph', text: conclusion(after), role: 'conclusion' },
      ...(after.proven === undefined ? [] : [{ kind: 'list', items: provenLines(after.proven) } as const]),
      ...readingTable(after),
      ...(symptoms.length === 0
        ? []
        : [plainTable(symptomHead(after), symptoms, [6, 26, 24, 14, 14, 16], [1])]),
    ];
  }
  const amiss = answer.readings.filter(({ verdict }) => verdict === 'differs');
  if (amiss.length === 0) return [];
  return [heading, againTable(amiss, answer)];
}

/** Those that were amiss, to be taken again. */
function againTable(amiss: readonly ReadingEvidence[], answer: CheckAnswer): Table {
  const { circuit } = answer;
  const rows = readingRows({ readings: amiss, circuit });
  return {
    kind: 'table',
    columns: [
      { head: 'again', width: 7 },
      { head: 'state', width: 22, wraps: true },
      { head: 'red', width: 17 },
      { head: 'black', width: 17 },
      { head: 'should read', width: 21 },
      { head: 'reading', width: 16 },
    ],
    groups: [
      {
        rows: rows.map(([index = '', state = '', red = '', black = '', expected = ''], row) => {
          const { shown } = amiss[row]?.reading ?? {};
          const unit = shown === undefined || shown.kind === 'blank' ? '' : shown.unit;
          return [index, state, red, black, expected, { box: unit }];
        }),
      },
    ],
  };
}

/** Asked for by most local rules (common practice, no source): which, and how much, is theirs to say. */
const usualTests = ['protective earth continuity', 'insulation or leakage', 'polarity at the outlet'];

function testTable({ tests }: JobRecord): Table {
  const given = tests?.map(({ test, reads, limit }) => [
    test,
    reads === undefined ? { box: '' } : String(reads),
    limit === undefined ? '' : String(limit),
  ]);
  return {
    kind: 'table',
    columns: [
      { head: 'safety test', width: 44, wraps: true },
      { head: 'found', width: 28 },
      { head: 'limit, by local rules', width: 28 },
    ],
    groups: [{ rows: given ?? usualTests.map((test) => [test, { box: '' }, { box: '' }]) }],
  };
}

/** Enough to tell whether files are the same ones. */
const hashDigits = 16;

function madeFrom(inputs: AnswerHead['inputs']): string {
  const files = inputs.map(({ path, sha256 }) => `${path} (SHA-256 ${sha256.slice(0, hashDigits)}...)`);
  return `Computed by loadside ${version} from ${files.join(', ')}. The same files give the same record.`;
}

/** The `report` answer of schemas/report.schema.json: what `check` gives, the record, and the same after the repair. */
export function recordJson({ answer, onward, after }: RecordParts): Readonly<Record<string, unknown>> {
  return {
    ...checkJson(answer, onward),
    record: answer.job.record ?? null,
    after: after === undefined ? null : checkJson(after, nothingOnward(after)),
  };
}

/** After the repair nothing is proposed: a discrepancy then begins a job of its own. */
function nothingOnward(check: CheckAnswer): Onward {
  const { circuit, job } = check;
  const next: NextAnswer = {
    circuit,
    job,
    check,
    proposals: [],
    order: [],
    missing: 0,
    suspects: 0,
    left: 0,
    kept: [],
  };
  return { triage: undefined, next };
}
