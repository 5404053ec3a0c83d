import type { Fields, NextReport } from '../answers.js';
import type { Circuit } from '../circuit/circuit.js';
import type { NextAnswer, Proposal } from '../diagnose/diagnose.js';
import { cautionFor, cautions, shortCaution } from './cautions.js';
import { atLimit } from './check-conclusion.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { count, jsonNumber, showWeight } from './number.js';
import { paintFor } from './paint.js';
import type { Paper } from './paper/paper.js';
import { listed } from './phrases.js';
import type { TerminalStyle } from './show-problem.js';
import { suspectMatrix, wordShows } from './suspect-matrix.js';
import { showTable } from './table.js';
import { wordExpected } from './word-expected.js';
import { wordMode } from './word-fault.js';
import {
  proposalJson,
  wordBits,
  wordCost,
  wordFunction,
  wordLeads,
  wordLeft,
  wordOutcome,
  wordParts,
  wordProposal,
} from './word-proposal.js';
import { wordState } from './word-state.js';

/** Where to put the leads now: the proposal, what each outcome would mean, what each suspect would show, alternatives. */
export function nextTable(answer: NextAnswer, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const [best, ...others] = answer.proposals;
  const lines =
    best === undefined
      ? [paint.strong(fold(wordNone(answer), style))]
      : [
          paint.strong(fold(`Next: ${wordProposal(answer.circuit, best)}.`, style)),
          fold(wordWorth(answer, best), style),
          paint.bad(fold(cautionFor(best), style)),
          '',
          outcomeTable(answer, best, style),
          '',
          suspectTable(answer, best, style),
          ...alternatives(answer, others, style),
        ];
  const notes = noteLines(answer).flatMap((line) => ['', fold(line, style)]);
  return `${[...lines, ...notes, '', paint.faint(fold(shortCaution, style))].join('\n')}\n`;
}

/** The same for paper: what to read, what it would mean, and what each suspect would show at every reading proposed. */
export function nextPaper(answer: NextAnswer): Paper {
  const { circuit, proposals } = answer;
  const [best] = proposals;
  const title = `Next reading: ${circuit.title}`;
  const notes = noteLines(answer).map((text) => ({ kind: 'paragraph', text }) as const);
  const small = { kind: 'paragraph', text: cautions.join(' '), role: 'small' } as const;
  if (best === undefined)
    return {
      title,
      blocks: [{ kind: 'paragraph', text: wordNone(answer), role: 'conclusion' }, ...notes, small],
    };
  return {
    title,
    blocks: [
      { kind: 'paragraph', text: cautionFor(best), role: 'danger' },
      { kind: 'paragraph', text: `${wordProposal(circuit, best)}.`, role: 'conclusion' },
      { kind: 'paragraph', text: wordWorth(answer, best) },
      {
        kind: 'table',
        columns: [
          { head: 'if it reads', width: 26 },
          { head: 'likely', width: 10 },
          { head: 'it is one of', width: 64, wraps: true },
        ],
        groups: [{ rows: outcomeRows(answer, best) }],
      },
      ...suspectMatrix(answer),
      ...notes,
      small,
    ],
  };
}

/** One short paragraph for the end of a comparison; undefined where there is nothing to say. */
export function nextParagraph(answer: NextAnswer): string | undefined {
  const [best] = answer.proposals;
  if (best === undefined)
    return answer.reason === 'bounded' || answer.reason === 'agrees' ? undefined : wordNone(answer);
  const means = best.outcomes.map((each) => `${wordOutcome(each)} leaves ${wordLeft(answer.circuit, each)}`);
  if (answer.order.length > 0)
    return `No reading within reach tells much of what is left. ${wordOrder(answer.circuit, answer.order)}`;
  return `Next: ${wordProposal(answer.circuit, best)}. ${means.join('. ')}. It takes ${wordCost(best)}.`;
}

function wordWorth({ missing }: NextAnswer, best: Proposal): string {
  return `It is expected to tell ${wordBits(best.bits)} of the ${wordBits(missing)} missing, in ${wordCost(best)}.`;
}

function outcomeTable(answer: NextAnswer, best: Proposal, style: TerminalStyle): string {
  return showTable(['if it reads', 'likely', 'it is one of'], outcomeRows(answer, best), style, [2]);
}

function outcomeRows({ circuit }: NextAnswer, { outcomes }: Proposal): string[][] {
  return outcomes.map((each) => [wordOutcome(each), showWeight(each.weight), wordLeft(circuit, each)]);
}

/** Suspects shown; the rest are counted. JSON has them all. */
const shownSuspects = 10;

function suspectTable({ circuit }: NextAnswer, { shows, sound }: Proposal, style: TerminalStyle): string {
  const rows = shows
    .slice(0, shownSuspects)
    .map(({ suspect, shows: each }) => [
      [...new Set(suspect.faults.map(({ part }) => clean(part)))].join(', '),
      suspect.faults.map((fault) => wordMode(circuit, fault)).join(', '),
      wordShows(each),
    ]);
  const rest = shows.length - shownSuspects;
  const table = showTable(['suspect', 'what would be wrong', 'would read'], rows, style, [0, 1, 2]);
  const healthy =
    sound === undefined
      ? 'What it would read with nothing wrong is not predicted.'
      : `With nothing wrong it would read: ${wordExpected(sound)}.`;
  return [table, ...(rest > 0 ? [`and ${count(rest, 'more suspect')}`] : []), fold(healthy, style)].join(
    '\n',
  );
}

function alternatives({ circuit }: NextAnswer, others: readonly Proposal[], style: TerminalStyle): string[] {
  if (others.length === 0) return [];
  const rows = others.map((each) => [
    `${wordState(each.state)}${each.live ? '' : ' (dead)'}`,
    wordLeads(circuit, each),
    wordFunction(circuit, each),
    each.bits.toFixed(2),
    each.minutes.toFixed(1),
  ]);
  return [
    '',
    'If you cannot get there:',
    showTable(['state', 'leads', 'function', 'bits', 'minutes'], rows, style, [0, 1, 2]),
  ];
}

function noteLines({ circuit, proposals, order, left, suspects, kept }: NextAnswer): string[] {
  const lines: string[] = [];
  if (proposals.length > 0 && order.length > 0)
    lines.push(`That reading tells little of what is left. ${wordOrder(circuit, order)}`);
  if (left > 0)
    lines.push(
      `The ${suspects} likeliest suspects were looked at, and ${count(left, 'unlikelier one')} not.`,
    );
  if (kept.length > 0)
    lines.push(
      `Do not switch on yet: ${kept.map(wordState).join('; ')}. Something suspected would short or blow there; rule it out with the power off first.`,
    );
  return lines;
}

/** What to do about a load whose not working is no sign of anything where it was seen. */
const elsewhere = ' Write down how it does in another state, or measure its supply.';

/** Told of the order; the rest are counted. JSON has them all. */
const mostTrials = 6;

function wordNone({ reason, check, circuit, order }: NextAnswer): string {
  const parts = [
    ...new Set(check.suspects.map(({ faults }) => faults.map((fault) => fault.part).join(' and '))),
  ];
  const names = parts.map((part) => wordParts(circuit, [part]));
  const [first = ''] = names;
  const near = atLimit(check);
  switch (reason) {
    case 'agrees':
      return near === ''
        ? 'Everything agrees: there is nothing to look for, and no reading to take.'
        : `Nothing differs, so that no reading can be chosen.${near}${elsewhere}`;
    case 'bounded':
      return `${first} is all that is left: no further reading is needed to say which part it is.${chargeNote(circuit, parts)}`;
    case 'settled':
      return `${first} is nearly certain, and nothing within reach would tell more.${chargeNote(circuit, parts.slice(0, 1))}`;
    case 'undecided':
      return near === ''
        ? 'Nothing was seen yet that differs or agrees: write down first which load does not do its job, and in which state (symptoms:).'
        : `Nothing was seen yet that tells good from bad.${near}${elsewhere}`;
    case 'unexplained':
      return `No modelled fault explains it all, so none can be told from another. ${again(check.firstDiscrepancy)}`;
    default:
      return `Nothing within reach tells apart what is left. ${wordOrder(circuit, order)}`;
  }
}

function wordOrder(circuit: Circuit, order: NextAnswer['order']): string {
  const isKeptOff = ({ parts }: NextAnswer['order'][number]) =>
    parts.some((part) => hazardOf(circuit, part) !== undefined);
  const open = order.filter((each) => !isKeptOff(each));
  const closed = order.filter(isKeptOff);
  const look = `Look at it, or test it taken out, in this order, likely and quick to get at first: ${wordTrials(circuit, open)}.`;
  const hazards = new Set(
    closed.flatMap(({ parts }) => parts.flatMap((part) => hazardOf(circuit, part) ?? [])),
  );
  const handOver = `Marked ${listed([...hazards].map(clean), 'and')}, so neither opened nor measured: ${wordTrials(circuit, closed)}. Hand that over to somebody trained and equipped for it.`;
  const told = [...(open.length > 0 ? [look] : []), ...(closed.length > 0 ? [handOver] : [])].join(' ');
  return `${told}${chargeNote(
    circuit,
    open.flatMap(({ parts }) => parts),
  )}`;
}

/** What is done with a capacitor that is suspected, which no reading in the circuit tells more of (common practice, no source). */
function chargeNote(circuit: Circuit, parts: readonly string[]): string {
  const names = parts.filter(
    (part) => circuit.parts.get(part)?.form === 'capacitor' && hazardOf(circuit, part) === undefined,
  );
  return names.length === 0
    ? ''
    : ` A capacitor (${listed([...new Set(names)].map(clean), 'and')}) holds its charge: discharge it as the maker says and prove it discharged before you touch it, then test it taken out on a meter that reads capacitance, or replace it by one of the same rating.`;
}

function wordTrials(circuit: Circuit, order: NextAnswer['order']): string {
  const trials = order.map(({ parts, share }) => `${wordParts(circuit, parts)} ${showWeight(share)}`);
  const rest = trials.length - mostTrials;
  return `${trials.slice(0, mostTrials).join('; ')}${rest > 0 ? `; and ${rest} more` : ''}`;
}

/** The hazard at one of a part's terminals. */
function hazardOf({ parts, branches, nodes }: Circuit, name: string): string | undefined {
  const ends = (parts.get(name)?.branches ?? []).flatMap((branch) => {
    const { from, to } = branches[branch] ?? { from: -1, to: -1 };
    return [from, to];
  });
  return ends.map((node) => nodes[node]?.hazard).find((hazard) => hazard !== undefined);
}

function again(first: NextAnswer['check']['firstDiscrepancy']): string {
  if (first === undefined) return '';
  return first.kind === 'reading'
    ? `Take reading ${first.index} again: same state, same terminals, same function.`
    : `See symptom ${first.index} again, in the same state.`;
}

/** The `next` answer of schemas/report.schema.json. */
export function nextJson(answer: NextAnswer): Fields<NextReport> {
  const { circuit, proposals, reason, order, missing, suspects, left, kept, check } = answer;
  const [best, ...others] = proposals;
  return {
    verdict: check.verdict,
    next: best === undefined ? null : proposalJson(circuit, best),
    alternatives: others.map((each) => proposalJson(circuit, each)),
    reason: reason ?? null,
    order: order.map(({ parts, share, minutes }) => ({ parts, share: jsonNumber(share), minutes })),
    missing: jsonNumber(missing),
    lookedAt: suspects,
    leftOut: left,
    notEnergised: kept.map(({ changes }) => changes),
    cautions: [...(best === undefined ? [] : [cautionFor(best)]), ...cautions],
  };
}
