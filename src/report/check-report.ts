import type { CheckReport, Fields, Json } from '../answers.js';
import type {
  CheckAnswer,
  HasAllItNeeds,
  NextAnswer,
  SymptomEvidence,
  Triage,
  TripEvidence,
} from '../diagnose/diagnose.js';
import { cautionFor, cautions, shortCaution } from './cautions.js';
import { conclusion } from './check-conclusion.js';
import {
  bandNote,
  blankLines,
  causes,
  floatingLines,
  readingHead,
  readingRows,
  shownSuspects,
  suspectHead,
  suspectNotes,
  suspectRows,
  symptomHead,
  symptomRows,
} from './check-rows.js';
import { clearedInShort, clearedJson, clearedLines, provenLines } from './cleared-report.js';
import { fold } from './columns.js';
import { discrepancyLines, needsLines } from './discrepancy-report.js';
import { doubtLines, doubtsJson } from './doubts-report.js';
import { nextParagraph } from './next-report.js';
import { jsonNumber } from './number.js';
import { paintFor } from './paint.js';
import type { TerminalStyle } from './show-problem.js';
import { slipLines, slipsJson } from './slip-report.js';
import { showTable } from './table.js';
import { triageJson, triageLines } from './triage-report.js';
import { expectedJson, measuredJson } from './word-expected.js';
import { faultJson } from './word-fault.js';
import { proposalJson } from './word-proposal.js';

/** What follows from a comparison: the complaint sorted, where nothing was measured, and the reading to take next. */
export interface Onward {
  readonly triage: Triage | undefined;
  readonly next: NextAnswer;
}

/**
 * The comparison as a person reads it: the conclusion, what it rests on, the suspects, every reading. `isLong` has every
 * suspect, and for each part cleared what shows it.
 */
export function checkTable(
  answer: CheckAnswer,
  { triage, next }: Onward,
  style: TerminalStyle,
  isLong: boolean = false,
): string {
  const paint = paintFor(style.level);
  const good = answer.verdict === 'agrees';
  // Of a complaint without readings its own lines tell in short what is cleared.
  const short = triage === undefined ? clearedInShort(answer) : [];
  const cleared = isLong ? clearedLines(answer) : short;
  const lines = [
    (good ? paint.good : paint.bad)(fold(conclusion(answer), style)),
    ...[...doubtLines(answer), ...discrepancyLines(answer)].map((line) => fold(line, style)),
    ...[...needsLines(answer), ...cleared].map((line) => fold(line, style)),
    ...(answer.proven === undefined ? [] : provenLines(answer.proven)).map((line) => fold(line, style)),
    ...(triage === undefined ? [] : triageLines(answer.circuit, triage)).map((line) => fold(line, style)),
    ...suspectLines(answer, style, isLong),
    ...[...slipLines(answer), ...causes(answer)].map((line) => fold(line, style)),
    '',
    readingTable(answer, style),
    fold(bandNote(answer), style),
    ...[...floatingLines(answer), ...blankLines(answer)].map((line) => fold(line, style)),
    ...symptomLines(answer, style),
    ...nextLines(next, style),
    '',
    paint.faint(fold(shortCaution, style)),
  ];
  return `${lines.join('\n')}\n`;
}

function suspectLines(answer: CheckAnswer, style: TerminalStyle, isLong: boolean): string[] {
  const shown = isLong ? answer.suspects.length : shownSuspects;
  const rows = suspectRows(answer, shown);
  const table = rows.length === 0 ? [] : [showTable(suspectHead, rows, style, [1])];
  const notes = suspectNotes(answer, shown, ' (--verbose has them all)').map((note) => fold(note, style));
  return notes.length === 0 ? [] : ['', ...table, ...notes];
}

function readingTable(answer: CheckAnswer, style: TerminalStyle): string {
  const rows = readingRows(answer);
  return rows.length === 0 ? 'No readings.' : showTable(readingHead, rows, style, [1, 2]);
}

function symptomLines(answer: CheckAnswer, style: TerminalStyle): string[] {
  const rows = symptomRows(answer);
  return rows.length === 0 ? [] : ['', showTable(symptomHead(answer), rows, style, [1])];
}

/** Where to put the leads now. */
function nextLines(next: NextAnswer, style: TerminalStyle): string[] {
  const paragraph = nextParagraph(next);
  if (paragraph === undefined) return [];
  const [best] = next.proposals;
  // Where another order is told in place of a reading, there is nothing to be careful with yet.
  const told = next.order.length === 0 ? best : undefined;
  return ['', fold(paragraph, style), ...(told === undefined ? [] : [fold(cautionFor(told), style)])];
}

/** The `check` answer of schemas/report.schema.json. */
export function checkJson(answer: CheckAnswer, { triage, next }: Onward): Fields<CheckReport> {
  const [proposal] = next.proposals;
  const { firstDiscrepancy: found } = answer;
  return {
    verdict: answer.verdict,
    conclusion: conclusion(answer),
    readings: readingsJson(answer),
    symptoms: [...answer.symptoms.map(symptomJson), ...answer.trips.map(tripJson)].sort(
      (a, b) => a.index - b.index,
    ),
    firstDiscrepancy:
      found === undefined
        ? null
        : {
            [found.kind]: found.index,
            lastGood: found.lastGood ?? null,
            firstBad: found.firstBad ?? null,
            side: found.side === undefined ? null : found.side.live ? 'line' : 'neutral',
            between: found.between,
            bounds: found.bounds,
          },
    suspects: answer.suspects.map(({ faults, opened, heat, weight }) => ({
      faults: faults.map(faultJson),
      opened: opened?.part ?? null,
      ...(heat === undefined ? {} : { heat: { watts: jsonNumber(heat.watts), amps: jsonNumber(heat.amps) } }),
      // However small, it is not none.
      weight: Number(weight.toPrecision(12)),
    })),
    supposed: answer.supposed,
    tried: answer.tried,
    triedPairs: answer.triedPairs ?? null,
    ...doubtsJson(answer),
    advice: causes(answer),
    ...clearedJson(answer),
    slips: slipsJson(answer.slips),
    hasAllItNeeds: answer.hasAllItNeeds === undefined ? null : needsJson(answer.hasAllItNeeds),
    triage: triage === undefined ? null : triageJson(triage),
    next: proposal === undefined ? null : proposalJson(answer.circuit, proposal),
    cautions,
  };
}

/** In file order, those left blank among them. */
function readingsJson({ readings, blank }: CheckAnswer): readonly CheckReport['readings'][number][] {
  const taken = readings.map((each) => ({ ...each, measured: measuredJson(each.reading) }));
  const left = blank.map((each) => ({ ...each, verdict: 'inconclusive' as const, measured: null }));
  return [...taken, ...left]
    .sort((a, b) => a.reading.index - b.reading.index)
    .map(({ reading, expected, verdict, measured }) => ({
      index: reading.index,
      in: reading.state.changes,
      verdict,
      expected: expectedJson(expected),
      measured,
    }));
}

function tripJson({ trip, verdict }: TripEvidence): Json.Symptom {
  return { index: trip.index, in: trip.state.changes, opens: trip.protector, verdict };
}

function symptomJson({ symptom, expected, verdict }: SymptomEvidence): Json.Symptom {
  return {
    index: symptom.index,
    in: symptom.state.changes,
    load: symptom.load.name,
    verdict,
    expected: expected === 'marginal' ? null : expected === 'yes',
    works: symptom.works,
  };
}

function needsJson({ part, state, needs, jobs }: HasAllItNeeds): Json.Supplied {
  return {
    part,
    in: state.changes,
    needs: needs.map(({ kind, input, red, black, volts, reading }) => ({
      kind,
      ...(input === undefined ? {} : { input }),
      red,
      black,
      volts: jsonNumber(volts),
      reading: reading?.index ?? null,
    })),
    jobs: jobs.map((load) => ({ load: load.name, job: load.job })),
  };
}
