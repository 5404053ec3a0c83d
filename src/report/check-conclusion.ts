import type { CheckAnswer, Suspect } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { count } from './number.js';
import { listed } from './phrases.js';
import { wordMode, wordOpened, wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** What follows from a comparison, in a sentence or two. */
export function conclusion(answer: CheckAnswer): string {
  const { circuit, suspects, verdict, readings, symptoms, trips } = answer;
  const done = `${count(readings.length, 'reading')} and ${count(symptoms.length + trips.length, 'symptom')}`;
  switch (verdict) {
    case 'agrees': {
      const open = [...readings, ...symptoms].filter((each) => each.verdict === 'inconclusive').length;
      const rest = open === 0 ? '' : ` ${open} more prove nothing either way.`;
      const [inBand, asIs] = [readings, symptoms].map(
        (list) => list.filter((each: { readonly verdict: string }) => each.verdict === 'agrees').length,
      );
      const seen = symptoms.length === 0 ? '' : `, ${count(asIs ?? 0, 'symptom')} as expected`;
      const limits = atLimit(answer);
      const all = limits === '' ? 'Everything agrees' : 'Nothing differs';
      return `${all}: ${count(inBand ?? 0, 'reading')} in band${seen}.${rest}${limits}`;
    }
    case 'undecided':
      if (readings.length + symptoms.length + trips.length === 0)
        return answer.job.blank === undefined
          ? 'Nothing was measured and nothing seen: the file lists neither readings nor symptoms.'
          : 'Nothing was measured yet: everything the file lists is left blank.';
      return `Nothing conclusive was measured: ${done}, and none of them tells good from bad.${atLimit(answer)}`;
    case 'unexplained':
      return unexplained(answer);
    case 'bounded':
      return `${unlikely(answer)}${bounded(answer)}`;
    case 'ambiguous': {
      const parts = (answer.firstDiscrepancy?.bounds ?? []).map((part) => wordPart(circuit, part));
      const [first] = suspects;
      const best = first === undefined ? '' : ` Most likely ${wordSuspect(answer, first)}.`;
      return `${unlikely(answer)}${ambiguous(answer, parts)}${best}`;
    }
  }
}

/** Loads that may work or not with every part sound, in the states they were seen in. */
export function atLimit({ symptoms }: Pick<CheckAnswer, 'symptoms'>): string {
  const near = symptoms.filter(({ expected }) => expected === 'marginal').map(({ symptom }) => symptom);
  const names = [...new Set(near.map(({ load, state }) => `${clean(load.name)} in ${wordState(state)}`))];
  return names.length === 0
    ? ''
    : ` At its limit, so that whether it works is no sign of anything: ${listed(names, 'and')}.`;
}

function unlikely({ settled }: CheckAnswer): string {
  return settled
    ? ''
    : 'Only a fault with which contacts never settle explains it all: take the doubtful readings again before anything is taken apart. ';
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
  if (answer.supposed === 'pair')
    return `${wordSuspect(answer, first)}: no single fault explains what was seen, and no other two.`;
  const only =
    answer.supposed === 'intermittent' ? 'no other fault that comes and goes' : 'no other single fault';
  return `${wordSuspect(answer, first)}: ${only} explains what was seen.`;
}

/** More parts than this are a wall of names: the suspects below have them, the likely first. */
const mostParts = 6;

function ambiguous({ supposed, readings }: CheckAnswer, parts: readonly string[]): string {
  const names = parts.length > mostParts ? '.' : `: ${parts.join(', ')}.`;
  const left = `${count(parts.length, 'part')}${names}`;
  const leaves = readings.length === 0 ? 'What was seen leaves' : 'The readings leave';
  switch (supposed) {
    case 'single':
      return `${leaves} ${left}`;
    case 'intermittent':
      return `Something comes and goes: the same reading was taken twice and differs. ${leaves} ${left}`;
    case 'pair':
      return `No single fault explains every reading and symptom; two at once do, among ${left}`;
  }
}

/** "Nothing fits" is an answer: what is most often the reason comes first. */
function unexplained({ doubts, movedSwitches }: CheckAnswer): string {
  const first =
    doubts.length + movedSwitches.length > 0
      ? ' See below which reading stands against the others.'
      : ' Check first: was a switch in another position, was a lead on another terminal, was the meter on another function, is the supply what it was taken for?';
  return `No modelled fault explains every reading and symptom, alone or with a second one.${first} It may be more than two faults, or something the circuit file does not have.`;
}

function wordSuspect({ circuit }: CheckAnswer, { faults, opened }: Suspect): string {
  const wrong = faults
    .map((fault) => `${wordPart(circuit, fault.part)} ${wordMode(circuit, fault)}`)
    .join(', and ');
  return opened === undefined ? wrong : `${wrong}, and ${wordOpened(circuit, opened)} from it`;
}
