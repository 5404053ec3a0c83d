import type {
  CheckAnswer,
  HasAllItNeeds,
  Need,
  NextAnswer,
  ReadingEvidence,
  Suspect,
  SymptomEvidence,
  Triage,
} from '../diagnose/diagnose.js';
import { cautions, liveCaution, shortCaution } from './cautions.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { nextParagraph } from './next-report.js';
import { count, fixedPercent, jsonNumber, showValue, showWeight } from './number.js';
import { paintFor } from './paint.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { triageJson, triageLines } from './triage-report.js';
import { expectedJson, measuredJson, wordCause, wordExpected, wordShown } from './word-expected.js';
import { faultJson, wordMode, wordPart } from './word-fault.js';
import { proposalJson } from './word-proposal.js';
import { wordState } from './word-state.js';

/** The comparison as a person reads it: the conclusion, what it rests on, the suspects, every reading. */
/** What follows from a comparison: the complaint sorted, where nothing was measured, and the reading to take next. */
export interface Onward {
  readonly triage: Triage | undefined;
  readonly next: NextAnswer;
}

export function checkTable(answer: CheckAnswer, { triage, next }: Onward, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const good = answer.verdict === 'agrees';
  const lines = [
    (good ? paint.good : paint.bad)(fold(conclusion(answer), style)),
    ...discrepancyLines(answer).map((line) => fold(line, style)),
    ...needsLines(answer).map((line) => fold(line, style)),
    ...(triage === undefined ? [] : triageLines(answer.circuit, triage)).map((line) => fold(line, style)),
    ...suspectLines(answer, style),
    ...causes(answer).map((line) => fold(line, style)),
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

function conclusion(answer: CheckAnswer): string {
  const { circuit, suspects, verdict, readings, symptoms } = answer;
  const done = `${count(readings.length, 'reading')} and ${count(symptoms.length, 'symptom')}`;
  switch (verdict) {
    case 'agrees': {
      const open = [...readings, ...symptoms].filter((each) => each.verdict === 'inconclusive').length;
      const rest = open === 0 ? '' : ` ${open} of them prove nothing either way.`;
      return `Everything agrees: ${done} are as the circuit should give them.${rest}`;
    }
    case 'undecided':
      return `Nothing conclusive was measured: ${done}, and none of them tells good from bad.`;
    case 'unexplained':
      return 'No single modelled fault explains every reading and symptom. Check first: was a switch in another position, was a lead on another terminal, was the meter on another function? Two faults at once are possible too.';
    case 'bounded':
      return bounded(answer);
    case 'ambiguous': {
      const parts = (answer.firstDiscrepancy?.bounds ?? []).map((part) => wordPart(circuit, part));
      const [first] = suspects;
      const best = first === undefined ? '' : ` Most likely ${wordSuspect(answer, first)}.`;
      return `The readings leave ${count(parts.length, 'part')}: ${parts.join(', ')}.${best}`;
    }
  }
}

function bounded(answer: CheckAnswer): string {
  const { circuit, hasAllItNeeds, suspects } = answer;
  const [first] = suspects;
  if (first === undefined) return '';
  if (hasAllItNeeds !== undefined) {
    const name = wordPart(circuit, hasAllItNeeds.part);
    const signals = hasAllItNeeds.needs.filter((need) => need.kind === 'signal').length;
    if (circuit.modules.has(hasAllItNeeds.part)) {
      const has =
        signals === 0
          ? 'has line and neutral'
          : `has line, neutral and its start signal${signals > 1 ? 's' : ''}`;
      return `${name} ${has} and does not do its job: it is what is bad.`;
    }
  }
  return `${wordSuspect(answer, first)}: no other single fault explains what was seen.`;
}

function wordSuspect({ circuit }: CheckAnswer, suspect: Suspect): string {
  return suspect.faults
    .map((fault) => `${wordPart(circuit, fault.part)} ${wordMode(circuit, fault)}`)
    .join(', and ');
}

function discrepancyLines({ firstDiscrepancy: found, readings, symptoms, circuit }: CheckAnswer): string[] {
  if (found === undefined) return [];
  const lines: string[] = [];
  const reading =
    found.kind === 'reading' ? readings.find((each) => each.reading.index === found.index) : undefined;
  const symptom =
    found.kind === 'symptom' ? symptoms.find((each) => each.symptom.index === found.index) : undefined;
  if (reading !== undefined) {
    const { where } = reading.reading;
    const place =
      where.kind === 'between'
        ? `${name(circuit, where.red)} to ${name(circuit, where.black)}`
        : `the current in ${clean(circuit.branches[where.branch]?.name ?? '')}`;
    const should =
      reading.expected.kind === 'floating'
        ? 'a floating place was expected'
        : `expected ${wordExpected(reading.expected)}`;
    lines.push(
      `First discrepancy: reading ${found.index}, ${wordState(reading.reading.state)}: ${place} reads ${wordShown(reading.reading)}, ${should}.`,
    );
  }
  if (symptom !== undefined) {
    const { load, works, state } = symptom.symptom;
    const does = works ? 'works and should not' : 'should work and does not';
    lines.push(
      `All readings agree. First symptom amiss: ${found.index}, ${wordState(state)}: ${clean(load.name)} (${clean(load.job)}) ${does}.`,
    );
  }
  if (found.lastGood === undefined && found.side !== undefined) {
    lines.push(
      `First bad ${clean(found.firstBad ?? '')}: the supply is suspected before the appliance is. Stop, make safe, and hand the building's side over to a licensed electrician.`,
    );
  }
  if (found.lastGood !== undefined && found.firstBad !== undefined) {
    const side =
      found.side === undefined
        ? ''
        : `, on the ${found.side.live ? 'line' : 'neutral'} side (${found.side.supply} ${found.side.leg})`;
    lines.push(`Last good ${clean(found.lastGood)}, first bad ${clean(found.firstBad)}${clean(side)}.`);
  }
  return lines;
}

function name(circuit: CheckAnswer['circuit'], node: number): string {
  return clean(circuit.nodes[node]?.name ?? '');
}

function needsLines({ hasAllItNeeds, circuit }: CheckAnswer): string[] {
  if (hasAllItNeeds === undefined) return [];
  const { needs, jobs, part, state } = hasAllItNeeds;
  const isModule = circuit.modules.has(part);
  const has = needs.map((need) => wordNeed(need, isModule));
  const missing = jobs.map((load) => clean(load.job));
  const lines = has.length === 0 ? [] : [`${clean(part)} has ${has.join('; ')}.`];
  if (missing.length > 0 && circuit.modules.has(part))
    lines.push(`In ${wordState(state)} it should give: ${missing.join('; ')}.`);
  return lines;
}

function wordNeed({ kind, input, red, black, volts, reading }: Need, isModule: boolean): string {
  const seen =
    reading === undefined
      ? `${showValue(volts, 'V')} by computation, not measured`
      : `${wordShown(reading)}, reading ${reading.index}`;
  const supply = isModule ? 'line and neutral' : 'its voltage';
  const what = kind === 'supply' ? supply : `signal ${clean(input ?? '')}`;
  return `${what} between ${clean(red)} and ${clean(black)} (${seen})`;
}

/** Suspects shown; the rest are counted. JSON has them all. */
const shownSuspects = 10;

function suspectLines(answer: CheckAnswer, style: TerminalStyle): string[] {
  const { suspects, tried, circuit } = answer;
  if (tried === 0) return [];
  const rest = suspects.length - shownSuspects;
  const rows = suspects
    .slice(0, shownSuspects)
    .map((suspect) => [
      suspect.faults.map((fault) => clean(fault.part)).join(', '),
      suspect.faults.map((fault) => wordMode(circuit, fault)).join(', '),
      showWeight(suspect.weight),
    ]);
  const unknown = Math.max(0, 1 - suspects.reduce((sum, each) => sum + each.weight, 0));
  const foot = `${count(tried, 'single fault')} tried, ${suspects.length} fit${suspects.length === 1 ? 's' : ''}. Weights are rough; ${showWeight(unknown)} is kept for a fault nobody modelled.`;
  return [
    '',
    ...(rows.length === 0 ? [] : [showTable(['suspect', 'what would be wrong', 'weight'], rows, style, [1])]),
    ...(rest > 0 ? [`and ${rest} more`] : []),
    fold(foot, style),
  ];
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

function symptomLines({ symptoms }: CheckAnswer, style: TerminalStyle): string[] {
  if (symptoms.length === 0) return [];
  const rows = symptoms.map(({ symptom, expected, verdict }) => [
    String(symptom.index),
    wordState(symptom.state),
    clean(symptom.load.name),
    expected === 'marginal' ? 'at its limit' : expected === 'yes' ? 'works' : 'idle',
    symptom.works ? 'works' : 'idle',
    verdict === 'differs' ? 'DIFFERS' : verdictWords[verdict],
  ]);
  return ['', showTable(['#', 'state', 'load', 'expected', 'seen', 'verdict'], rows, style, [1])];
}

/** Where to put the leads now. */
function nextLines(next: NextAnswer, style: TerminalStyle): string[] {
  const paragraph = nextParagraph(next);
  if (paragraph === undefined) return [];
  const live = next.proposals[0]?.live === true ? [fold(liveCaution, style)] : [];
  return ['', fold(paragraph, style), ...live];
}

/** The `check` answer of schemas/report.schema.json. */
export function checkJson(answer: CheckAnswer, { triage, next }: Onward): Readonly<Record<string, unknown>> {
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
    symptoms: answer.symptoms.map(symptomJson),
    firstDiscrepancy:
      found === undefined
        ? null
        : {
            [found.kind]: found.index,
            lastGood: found.lastGood ?? null,
            firstBad: found.firstBad ?? null,
            side: found.side === undefined ? null : found.side.live ? 'line' : 'neutral',
            bounds: found.bounds,
          },
    suspects: answer.suspects.map(({ faults, weight }) => ({
      faults: faults.map(faultJson),
      // However small, it is not none.
      weight: Number(weight.toPrecision(12)),
    })),
    tried: answer.tried,
    advice: causes(answer),
    hasAllItNeeds: answer.hasAllItNeeds === undefined ? null : needsJson(answer.hasAllItNeeds),
    triage: triage === undefined ? null : triageJson(triage),
    next: proposal === undefined ? null : proposalJson(answer.circuit, proposal),
    cautions,
  };
}

function symptomJson({ symptom, expected, verdict }: SymptomEvidence): Readonly<Record<string, unknown>> {
  return {
    index: symptom.index,
    in: symptom.state.changes,
    load: symptom.load.name,
    verdict,
    expected: expected === 'marginal' ? null : expected === 'yes',
    works: symptom.works,
  };
}

function needsJson({ part, state, needs, jobs }: HasAllItNeeds): Readonly<Record<string, unknown>> {
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
