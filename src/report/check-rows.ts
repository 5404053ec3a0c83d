import type {
  CheckAnswer,
  ReadingEvidence,
  Suspect,
  SymptomEvidence,
  TripEvidence,
} from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { count, fixedPercent, showValue, showWeight } from './number.js';
import { listed } from './phrases.js';
import { wordCause, wordExpected, wordShown } from './word-expected.js';
import { wordMode, wordOpened, wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** What a comparison found, in rows and sentences: the terminal and the job record set them out each in their own way. */

/** Suspects shown; the rest are counted. JSON has them all. */
export const shownSuspects = 10;

export const suspectHead: readonly string[] = ['suspect', 'what would be wrong', 'weight'];

export function suspectRows({ suspects, circuit }: CheckAnswer, shown: number = shownSuspects): string[][] {
  return suspects
    .slice(0, shown)
    .map((suspect) => [
      [...new Set(suspect.faults.map(({ part }) => clean(part)))].join(', '),
      wordSuspected(circuit, suspect),
      showWeight(suspect.weight),
    ]);
}

/** How many were tried and fit, and what the weights are worth; nothing where none was tried. */
export function suspectNotes(answer: CheckAnswer, shown: number = shownSuspects, more = ''): string[] {
  const { suspects, tried } = answer;
  if (tried === 0) return [];
  const rest = suspects.length - shown;
  const unknown = Math.max(0, 1 - suspects.reduce((sum, each) => sum + each.weight, 0));
  const rare = unknown > 0.5 ? `, for what fits is something that seldom happens: ${proof}` : '.';
  const weights = ` Weights are rough; ${showWeight(unknown)} is kept for a fault nobody modelled${rare}`;
  const fit = `${suspects.length} fit${suspects.length === 1 ? 's' : ''}.`;
  const foot = `${wordTried(answer)} tried, ${fit}${suspects.length === 0 ? '' : weights}`;
  return [...(rest > 0 ? [`and ${rest} more${more}`] : []), foot];
}

/** Where the weights leave most to what nobody modelled: the suspects fit, and are rare. */
const proof = 'prove it by one more reading, or by looking, before a part is exchanged.';

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
export function causes({ suspects, circuit }: CheckAnswer): string[] {
  const open = new Set(
    suspects.flatMap(({ faults }) => faults.filter(({ mode }) => mode === 'open').map(({ part }) => part)),
  );
  return [...open].flatMap((part) => {
    const protector = circuit.protectors.get(part);
    if (protector === undefined) return [];
    const why = protector.opensOnCurrent
      ? 'too much current: if it is open, find what drew it'
      : protector.closesAgain
        ? 'too much heat, and closes again when it has cooled: if it stays open, find what made it hot'
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

export const readingHead: readonly string[] = ['#', 'state', 'red', 'black', 'expected', 'read', 'verdict'];

export function readingRows({ readings, circuit }: Pick<CheckAnswer, 'readings' | 'circuit'>): string[][] {
  const name = (node: number) => clean(circuit.nodes[node]?.name ?? '');
  return readings.map((evidence) => {
    const { reading, expected } = evidence;
    const { where } = reading;
    const leads =
      where.kind === 'between'
        ? [name(where.red), name(where.black)]
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
}

/** `1, 4 to 9 and 12`. */
function ranges(numbers: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const each of numbers) {
    const last = runs.at(-1);
    if (last !== undefined && each === last[1] + 1) last[1] = each;
    else runs.push([each, each]);
  }
  const words = runs.flatMap(([from, to]) =>
    to - from > 1 ? `${from} to ${to}` : from === to ? `${from}` : [`${from}`, `${to}`],
  );
  return listed(words, 'and');
}

/** What the file lists and nobody filled in. */
export function blankLines({ blank, job }: CheckAnswer): string[] {
  const rows = blank.map(({ reading }) => reading.index);
  const symptoms = job.blank?.symptoms ?? [];
  const told = (numbers: readonly number[], what: string) =>
    numbers.length === 0 ? [] : [`${what}${numbers.length > 1 ? 's' : ''} ${ranges(numbers)}`];
  const both = [...told(rows, 'reading'), ...told(symptoms, 'symptom')];
  return both.length === 0 ? [] : [`Left blank, so not taken: ${listed(both, 'and')}.`];
}

/** What sets the bands. */
export function bandNote({ supplies, job }: CheckAnswer): string {
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
export function floatingLines({ readings }: CheckAnswer): string[] {
  return readings.flatMap(({ reading, expected }) =>
    expected.kind === 'floating' && expected.cause.length > 0
      ? [`Reading ${reading.index} floats: ${wordCause(expected.cause)}.`]
      : [],
  );
}

export function symptomHead({ trips }: CheckAnswer): readonly string[] {
  return ['#', 'state', trips.length > 0 ? 'part' : 'load', 'expected', 'seen', 'verdict'];
}

/** Loads and protectors, in the order of the file. */
export function symptomRows({
  symptoms,
  trips,
}: {
  readonly symptoms: readonly SymptomEvidence[];
  readonly trips: readonly TripEvidence[];
}): string[][] {
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
  return [...works, ...opens].sort((a, b) => Number(a[0]) - Number(b[0]));
}
