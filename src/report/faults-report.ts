import type { HeldThreshold, LookedState, TestabilityAnswer, TestedFault } from '../diagnose/diagnose.js';
import { shortCaution } from './cautions.js';
import { clean } from './clean.js';
import { fold, wrapped } from './columns.js';
import { count } from './number.js';
import { paintFor } from './paint.js';
import { listed } from './phrases.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { wordDoings, wordReadings } from './word-effects.js';
import { wordMode, wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** How testable a circuit is; what can't be told apart, what shows nowhere, what one more test point would do; each fault. */
export function faultsTable(
  answer: TestabilityAnswer,
  thresholds: readonly HeldThreshold[],
  style: TerminalStyle,
): string {
  const paint = paintFor(style.level);
  if (answer.looked.states.length === 0) return `${paint.bad(fold(wordNoState(answer), style))}\n`;
  const lines = [paint.strong(fold(headline(answer), style))];
  for (const held of thresholds)
    lines.push(paint[held.holds ? 'good' : 'bad'](fold(wordThreshold(answer, held), style)));
  lines.push('', fold(wordExtent(answer), style));
  lines.push(...groupLines(answer, style), ...hiddenLines(answer, style), '', fold(wordExtra(answer), style));
  if (answer.faults.length > 0) lines.push('', faultTable(answer, style));
  lines.push('', fold(limits, style), '', paint.faint(fold(shortCaution, style)));
  return `${lines.join('\n')}\n`;
}

const limits =
  'One fault at a time. Where nobody knows its value, the one told stands for all: a bad connection or too much resistance has the ohms that leave a third of its current where it carries most (the middle of its range where it carries none), too little resistance is half, too low a voltage three quarters; milder ones may not show. A leak is a dead one, without resistance. Readings are volts on a high-impedance input, with the supply measured first. Each state is by itself, every protector whole before it; where one opens nothing is read. Ohms of the dead circuit are not counted: they may tell more. The protective earth is tested by itself.';

function wordNoState({ circuit, looked }: TestabilityAnswer): string {
  const states = looked.leftOut.map(wordState).join('; ');
  return `${clean(circuit.title)}: nothing can be said, for nothing holds still to be read even in the sound circuit (${states}). See expect.`;
}

function headline({ circuit, tally }: TestabilityAnswer): string {
  const { faults, detectable, isolable, single } = tally;
  const title = clean(circuit.title);
  if (faults === 0) return `${title}: no part of it has a fault of its own.`;
  return `${title}: ${detectable} of ${count(faults, 'single fault')} (${percent(detectable, faults)}) show at some test point or in what works, ${isolable} (${percent(isolable, faults)}) can be told from those of every other part, ${single} (${percent(single, faults)}) from every other fault.`;
}

/** Whole percent, never rounded up: 100 % is all of them. */
function percent(some: number, all: number): string {
  return `${Math.floor((100 * some) / all)} %`;
}

function wordThreshold(
  { tally }: TestabilityAnswer,
  { of, percent: least, found, needed, holds }: HeldThreshold,
): string {
  const what = of === 'detectable' ? 'show' : 'can be told from those of every other part';
  const asked = `at least ${least} % were asked for (--min-${of})`;
  const some = `${found} of ${tally.faults} ${what}`;
  return holds ? `Met: ${some}, ${asked}.` : `NOT MET: ${some}, ${asked}, which takes ${needed}.`;
}

function wordExtent({ circuit, looked, blacks, points, across }: TestabilityAnswer): string {
  const states = looked.states.map((each) => `${wordState(each.state)}${wordWhy(circuit, each)}`);
  const black = blacks.map((node) => clean(node.name));
  const against =
    black.length === 0
      ? ''
      : ` against ${listed(black, 'and')}${black.length === 1 ? '' : ', each in the section it belongs to'}`;
  const sentences = [
    `States looked at: ${states.join('; ')}.`,
    `Readings: volts at ${count(points, 'test point')}${against}, and across each part with both ends in reach (${across} more).`,
  ];
  if (looked.leftOut.length > 0)
    sentences.push(
      `Left out, too many or nothing steady to read: ${looked.leftOut.map(wordState).join('; ')}.`,
    );
  if (looked.idle.length > 0)
    sentences.push(
      `In none of these states works: ${looked.idle.map((load) => clean(load.name)).join(', ')}.`,
    );
  return sentences.join(' ');
}

/** Why a state that nobody named was taken. */
function wordWhy(circuit: TestabilityAnswer['circuit'], { works, shows }: LookedState): string {
  if (works !== undefined) return ` (for ${clean(works.name)})`;
  return shows === undefined ? '' : ` (for ${wordPart(circuit, shows.part)} ${wordMode(circuit, shows)})`;
}

function groupLines({ circuit, faults, groups }: TestabilityAnswer, style: TerminalStyle): string[] {
  if (groups.length === 0) return [];
  const lines = ['', fold('No reading tells apart (a line each, = between what looks alike):', style)];
  for (const [index, group] of groups.entries()) {
    const words = group.faults.flatMap((number) => wordFault(circuit, faults[number]));
    if (group.hidden.length > 0) words.push(`${group.hidden.length} of those that show nowhere`);
    const same = group.onePart ? ' (one part: the same repair)' : '';
    lines.push(bullet(`${index + 1}.`, `${words.join(' = ')}${same}`, style));
  }
  return lines;
}

function wordFault(circuit: TestabilityAnswer['circuit'], tested: TestedFault | undefined): string[] {
  return tested === undefined
    ? []
    : [`${wordPart(circuit, tested.fault.part)} ${wordMode(circuit, tested.fault)}`];
}

function bullet(mark: string, text: string, { width }: TerminalStyle): string {
  return `${mark} ${wrapped(text, width - mark.length - 1).join(`\n${' '.repeat(mark.length + 1)}`)}`;
}

const hiddenReasons = {
  'stands-so': 'it stands that way in every state looked at anyway',
  'no-current': 'in no state looked at does it carry any current',
  'too-little': 'what it changes is out of reach, floats, or is less than tolerance and meter leave to see',
} as const;

function hiddenLines({ circuit, faults }: TestabilityAnswer, style: TerminalStyle): string[] {
  const lines = Object.entries(hiddenReasons).flatMap(([reason, why]) => {
    const hidden = faults.filter((each) => each.hidden === reason);
    const words = hidden.flatMap((each) => wordFault(circuit, each));
    return words.length === 0 ? [] : [bullet('-', `${words.join('; ')}: ${why}.`, style)];
  });
  return lines.length === 0 ? [] : ['', 'Show nowhere:', ...lines];
}

function wordExtra({ tally, outOfReach, extraPoint }: TestabilityAnswer): string {
  if (outOfReach === 0) return 'Every place that may be probed is a test point already.';
  if (extraPoint === undefined)
    return `A further test point, at any of the ${count(outOfReach, 'place')} out of reach, would tell no more.`;
  const { node, tally: then } = extraPoint;
  return `The one further test point that would help most: ${clean(node.name)}. With it ${then.detectable} would show (now ${tally.detectable}), ${then.isolable} could be told from those of every other part (now ${tally.isolable}), ${then.single} from every other fault (now ${tally.single}).`;
}

function faultTable(answer: TestabilityAnswer, style: TerminalStyle): string {
  const { circuit, faults, groups } = answer;
  const groupOf = new Map(groups.flatMap((group, index) => group.faults.map((fault) => [fault, index + 1])));
  const rows = faults.map((tested, index) => [
    `${clean(tested.fault.part)} ${wordMode(circuit, tested.fault)}`,
    wordDoings(answer, tested) || (tested.detectable ? '' : 'shows nowhere'),
    wordReadings(answer, tested),
    String(groupOf.get(index) ?? ''),
  ]);
  return showTable(['fault', 'what it does', 'reads otherwise', '='], rows, style, [0, 1, 2]);
}
