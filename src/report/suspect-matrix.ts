import type { NextAnswer, Proposal } from '../diagnose/diagnose.js';
import type { Expected } from '../meter/meter.js';
import { clean } from './clean.js';
import { count } from './number.js';
import type { Block } from './paper/paper.js';
import { wordExpected } from './word-expected.js';
import { wordMode } from './word-fault.js';
import { wordProposal } from './word-proposal.js';

/** Suspects shown; the rest are counted. JSON has them all. */
const mostSuspects = 10;

/** Readings side by side: more do not fit across a sheet. */
const mostReadings = 4;

/** Of values over a range the bands that meet are one. */
export function wordShows(shows: readonly Expected[]): string {
  if (shows.length === 0) return 'not predicted';
  const bands = shows.filter((each) => each.kind === 'driven').sort((a, b) => a.low - b.low);
  const joined: Extract<Expected, { kind: 'driven' }>[] = [];
  for (const band of bands) {
    const last = joined.at(-1);
    if (last === undefined || band.low > last.high) joined.push(band);
    else joined[joined.length - 1] = { ...last, high: Math.max(last.high, band.high) };
  }
  const others = shows.filter((each) => each.kind !== 'driven');
  return [...new Set([...joined, ...others].map(wordExpected))].join(' or ');
}

/**
 * What each suspect would show at each of the readings that are worth taking, A the best, and what a sound appliance
 * shows: the reasoning as a table. Nothing where no reading is proposed.
 */
export function suspectMatrix({ circuit, proposals }: NextAnswer): Block[] {
  const shown = proposals.slice(0, mostReadings);
  const [best] = shown;
  if (best === undefined) return [];
  const letters = shown.map((_, index) => String.fromCharCode('A'.charCodeAt(0) + index));
  const suspects = best.shows.slice(0, mostSuspects).map(({ suspect }) => suspect);
  const rest = best.shows.length - suspects.length;
  const cell = (proposal: Proposal, suspect: (typeof suspects)[number]) =>
    wordShows(proposal.shows.find((each) => each.suspect === suspect)?.shows ?? []);
  const rows = suspects.map((suspect) => [
    suspect.faults.map((fault) => `${clean(fault.part)} ${wordMode(circuit, fault)}`).join(', '),
    ...shown.map((proposal) => cell(proposal, suspect)),
  ]);
  const sound = [
    'nothing: sound, as drawn',
    ...shown.map(({ sound: each }) => wordShows(each === undefined ? [] : [each])),
  ];
  const width = Math.floor(60 / shown.length);
  return [
    {
      kind: 'table',
      columns: [
        { head: 'if it were', width: 100 - width * shown.length, wraps: true },
        ...letters.map((head) => ({ head, width, wraps: true as const })),
      ],
      groups: [{ caption: 'What each suspect would show', rows: [...rows, sound] }],
    },
    {
      kind: 'list',
      items: shown.map((proposal, index) => `${letters[index] ?? ''}: ${wordProposal(circuit, proposal)}`),
    },
    ...(rest > 0
      ? [{ kind: 'paragraph', text: `And ${count(rest, 'more suspect')}.`, role: 'small' } as const]
      : []),
  ];
}
