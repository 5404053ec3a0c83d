import type { Grade, MarkName, Step } from '../practice/practice.js';
import { cautions, shortCaution } from './cautions.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { csvText } from './csv.js';
import { count, jsonNumber } from './number.js';
import { paintFor } from './paint.js';
import { listed } from './phrases.js';
import { actCells, actJson, tenth, wordAnswer, wordUnsafe } from './practice-report.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { faultJson, wordMode, wordPart } from './word-fault.js';

/** A record and what it is worth; without a grade where nobody began the exercise. */
export interface GradedRecord {
  readonly exercise: string;
  readonly record: string | undefined;
  readonly grade: Grade | undefined;
}

/** Marks that can be had, by what for; offered by the practice floor. */
type FullMarks = Readonly<Record<MarkName, number>>;

const markWords: Readonly<Record<MarkName, string>> = {
  answer: 'the answer',
  proof: 'what proves it',
  readings: 'readings taken',
  telling: 'readings that told',
  safety: 'safety',
  swaps: 'parts exchanged',
};

/** One hunt, with each mark and each act explained. */
export function gradeTable({ grade }: GradedRecord, full: FullMarks, style: TerminalStyle): string {
  if (grade === undefined) return 'Nobody has begun this exercise.\n';
  const paint = paintFor(style.level);
  const { exercise, steps, marks } = grade;
  const names = Object.keys(markWords) as MarkName[];
  const rows = names.map((name) => [
    markWords[name],
    String(marks[name]),
    String(full[name]),
    wordMark(grade, name, full),
  ]);
  const acts = steps.map((step, index) => {
    const [state, what, result] = actCells(exercise.circuit, step.act);
    return [String(index + 1), state, what, result, wordStep(step)];
  });
  const lines = [
    paint.strong(fold(wordGrade(grade), style)),
    ...groupLine(grade, style),
    '',
    showTable(['for', 'marks', 'of', 'because'], rows, style, [3]),
    '',
    showTable(['#', 'state', 'what', 'came of it', 'what that told'], acts, style, [1, 2, 3, 4]),
    '',
    fold(wordWork(grade), style),
    paint.faint(fold(shortCaution, style)),
  ];
  return `${lines.join('\n')}\n`;
}

function wordGrade({ total, right, named, exercise, fault }: Grade): string {
  const it = `${wordPart(exercise.circuit, fault.part)} ${wordMode(exercise.circuit, fault)}`;
  const said =
    right === undefined
      ? 'no answer was given'
      : `the answer was ${listed(named.map(clean), 'or')}, which is ${right ? 'right' : 'wrong'}`;
  return `${total} of 100. ${it}; ${said}.`;
}

function groupLine({ par }: Grade, style: TerminalStyle): string[] {
  if (par.left.length < 2) return [];
  return [fold(`No reading within reach tells apart ${listed(par.left.map(clean), 'and')}.`, style)];
}

function wordWork({ minutes, par }: Grade): string {
  return `About ${count(tenth(minutes), 'minute')} of work; following the proposed reading takes ${tenth(par.minutes)}, halving the supply path ${tenth(par.halfSplit.minutes)}. Marks are judgement: they only order.`;
}

/** Why a mark is what it is, in a line. */
function wordMark(grade: Grade, name: MarkName, full: FullMarks): string {
  switch (name) {
    case 'answer':
      return wordAnswerMark(grade);
    case 'proof':
      return wordProof(grade);
    case 'readings': {
      const { readings, par } = grade;
      return `${count(readings, 'reading')}; following the proposed one takes ${par.readings}, halving the supply path ${par.halfSplit.readings}${ifProven(grade, full)}`;
    }
    case 'telling':
      if (grade.readings === 0) return 'nothing was read';
      return grade.idle === 0
        ? 'each could tell something of what was suspected'
        : `${grade.idle} of ${count(grade.readings, 'reading')} could tell nothing`;
    case 'safety': {
      const whys = grade.steps.flatMap(({ act }) => (act.kind === 'refused' ? [wordUnsafe(act.why)] : []));
      return whys.length === 0
        ? 'nothing unsafe was asked for'
        : `${count(whys.length, 'unsafe request')}, refused: ${listed([...new Set(whys)], 'and')}`;
    }
    case 'swaps': {
      const swaps = grade.steps.filter(({ act }) => act.kind === 'swap').length;
      if (swaps === 0) return 'nothing was exchanged on suspicion';
      return grade.premature === 0
        ? `${count(swaps, 'part')}, with reason`
        : `${count(swaps, 'part')}, ${grade.premature === swaps ? '' : `${grade.premature} of them `}too soon`;
    }
  }
}

function ifProven({ right, marks }: Grade, full: FullMarks): string {
  if (right !== true) return '; counted with a right answer only';
  return marks.proof === full.proof ? '' : '; counted as far as they prove the answer';
}

function wordAnswerMark({ right, named, par, wrongMode, fault, exercise }: Grade): string {
  if (right === undefined) return 'none was given';
  if (!right) return `it is not ${listed(named.map(clean), 'or')}`;
  if (wrongMode) return `the part is right, but it ${wordMode(exercise.circuit, fault)}`;
  if (named.length > par.left.length)
    return `${named.length} parts named where readings get down to ${par.left.length}`;
  return named.length === 1 ? 'the part is right' : 'it is among those that no reading tells apart';
}

/** Parts of a list that are named before the rest is counted. */
const mostNamed = 6;

function wordProof({ right, left, steps, marks }: Grade): string {
  if (right === undefined) return 'no answer to prove';
  if (!right) return 'what is wrong can not be proved';
  if (steps.some(({ act }) => act.kind === 'swap' && act.cured))
    return 'it worked again once it was exchanged';
  if (left.length === 0) return 'nothing that is modelled explains these readings';
  const shown = left.slice(0, mostNamed).map(clean);
  const rest = left.length - shown.length;
  const names = rest > 0 ? `${shown.join(', ')} and ${rest} more` : listed(shown, 'and');
  return marks.proof > 0 && left.length === 1
    ? 'the readings leave nothing else'
    : `the readings leave ${names}`;
}

/** What an act told, by what was known before it. */
function wordStep(step: Step): string {
  const { act } = step;
  if (act.kind === 'refused') return 'not done';
  if (act.kind === 'answer') return '';
  if ('premature' in step)
    return step.premature === 'cleared'
      ? 'too soon: readings had cleared it'
      : `too soon: ${count(step.suspected, 'part')} suspected, and a reading would have told more`;
  if ('suspected' in step) return 'as good as any reading by then';
  if ('idle' in step) {
    if (step.idle === 'bounded') return 'nothing: one part was left already';
    return step.idle === 'repeat'
      ? 'nothing: it was read before'
      : 'nothing: all that was suspected reads alike there';
  }
  if (!('before' in step)) return '';
  return step.after === 0
    ? 'nothing modelled fits it'
    : `${step.after} of ${count(step.before, 'part')} left suspected`;
}

/** A class: a row a record, best known by its file. */
export function classTable(graded: readonly GradedRecord[], style: TerminalStyle): string {
  const done = graded.flatMap(({ grade }) => grade ?? []);
  const right = done.filter((grade) => grade.right === true).length;
  const rows = graded.map(({ exercise, record, grade }) => [
    record === undefined ? 'not begun' : clean(record),
    clean(exercise),
    grade === undefined ? '' : rightWord(grade),
    grade === undefined ? '' : String(grade.total),
    grade === undefined ? '' : `${grade.readings} (${grade.par.readings})`,
    grade === undefined ? '' : String(grade.idle),
    grade === undefined ? '' : String(grade.unsafe),
    grade === undefined ? '' : String(grade.premature),
  ]);
  const head = ['record', 'exercise', 'answer', 'marks', 'readings', 'told nothing', 'unsafe', 'too soon'];
  const told = `${count(done.length, 'record')}, ${right} right. Readings: taken, and in brackets what following the proposed one takes. Too soon: parts exchanged before there was reason to.`;
  return `${fold(told, style)}\n\n${showTable(head, rows, style, [0, 1])}\n`;
}

function rightWord({ right }: Grade): string {
  return right === undefined ? 'none' : right ? 'right' : 'wrong';
}

const csvHead = [
  'record',
  'exercise',
  'title',
  'answer',
  'right',
  'marks',
  'readings',
  'readings following next',
  'readings half-split',
  'told nothing',
  'unsafe requests',
  'exchanged too soon',
  'minutes',
  'minutes following next',
];

/** The same for a spreadsheet. */
export function classCsv(graded: readonly GradedRecord[]): string {
  const rows = graded.map(({ exercise, record, grade }) => {
    if (grade === undefined) return [record, exercise, ...csvHead.slice(2).map(() => undefined)];
    const { exercise: of, par } = grade;
    const answer = grade.steps.find(({ act }) => act.kind === 'answer')?.act;
    return [
      record,
      exercise,
      clean(of.circuit.title),
      answer?.kind === 'answer' ? wordAnswer(answer) : '',
      grade.right === undefined ? '' : grade.right ? 'yes' : 'no',
      grade.total,
      grade.readings,
      par.readings,
      par.halfSplit.readings,
      grade.idle,
      grade.unsafe,
      grade.premature,
      tenth(grade.minutes),
      tenth(par.minutes),
    ];
  });
  return csvText(csvHead, rows);
}

export function gradesJson(
  graded: readonly GradedRecord[],
  full: FullMarks,
): Readonly<Record<string, unknown>> {
  return {
    grades: graded.map(({ exercise, record, grade }) => ({
      exercise,
      record: record ?? null,
      ...(grade === undefined ? { grade: null } : gradeJson(grade, full)),
    })),
    cautions,
  };
}

function gradeJson(grade: Grade, full: FullMarks): Readonly<Record<string, unknown>> {
  const { exercise, fault, par, steps, right, named, left, marks, total } = grade;
  const names = Object.keys(marks) as MarkName[];
  return {
    title: exercise.circuit.title,
    fault: faultJson(fault),
    answer: named,
    right: right ?? null,
    total,
    marks: names.map((name) => ({
      for: name,
      marks: marks[name],
      of: full[name],
      because: wordMark(grade, name, full),
    })),
    readings: grade.readings,
    following: { readings: par.readings, minutes: jsonNumber(par.minutes) },
    halfSplit: { readings: par.halfSplit.readings, minutes: jsonNumber(par.halfSplit.minutes) },
    toldNothing: grade.idle,
    unsafe: grade.unsafe,
    tooSoon: grade.premature,
    minutes: jsonNumber(grade.minutes),
    left,
    acts: steps.map((step) => ({ ...actJson(exercise.circuit, step.act), told: wordStep(step) })),
  };
}
