import type { OpenExercise } from '../practice/practice.js';
import { type Raw, writeFlow } from '../text/text.js';

/** An exercise as its file. What is sealed stands last; the circuit is the text of its own file. */
export function exerciseText(open: OpenExercise, sealed: Raw.Sealed): string {
  const list = (key: string, entries: readonly unknown[]) => [
    `${key}:`,
    ...entries.map((entry) => `  - ${writeFlow(entry)}`),
  ];
  const circuit = open.circuit
    .trimEnd()
    .split('\n')
    .map((line) => (line === '' ? '' : `  ${line}`));
  return [
    '# A practice exercise. Look for the fault on its bench:',
    '#   loadside practice try THIS-FILE --record me.record.yaml',
    '# A change to anything below breaks its seal.',
    `loadside: ${open.loadside}`,
    `title: ${writeFlow(open.title)}`,
    ...list('complaint', open.complaint),
    ...list('symptoms', open.symptoms),
    `meter: ${writeFlow(open.meter)}`,
    `rest: ${writeFlow(open.rest)}`,
    'costs: # minutes',
    ...Object.entries(open.costs).map(([what, minutes]) => `  ${writeFlow(what)}: ${minutes}`),
    ...list('cautions', open.cautions),
    'circuit: |2',
    ...circuit,
    'sealed:',
    ...Object.entries(sealed).map(([key, value]) => `  ${key}: ${writeFlow(value)}`),
    '',
  ].join('\n');
}

/** The head of a record, before its first line. */
export function recordHead(fingerprint: string): string {
  return [
    '# What was done in a practice exercise, a line an act. Each line is sealed with those before it.',
    'loadside: record/1',
    `exercise: ${writeFlow(fingerprint)}`,
    'acts:',
    '',
  ].join('\n');
}

/** One line of a record. */
export function recordText(act: Raw.Act): string {
  return `  - ${writeFlow(act)}\n`;
}
