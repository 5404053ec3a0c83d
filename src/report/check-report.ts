import type { CheckReport, Fields, Json } from '../answers.js';
import type {
  CheckAnswer,
  HasAllItNeeds,
  NextAnswer,
  ReadingEvidence,
  Suspect,
  SymptomEvidence,
  Triage,
  TripEvidence,
} from '../diagnose/diagnose.js';
import { cautionFor, cautions, shortCaution } from './cautions.js';
import { conclusion } from './check-conclusion.js';
import { clean } from './clean.js';
import { clearedInShort, clearedJson, clearedLines, provenLines } from './cleared-report.js';
import { fold } from './columns.js';
import { discrepancyLines, needsLines } from './discrepancy-report.js';
import { doubtLines, doubtsJson } from './doubts-report.js';
import { nextParagraph } from './next-report.js';
import { count, fixedPercent, jsonNumber, showValue, showWeight } from './number.js';
import { paintFor } from './paint.js';
import type { TerminalStyle } from './show-problem.js';
import { slipLines, slipsJson } from './slip-report.js';
import { showTable } from './table.js';
import { triageJson, triageLines } from './triage-report.js';
import { expectedJson, measuredJson, wordCause, wordExpected, wordShown } from './word-expected.js';
import { faultJson, wordMode, wordOpened, wordPart } from './word-fault.js';
import { proposalJson } from './word-proposal.js';
import { wordState } from './word-state.js';

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
    ...floatingLines(answer, style),
    ...symptomLines(answer, style),
    ...nextLines(next, style),
    '',
    paint.faint(fold(shortCaution, style)),
  ];
  return `${lines.join('\n')}\n`;
}

function name(circuit: CheckAnswer['circuit'], node: number): string {
  return clean(circuit.nodes[node]?.name ?? '');
}

/** Suspects shown; the rest are counted. */
const shownSuspects = 10;

function suspectLines(answer: CheckAnswer, style: TerminalStyle, isLong: boolean): string[] {
  const { suspects, tried, circuit } = answer;
  if (tried === 0) return [];
  const shown = isLong ? suspects.length : shownSuspects;
  const rest = suspects.length - shown;
  const rows = suspects
    .slice(0, shown)
    .map((suspect) => [
      [...new Set(suspect.faults.map(({ part }) => clean(part)))].join(', '),
      wordSuspected(circuit, suspect),
      showWeight(suspect.weight),
    ]);
  const unknown = Math.max(0, 1 - suspects.reduce((sum, each) => sum + each.weight, 0));
  const weights = ` Weights are rough; ${showWeight(unknown)} is kept for a fault nobody modelled.`;
  const fit = `${suspects.length} fit${suspects.length === 1 ? 's' : ''}.`;
  const foot = `${wordTried(answer)} tried, ${fit}${rows.length === 0 ? '' : weights}`;
  return [
    '',
    ...(rows.length === 0 ? [] : [showTable(['suspect', 'what would be wrong', 'weight'], rows, style, [1])]),
    ...(rest > 0 ? [`and ${rest} more (--verbose has them all)`] : []),
    fold(foot, style),
  ];
}

function wordTried({ tried, triedPairs, complete }: CheckAnswer): string {
  const singles = count(tried, 'single fault');
  if (triedPairs === undefined) return singles;
  return `${singles} and ${complete ? '' : 'the first '}${count(triedPairs, 'pair')}`;
}

function wordSuspected(circuit: CheckAnswer['circuit'], { faults, opened, heat }: Suspect): string {
  const wrong = faults.map((fault) => wordMode(circuit, fault)).join(', ');
  const blew = opened === undefined ? '' : `, and ${wordOpened(circuit, opened)} from it`;
  const burns =
    heat === undefined
      ? ''
      : `: about ${showValue(heat.watts, 'W')} burnt there at ${showValue(heat.amps, 'A')}`;
  return `${wrong}${blew}${burns}`;
}

/** A protector is open for a reason, which a new one does not take away. */
function causes({ suspects, circuit }: CheckAnswer): string[] {
  const open = new Set(
    suspects.flatMap(({ faults }) => faults.filter(({ mode }) => mode === 'open').map(({ part }) => part)),
  );
  return [...open].flatMap((part) => {
    const protector = circuit.protectors.get(part);
    if (protector === undefined) return [];
    const why = protector.opensOnCurrent
      ? 'too much current: if it is open, find what drew it'
      : 'too much heat, and once only: if it is open, find the cause';
    return [`${wordPart(circuit, part)} opens on ${why} before it is replaced or reset.`];
  });
}

const verdictWords = { agrees: 'OK', inconclusive: 'proves nothing' } as const;

function wordVerdict({ verdict, expected, reading }: ReadingEvidence): string {
  if (verdict !== 'differs') return verdictWords[verdict];
  if (reading.shown.kind !== 'value' || expected.kind !== 'driven') return 'DIFFERS';
  return reading.shown.value > expected.high ? 'HIGH' : 'LOW';
}

function readingTable({ readings, circuit }: CheckAnswer, style: TerminalStyle): string {
  if (readings.length === 0) return 'No readings.';
  const rows = readings.map((evidence) => {
    const { reading, expected } = evidence;
    const { where } = reading;
    const leads =
      where.kind === 'between'
        ? [name(circuit, where.red), name(circuit, where.black)]
        : [`clamp ${clean(circuit.branches[where.branch]?.name ?? '')}`, ''];
    return [
      String(reading.index),
      wordState(reading.state),
      ...leads,
      wordExpected(expected),
      wordShown(reading),
      wordVerdict(evidence),
    ];
  });
  return showTable(['#', 'state', 'red', 'black', 'expected', 'read', 'verdict'], rows, style, [1, 2]);
}

/** What sets the bands. */
function bandNote({ supplies, job }: CheckAnswer): string {
  const { share, counts, resolution } = job.meter.accuracy;
  const meter = `meter ${fixedPercent(share)} + ${counts} x ${resolution}`;
  const spread = `give or take ${fixedPercent(supplies.spread)}`;
  const known = supplies.measured.map(clean).join(', ');
  const supply =
    known === ''
      ? `supply at its nominal voltage, ${spread}, for it was not measured`
      : `supply ${known} as measured, ${spread}`;
  return `Bands: ${supply}; part tolerances; ${meter}.`;
}

/** Why a place floats: without that a reading there can't be judged. */
function floatingLines({ readings }: CheckAnswer, style: TerminalStyle): string[] {
  return readings.flatMap(({ reading, expected }) =>
    expected.kind === 'floating' && expected.cause.length > 0
      ? [fold(`Reading ${reading.index} floats: ${wordCause(expected.cause)}.`, style)]
      : [],
  );
}

function symptomLines({ symptoms, trips }: CheckAnswer, style: TerminalStyle): string[] {
  if (symptoms.length + trips.length === 0) return [];
  const works = symptoms.map(({ symptom, expected, verdict }) => [
    String(symptom.index),
    wordState(symptom.state),
    clean(symptom.load.name),
    expected === 'marginal' ? 'at its limit' : expected === 'yes' ? 'works' : 'idle',
    symptom.works ? 'works' : 'idle',
    verdict === 'differs' ? 'DIFFERS' : verdictWords[verdict],
  ]);
  const opens = trips.map(({ trip, verdict }) => [
    String(trip.index),
    wordState(trip.state),
    clean(trip.protector),
    verdict === 'differs' ? 'holds' : 'opens',
    'opens',
    verdict === 'differs' ? 'DIFFERS' : verdictWords[verdict],
  ]);
  const rows = [...works, ...opens].sort((a, b) => Number(a[0]) - Number(b[0]));
  return [
    '',
    showTable(
      ['#', 'state', trips.length > 0 ? 'part' : 'load', 'expected', 'seen', 'verdict'],
      rows,
      style,
      [1],
    ),
  ];
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
    readings: answer.readings.map(({ reading, expected, verdict }) => ({
      index: reading.index,
      in: reading.state.changes,
      verdict,
      expected: expectedJson(expected),
      measured: measuredJson(reading),
    })),
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
