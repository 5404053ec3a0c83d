import type { AnswerHead } from '../answers.js';
import { isAscii } from '../text/text.js';
import { version } from './version.js';

/** What an answer says of itself. */
export function answerHead<Command extends string>(
  command: Command,
  inputs: AnswerHead['inputs'],
): AnswerHead<Command> {
  return { loadside: 'report/1', command, tool: { name: 'loadside', version }, inputs };
}

/** A whole JSON answer as text: one object, two-space indent, a line end behind it. */
export function showJson(answer: object): string {
  // JSON.stringify escapes the C0 controls only.
  return `${withoutActing(JSON.stringify(answer, null, 2))}\n`;
}

/** The same on one line, as NDJSON has it. */
export function jsonLine(answer: object): string {
  return `${withoutActing(JSON.stringify(answer))}\n`;
}

/** A text in double quotes, every character that acts unseen as an escape: as JSON and YAML 1.2 read it. */
export function quoted(text: string): string {
  return withoutActing(JSON.stringify(text));
}

/** DEL, the C1 controls, and characters that are not seen but act on a terminal or an editor, as escapes. */
function withoutActing(json: string): string {
  return isAscii(json) ? json : json.replace(/[\p{Cf}\p{Zl}\p{Zp}\u007f-\u009f]/gu, escaped);
}

/** Each UTF-16 unit of a character as JSON escapes it. */
function escaped(character: string): string {
  return character
    .split('')
    .map((unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`)
    .join('');
}
