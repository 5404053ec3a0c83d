import type { PinsAnswer, ReconnectAnswer, SheetAnswer } from '../diagnose/diagnose.js';
import { cautions } from './cautions.js';
import { clean } from './clean.js';
import type { Block, Paper } from './paper/paper.js';
import { pinColumns, pinRows, pinsHeadline, pinsJson } from './pins-report.js';
import { reconnectBlocks, reconnectJson } from './reconnect-report.js';
import { worksheetBlocks, worksheetJson } from './worksheet-report.js';

/** What a sheet holds, each where it was asked for. */
export interface SheetParts {
  readonly title: string;
  readonly worksheet?: SheetAnswer;
  readonly reconnect: readonly ReconnectAnswer[];
  readonly pins?: PinsAnswer;
  /** The command that writes the same rows as a readings file. */
  readonly blankCommand?: string;
}

/** The sheet as a document: hazards first, each piece on a page of its own. */
export function sheetPaper({ title, worksheet, reconnect, pins, blankCommand }: SheetParts): Paper {
  const pieces: (readonly Block[])[] = [
    ...(worksheet === undefined ? [] : [worksheetBlocks(worksheet, blankCommand)]),
    ...reconnect.map(reconnectBlocks),
  ];
  const table = pins === undefined || pins.pins.length === 0 ? [] : pinBlocks(pins);
  // A short table needs no page of its own.
  const last = pieces.at(-1);
  if (last === undefined) pieces.push(table);
  else pieces[pieces.length - 1] = [...last, ...table];
  const blocks = pieces.flatMap((piece, index): Block[] =>
    index === 0 ? [...piece] : [{ kind: 'page' }, ...piece],
  );
  return {
    title: clean(worksheet === undefined ? title : `Worksheet: ${title}`),
    blocks: [...blocks, { kind: 'paragraph', text: smallPrint, role: 'small' }],
  };
}

/** The cautions behind the first, which stands at the top. */
const smallPrint = cautions.slice(1).join(' ');

/** Which pin belongs to which switch position. */
export function pinBlocks(answer: PinsAnswer): Block[] {
  const [pin = '', input = '', live = '', map = '', held = ''] = pinColumns;
  return [
    { kind: 'heading', text: 'Pins and switch positions' },
    { kind: 'paragraph', text: pinsHeadline(answer) },
    {
      kind: 'table',
      columns: [
        { head: pin, width: 14 },
        { head: input, width: 16 },
        { head: live, width: 34, wraps: true },
        { head: map, width: 24, wraps: true },
        { head: held, width: 12 },
      ],
      groups: [{ rows: pinRows(answer) }],
    },
  ];
}

/** The `sheet` answer of schemas/report.schema.json. */
export function sheetJson({ worksheet, reconnect, pins }: SheetParts): Readonly<Record<string, unknown>> {
  return {
    ...(worksheet === undefined ? {} : { worksheet: worksheetJson(worksheet) }),
    ...(reconnect.length === 0 ? {} : { reconnect: reconnect.map(reconnectJson) }),
    ...(pins === undefined ? {} : pinsJson(pins)),
    cautions,
  };
}
