import type { CheckAnswer, Discrepancy, Need } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { showValue } from './number.js';
import { listed } from './phrases.js';
import { wordExpected, wordShown } from './word-expected.js';
import { wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** The first observation that is not as it should be, and the places that bracket what is wrong. */
export function discrepancyLines(answer: CheckAnswer): string[] {
  const { firstDiscrepancy: found } = answer;
  if (found === undefined) return [];
  const first = found.kind === 'reading' ? readingAmiss(answer, found) : symptomAmiss(answer, found);
  return [...first, ...bracketLines(answer, found)];
}

function readingAmiss({ readings, circuit }: CheckAnswer, { index }: Discrepancy): string[] {
  const found = readings.find((each) => each.reading.index === index);
  if (found === undefined) return [];
  const { reading, expected } = found;
  const { where, state } = reading;
  const place =
    where.kind === 'between'
      ? `${name(circuit, where.red)} to ${name(circuit, where.black)}`
      : `the current in ${clean(circuit.branches[where.branch]?.name ?? '')}`;
  const should =
    expected.kind === 'floating' ? 'a floating place was expected' : `expected ${wordExpected(expected)}`;
  return [
    `First discrepancy: reading ${index}, ${wordState(state)}: ${place} reads ${wordShown(reading)}, ${should}.`,
  ];
}

function symptomAmiss({ readings, symptoms, trips, circuit }: CheckAnswer, { index }: Discrepancy): string[] {
  const trip = trips.find((each) => each.trip.index === index)?.trip;
  if (trip !== undefined)
    return [
      `First symptom amiss: ${index}, ${wordState(trip.state)}: ${wordPart(circuit, trip.protector)} opens and should not.`,
    ];
  const symptom = symptoms.find((each) => each.symptom.index === index)?.symptom;
  if (symptom === undefined) return [];
  const { load, works, state } = symptom;
  const does = works ? 'works and should not' : 'should work and does not';
  return [
    `${readings.length === 0 ? '' : 'All readings agree. '}First symptom amiss: ${index}, ${wordState(state)}: ${clean(load.name)} (${clean(load.job)}) ${does}.`,
  ];
}

function bracketLines(
  { circuit }: CheckAnswer,
  { lastGood, firstBad, side, between }: Discrepancy,
): string[] {
  if (lastGood === undefined && side !== undefined)
    return [
      `First bad ${clean(firstBad ?? '')}: the supply is suspected before the appliance is. Stop, make safe, and hand the building's side over to a licensed electrician.`,
    ];
  if (lastGood === undefined || firstBad === undefined) return [];
  const where =
    side === undefined ? '' : `, on the ${side.live ? 'line' : 'neutral'} side (${side.supply} ${side.leg})`;
  const parts = between.map((part) => wordPart(circuit, part));
  const what = parts.length === 0 ? '' : ` Between them: ${listed(parts, 'and')}.`;
  return [`Last good ${clean(lastGood)}, first bad ${clean(firstBad)}${clean(where)}.${what}`];
}

function name(circuit: CheckAnswer['circuit'], node: number): string {
  return clean(circuit.nodes[node]?.name ?? '');
}

/** What the one part left has been shown to have. */
export function needsLines({ hasAllItNeeds, circuit }: CheckAnswer): string[] {
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
