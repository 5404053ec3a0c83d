import type { Circuit, Fault } from '../circuit/circuit.js';
import type { Act, Ask, Difficulty, Par, Unsafe, Unsuitable } from '../practice/practice.js';
import { cautionFor, cautions } from './cautions.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { csvText } from './csv.js';
import { count, jsonNumber, showValue } from './number.js';
import { paintFor } from './paint.js';
import { listed } from './phrases.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { wordMode, wordPart } from './word-fault.js';
import { wordFunction, wordLeads, wordProposal } from './word-proposal.js';
import { wordState } from './word-state.js';

/** An exercise as its trainer is told of it. */
export interface WrittenExercise {
  /** Undefined where it went to standard output. */
  readonly file: string | undefined;
  readonly seed: number;
  readonly circuit: Circuit;
  readonly fault: Fault;
  /** The fault as the command line names it. */
  readonly faultName: string;
  readonly difficulty: Difficulty;
  readonly par: Par;
  /** No reading within reach tells what is left apart. */
  readonly group: boolean;
}

/** What was written, and how hard each is; never what is wrong in it. */
export function writtenTable(written: readonly WrittenExercise[], style: TerminalStyle): string {
  const [only, second] = written;
  if (only !== undefined && second === undefined)
    return `${fold(`${only.file === undefined ? 'Written' : clean(only.file)}: seed ${only.seed}. ${wordHard(only)}`, style)}\n`;
  const rows = written.map(({ file = '', seed, difficulty, par, group }) => [
    clean(file),
    String(seed),
    difficulty,
    String(par.suspected),
    String(par.readings),
    String(par.halfSplit.readings),
    group ? `${par.left.length} parts, alike` : '1 part',
  ]);
  const head = ['exercise', 'seed', 'difficulty', 'suspected', 'readings', 'half-split', 'leaves'];
  const told = `${count(written.length, 'exercise')} written. Suspected: parts that the complaint leaves. Readings: following the proposed one, and halving the supply path.`;
  return `${fold(told, style)}\n\n${showTable(head, rows, style, [0])}\n`;
}

function wordHard({ difficulty, par, group }: WrittenExercise): string {
  const { readings, halfSplit, suspected, left } = par;
  const hard = `${difficulty[0]?.toUpperCase()}${difficulty.slice(1)}: the complaint leaves ${count(suspected, 'part')} suspected; following the proposed reading takes ${count(readings, 'reading')}, halving the supply path ${halfSplit.readings}.`;
  return group
    ? `${hard} No reading within reach gets below ${left.length} parts: an answer may name them all.`
    : hard;
}

export function writtenJson(written: readonly WrittenExercise[]): Readonly<Record<string, unknown>> {
  return {
    exercises: written.map(({ file, seed, difficulty, par, group }) => ({
      file: file ?? null,
      seed,
      difficulty,
      ...parJson(par),
      alike: group ? par.left.length : 1,
    })),
    cautions,
  };
}

function parJson({ readings, minutes, halfSplit, suspected }: Par): Readonly<Record<string, unknown>> {
  return {
    readings,
    minutes: jsonNumber(minutes),
    halfSplit: { readings: halfSplit.readings, minutes: jsonNumber(halfSplit.minutes) },
    suspected,
  };
}

/** Which fault is in which exercise, for the trainer alone. */
export function keyCsv(written: readonly WrittenExercise[]): string {
  const head = ['exercise', 'seed', 'fault', 'what is wrong', 'difficulty', 'readings', 'half-split', 'left'];
  const rows = written.map(({ file, seed, circuit, fault, faultName, difficulty, par }) => [
    file,
    seed,
    faultName,
    `${wordPart(circuit, fault.part)} ${wordMode(circuit, fault)}`,
    difficulty,
    par.readings,
    par.halfSplit.readings,
    par.left.join('; '),
  ]);
  return csvText(head, rows);
}

const unsuitableWords: Readonly<Record<Unsuitable, string>> = {
  'no-complaint': 'nobody would complain of it: in no named state does a load do other than it should',
  'within-supply': 'what it does could be the supply, within its tolerance',
  'not-found': 'whoever follows the proposed readings ends elsewhere',
};

/** Why a fault makes no exercise. */
export function wordUnsuitable(why: Unsuitable): string {
  return unsuitableWords[why];
}

const unsafeWords: Readonly<Record<Unsafe, string>> = {
  'ohms-live': 'ohms with the power on',
  hazard: 'a lead on a place marked as hazardous',
  'earth-off': 'the power on with the protective earth off',
};

const unsafeHelp: Readonly<Record<Unsafe, string>> = {
  'ohms-live':
    'Isolate, prove dead, discharge what holds charge, and only then read ohms: --state power=off.',
  hazard: 'It is neither opened nor measured. What is wrong there has to be told from readings elsewhere.',
  'earth-off': 'The earth stays on whatever has power: switch off first, or leave its wire where it is.',
};

export function wordUnsafe(why: Unsafe): string {
  return unsafeWords[why];
}

/** An unsafe request: that it was not done, and what would be right. */
export function wordRefusal(why: Unsafe): { readonly headline: string; readonly help: string } {
  return { headline: `refused, as unsafe: ${unsafeWords[why]}.`, help: unsafeHelp[why] };
}

/** What the meter shows, as one would say it. */
export function wordDisplay({ shown }: Extract<Act, { kind: 'measure' }>): string {
  if (shown.kind === 'blank') return 'The display never comes to rest.';
  if (shown.kind === 'over-range') return 'OL';
  const { value, unit, current } = shown;
  return `${showValue(value, unit)}${current === undefined ? '' : ` ${current}`}`;
}

/** Where the learner stands: for the last line of an act. */
export interface Tally {
  readonly readings: number;
  readonly minutes: number;
  /** Whether the acts are kept. */
  readonly kept: boolean;
}

type Shown = Extract<Act, { kind: 'measure' | 'swap' }>;

/** What came of an act: the display or the result first, then what was done for it. */
export function actTable(circuit: Circuit, act: Shown, tally: Tally, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const lines =
    act.kind === 'swap'
      ? [paint.strong(wordSwap(circuit, act))]
      : [
          paint.strong(wordDisplay(act)),
          fold(`${wordProposal(circuit, act.ask)}.`, style),
          ...act.tripped.map((supply) =>
            paint.warn(fold(`A bang: the building's protector of ${clean(supply)} opened.`, style)),
          ),
        ];
  return `${[...lines, fold(wordTally(act, tally), style), ...cautionLines(act, style)].join('\n')}\n`;
}

function cautionLines(act: Shown, style: TerminalStyle): string[] {
  if (act.kind === 'swap') return [];
  const caution = `On a real appliance: ${cautionFor({ live: act.ask.state.power })}`;
  return [paintFor(style.level).faint(fold(caution, style))];
}

function wordSwap(circuit: Circuit, { part, cured }: Extract<Act, { kind: 'swap' }>): string {
  const name = wordPart(circuit, part);
  return cured
    ? `It works again with another ${name}.`
    : `Another ${name} changes nothing: the complaint is as before.`;
}

function wordTally({ minutes }: { readonly minutes: number }, tally: Tally): string {
  const took = `It took about ${count(tenth(minutes), 'minute')}`;
  if (!tally.kept) return `${took}. Not kept: --record FILE keeps what you do.`;
  return `${took}, ${tenth(tally.minutes)} so far. ${count(tally.readings, 'reading')} taken.`;
}

/** To a tenth: more would be pretended. */
export function tenth(minutes: number): number {
  return Number(minutes.toFixed(1));
}

/** One act, and where it leaves the learner. */
export function actAnswer(circuit: Circuit, act: Act, tally: Tally): Readonly<Record<string, unknown>> {
  return {
    act: actJson(circuit, act),
    taken: tally.readings,
    minutes: jsonNumber(tally.minutes),
    cautions,
  };
}

/** The `act` of schemas/report.schema.json. */
export function actJson(circuit: Circuit, act: Act): Readonly<Record<string, unknown>> {
  const { kind } = act;
  switch (act.kind) {
    case 'measure': {
      const { ask, tripped, minutes } = act;
      return { kind, ...askJson(circuit, ask), reads: shownJson(act), tripped, minutes: jsonNumber(minutes) };
    }
    case 'refused':
      return { kind, ...askJson(circuit, act.ask), why: act.why };
    case 'swap':
      return { kind, part: act.part, cured: act.cured, minutes: jsonNumber(act.minutes) };
    case 'answer':
      return { kind, parts: act.parts, mode: act.mode ?? null };
  }
}

function shownJson({ shown }: Extract<Act, { kind: 'measure' }>): Readonly<Record<string, unknown>> | null {
  if (shown.kind === 'blank') return null;
  return { value: shown.kind === 'over-range' ? 'OL' : shown.value, unit: shown.unit };
}

function askJson(circuit: Circuit, { state, probe }: Ask): Readonly<Record<string, unknown>> {
  const { where, unit, current, meter } = probe;
  const leads =
    where.kind === 'around'
      ? { on: circuit.branches[where.branch]?.name }
      : { red: circuit.nodes[where.red]?.name, black: circuit.nodes[where.black]?.name };
  return {
    in: state.changes,
    ...leads,
    function: current === undefined ? unit : `${unit} ${current}`,
    input: meter.input,
  };
}

/** Everything done so far, a row an act. */
export function historyTable(circuit: Circuit, acts: readonly Act[], style: TerminalStyle): string {
  if (acts.length === 0) return 'Nothing was done yet.\n';
  const rows = acts.map((act, index) => [String(index + 1), ...actCells(circuit, act)]);
  return `${showTable(['#', 'state', 'what', 'came of it'], rows, style, [1, 2, 3])}\n`;
}

/** State, what was done in it, and what came of it. */
export function actCells(circuit: Circuit, act: Act): [state: string, what: string, result: string] {
  switch (act.kind) {
    case 'measure':
      return [stateCell(act.ask), askCell(circuit, act.ask), wordDisplay(act)];
    case 'refused':
      return [stateCell(act.ask), askCell(circuit, act.ask), `refused: ${unsafeWords[act.why]}`];
    case 'swap':
      return ['', `${clean(act.part)} exchanged`, act.cured ? 'it works again' : 'no change'];
    case 'answer':
      return ['', `answer: ${wordAnswer(act)}`, ''];
  }
}

function stateCell({ state }: Ask): string {
  return `${wordState(state)}${state.power ? '' : ' (dead)'}`;
}

function askCell(circuit: Circuit, ask: Ask): string {
  return `${wordLeads(circuit, ask)}, ${wordFunction(circuit, ask)}`;
}

/** `TF or F1`; `TF, open`. */
export function wordAnswer({ parts, mode }: Extract<Act, { kind: 'answer' }>): string {
  const named = listed(
    parts.map((part) => clean(part)),
    'or',
  );
  return mode === undefined ? named : `${named}, ${mode}`;
}

/** The exercise before anything was done: the complaint, and what is at hand. */
export function openingText(circuit: Circuit, complaint: readonly string[], style: TerminalStyle): string {
  const lines = [
    paintFor(style.level).strong(fold(`${clean(circuit.title)}.`, style)),
    ...complaint.map((line) => fold(clean(line), style)),
  ];
  return `${lines.join('\n')}\n`;
}

/** Right or wrong, or that the trainer says so; never what it was. */
export function answerTable(
  circuit: Circuit,
  act: Extract<Act, { kind: 'answer' }>,
  right: boolean | undefined,
  style: TerminalStyle,
): string {
  const named = listed(
    act.parts.map((part) => wordPart(circuit, part)),
    'or',
  );
  const told =
    right === undefined
      ? `Noted: ${named}. The trainer grades it.`
      : right
        ? `Right: ${named}.`
        : `Wrong: it is not ${named}.`;
  return `${paintFor(style.level).strong(fold(told, style))}\n`;
}
